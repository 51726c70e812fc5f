"""A product by its own label's words, and how well the volume it is reckoned for is known."""

import re
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from written_log import NOW, Log

from evenwater.domain.errors import Contradiction, OutOfRange
from evenwater.domain.fold import fold
from evenwater.domain.reckon import label_dose as calculator
from evenwater.domain.water.label_dose import KnownVolume, label_dose
from evenwater.domain.water.recent import recent_of
from evenwater.domain.water.volume_known import volume_known

WATER = KnownVolume(low_l=14_000, volume_l=16_000, high_l=18_000)


def test_it_is_the_labels_own_proportion_for_the_volume_and_its_ends():
    assert label_dose(5, 1000, WATER) == label_dose(50, 10_000, WATER)
    dose = label_dose(5, 1000, WATER)
    assert (dose.low, dose.amount, dose.high) == (70, 80, 90)


def test_a_slip_of_the_point_is_refused_with_what_would_be_right():
    with pytest.raises(Contradiction, match="more than 10 in each litre") as refused:
        label_dose(25, 1, WATER)
    assert refused.value.right == "the litres the label names beside the amount, often 1000"


@pytest.mark.parametrize("wrong", [(0, 1000), (5, 0), (float("nan"), 1000), (5, float("inf"))])
def test_nothing_is_reckoned_from_what_no_label_says(wrong):
    with pytest.raises(OutOfRange):
        label_dose(*wrong, WATER)


@given(st.floats(0.001, 10), st.floats(1, 1e6), st.floats(200, 9e5), st.floats(0, 0.3))
def test_more_water_never_asks_for_less(amount, per_l, volume_l, off):
    volume = KnownVolume(low_l=max(100, volume_l * (1 - off)), volume_l=volume_l, high_l=volume_l * (1 + off / 10))
    dose = label_dose(amount, per_l, volume)
    assert 0 < dose.low <= dose.amount <= dose.high


def test_the_calculator_names_no_product_and_says_that_the_label_counts():
    _, workings = calculator.reckon(calculator.CALCULATOR.example)
    said = " ".join([workings.title, workings.source, *workings.warnings])
    assert "The label is what counts" in said
    assert "vet" in said
    assert not re.search(r"formal|malachite|permanganat|medic|praziq|antibiot", said, re.IGNORECASE)


def known(log: Log) -> KnownVolume | None:
    folded = fold(log.entries)
    (pond,) = folded.ponds(NOW.date())
    return volume_known(pond, recent_of(folded.of_pond("main"), NOW))


def salted(log: Log, before: float, after: float) -> None:
    log.write("reading", NOW - timedelta(hours=40), quantity="ec25_us_per_cm", value=before)
    log.write("salt", NOW - timedelta(hours=39), salt_g=5000)
    log.write("reading", NOW - timedelta(hours=20), quantity="ec25_us_per_cm", value=after)


def test_without_a_volume_nothing_is_known():
    log = Log()
    log.pond(name="Pond")
    assert known(log) is None


def test_a_volume_as_set_is_good_to_an_eighth_and_salt_that_agrees_makes_it_better():
    log = Log()
    log.pond(volume_l=20_000)
    plain = known(log)
    assert (plain.high_l - plain.low_l) / 2 / plain.volume_l == pytest.approx(0.12, abs=0.01)
    assert "good to 12%" in plain.says
    salted(log, 450, 945)
    better = known(log)
    assert better.high_l - better.low_l < plain.high_l - plain.low_l
    assert "salt agrees" in better.says


def test_salt_that_says_otherwise_widens_it_to_hold_both():
    log = Log()
    log.pond(volume_l=16_000)
    salted(log, 450, 945)
    told = known(log)
    assert told.volume_l == 16_000
    assert told.low_l < 16_000 < 20_100 < told.high_l
    assert "look again before you dose" in told.says
