"""First steps and cautions: short, ordered, never a diagnosis or a medicine."""

import re

import pytest

from evenwater.domain.pond import Pond
from evenwater.domain.water.first_steps import DEFER, cautions_of, first_steps
from evenwater.domain.water.range_table import ROWS
from evenwater.domain.water.ranges import Around, cuts_of

POND = Pond(id="main")
SHOWN = [
    (quantity, side)
    for quantity in ROWS
    for side, low in (("low", True), ("high", False))
    for cuts in [cuts_of(POND, {}, quantity, "pond", Around(usual_ec25=400.0))]
    if cuts and (cuts.act_below if low else cuts.act_above) is not None
]
# Judged under another name: too little chloride under nitrite, a fast change under the change in a day.
ELSEWHERE = {"chloride_per_nitrite_n", "temperature_change_c_per_h", "ec25_change_fraction_per_day"}
GENERAL = first_steps("no such quantity", "low")


@pytest.mark.parametrize(("quantity", "side"), [one for one in SHOWN if one[0] not in ELSEWHERE])
def test_every_act_now_of_the_table_has_steps_of_its_own(quantity, side):
    steps = first_steps(quantity, side)
    assert steps != GENERAL
    assert 2 <= len(steps) <= 3


@pytest.mark.parametrize("quantity", list(ROWS))
@pytest.mark.parametrize("side", ["low", "high"])
def test_steps_are_short_plain_and_no_medicine(quantity, side):
    text = (*first_steps(quantity, side), *cautions_of(quantity))
    for line in text:
        assert len(line) <= 130
        assert not re.search(r"medic|antibiot|formalin|malachite|permanganate|parasit|disease|infect|treat", line, re.I)


@pytest.mark.parametrize("quantity", list(ROWS))
def test_the_last_caution_hands_over_to_vet_label_and_local_rules(quantity):
    assert cautions_of(quantity)[-1] == DEFER


def test_ammonia_comes_before_buffer_where_kh_or_ph_is_low():
    for quantity in ("kh_dkh", "ph"):
        assert "TAN" in first_steps(quantity, "low")[0]
        assert "before" in first_steps(quantity, "low")[0]


def test_chlorine_shuts_the_water_before_anything_else():
    assert first_steps("total_chlorine_ug_per_l", "high")[0].startswith("Shut the tap")
    assert first_steps("total_chlorine_ug_per_l", "high", "after_carbon")[0].startswith("Stop the trickle")
