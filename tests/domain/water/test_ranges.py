"""The ranges, walked value by value against the table as the design has it, typed here a second time."""

from math import inf, nextafter

import pytest

from evenwater.domain.pond import CarbonBed, Pond, Range
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.outlook import Cuts
from evenwater.domain.water.range_table import ROWS
from evenwater.domain.water.ranges import Around, answer_of, cuts_and_trouble, cuts_of

POND = Pond(id="main")
# quantity: act now below, drifting below, drifting above, act now above. Every default that one number decides.
TABLE = {
    "temperature_c": (2, 4, 28, 30),
    "temperature_change_c_per_day": (None, None, 1, 3),
    "temperature_change_c_per_h": (None, None, None, 1),
    "ph": (6.5, 7.0, 8.6, 9.0),
    "ph_swing": (None, None, 0.3, 0.5),
    "kh_dkh": (2.5, 4, 10, None),
    "gh_dgh": (2, 4, 16, None),
    "nh3_mg_per_l": (None, None, 0.005, 0.025),
    "nitrite_n_mg_per_l": (None, None, 0.0304, 0.152),
    "chloride_per_nitrite_n": (10, None, None, None),
    "nitrate_n_mg_per_l": (None, None, 11.3, 45.2),
    "total_chlorine_ug_per_l": (None, None, 10, 20),
    "free_chlorine_ug_per_l": (None, None, 10, 20),
    "oxygen_mg_per_l": (5, 7, None, None),
    "oxygen_saturation_fraction": (None, 0.8, 1.2, None),
    "ec25_change_fraction": (None, -0.1, 0.1, None),
    "ec25_change_fraction_per_day": (-0.2, None, None, 0.2),
    "salinity_g_per_l": (None, None, 1, 3),
}


def by_table(row, value):
    """What the table says of a value: in each column, whether it applies; the worst that does."""
    act_below, drift_below, drift_above, act_above = row
    if (act_below is not None and value <= act_below) or (act_above is not None and value >= act_above):
        return "act_now"
    if (drift_below is not None and value <= drift_below) or (drift_above is not None and value >= drift_above):
        return "drifting"
    return "in_range"


def values_for(quantity, row):
    one = QUANTITIES.get(quantity)
    low, high = (one.low, one.high) if one else (-5.0, 50.0)
    even = [low + (high - low) * i / 2000 for i in range(2001)]
    cuts = [float(cut) for cut in row if cut is not None]
    return [*even, *(near for cut in cuts for near in (nextafter(cut, -inf), cut, nextafter(cut, inf)))]


@pytest.mark.parametrize("quantity", TABLE)
def test_every_value_of_a_line_has_the_one_answer_of_the_table(quantity):
    cuts = cuts_of(POND, {}, quantity, "pond")
    assert cuts is not None
    for value in values_for(quantity, TABLE[quantity]):
        assert answer_of(cuts, value) == by_table(TABLE[quantity], value), value


@pytest.mark.parametrize("quantity", TABLE)
def test_a_value_on_a_cut_has_the_worse_answer_and_the_next_float_inside_the_better(quantity):
    cuts = cuts_of(POND, {}, quantity, "pond")
    act_below, drift_below, drift_above, act_above = TABLE[quantity]
    inside_low = "drifting" if drift_below is not None else "in_range"
    inside_high = "drifting" if drift_above is not None else "in_range"
    for cut, worse, better, inwards in (
        (act_below, "act_now", inside_low, inf),
        (drift_below, "drifting", "in_range", inf),
        (drift_above, "drifting", "in_range", -inf),
        (act_above, "act_now", inside_high, -inf),
    ):
        if cut is not None:
            assert answer_of(cuts, float(cut)) == worse
            assert answer_of(cuts, nextafter(cut, inwards)) == better


def test_no_line_is_left_out_of_the_walk():
    # Ammonia and conductivity are walked in test_judging_every_row.py: their cuts hang on other readings.
    assert set(ROWS) - set(TABLE) == {"tan_mg_n_per_l", "ec25_us_per_cm"}


@pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))
def test_every_line_says_what_it_rests_on_and_how_long_a_reading_is_good_for(row):
    assert row.basis
    assert 1 <= row.stale_days <= 15
    said = ("no source", "from memory", "quoted", "common practice", "EPA", "Directive", "Kroupova", "EIFAC")
    assert any(word in row.basis for word in said)


def test_the_heaters_setting_narrows_the_range():
    cuts = cuts_of(POND, {}, "temperature_c", "pond", Around(setting_c=(18.0, 18.0), nature_warms=False))
    assert (cuts.act_below, cuts.drift_below, cuts.drift_above, cuts.act_above) == (16.0, 17.0, 19.0, 30)
    summer = cuts_of(POND, {}, "temperature_c", "pond", Around(setting_c=(18.0, 18.0), nature_warms=True))
    assert summer.drift_above == 28


def test_a_low_setting_does_not_widen_the_range_of_any_pond():
    cuts = cuts_of(POND, {}, "temperature_c", "pond", Around(setting_c=(4.0, 4.0)))
    assert (cuts.act_below, cuts.drift_below) == (2.0, 4.0)


def test_salt_that_was_written_down_is_allowed_more():
    cuts = cuts_of(POND, {}, "salinity_g_per_l", "pond", Around(salt_course=True))
    assert [answer_of(cuts, value) for value in (2.9, 3.0, 4.9, 5.0)] == ["in_range", "drifting", "drifting", "act_now"]


def test_conductivity_has_cuts_only_against_its_own_usual():
    assert cuts_of(POND, {}, "ec25_us_per_cm", "pond") is None
    cuts = cuts_of(POND, {}, "ec25_us_per_cm", "pond", Around(usual_ec25=400.0))
    assert [answer_of(cuts, value) for value in (360.0, 361.0, 439.0, 441.0)] == [
        "drifting",
        "in_range",
        "in_range",
        "drifting",
    ]


def test_after_the_carbon_the_keepers_limit_counts():
    pond = Pond(id="main", carbon=CarbonBed(limit_ug_per_l=50.0))
    cuts = cuts_of(pond, {}, "total_chlorine_ug_per_l", "after_carbon")
    assert (cuts.drift_above, cuts.act_above) == (25.0, 50.0)
    assert cuts_of(POND, {}, "total_chlorine_ug_per_l", "mains") is None


def test_the_keepers_own_cuts_go_before_ours():
    own = {"kh_dkh": Range(drift_below=5.0)}
    cuts = cuts_of(POND, own, "kh_dkh", "pond")
    assert (cuts.act_below, cuts.drift_below, cuts.drift_above) == (2.5, 5.0, 10)


def test_our_cuts_give_way_to_the_keepers_on_the_same_side():
    cuts = cuts_of(POND, {"kh_dkh": Range(drift_below=2.0)}, "kh_dkh", "pond")
    assert (cuts.act_below, cuts.drift_below) == (2.0, 2.0)
    cuts = cuts_of(POND, {"ph": Range(act_above=8.4)}, "ph", "pond")
    assert (cuts.drift_above, cuts.act_above) == (8.4, 8.4)


def test_a_keepers_cut_for_warmth_stands_against_the_heaters_setting():
    around = Around(setting_c=(18.0, 18.0), nature_warms=False)
    cuts = cuts_of(POND, {"temperature_c": Range(drift_below=10.0)}, "temperature_c", "pond", around)
    assert (cuts.act_below, cuts.drift_below, cuts.drift_above) == (2.0, 10.0, 19.0)


@pytest.mark.parametrize(
    ("quantity", "own", "words"),
    [
        ("kh_dkh", Range(act_below=5.0, drift_below=4.0), "act now below 5 is above drifting below 4"),
        ("ph", Range(drift_above=9.0, act_above=8.0), "drifting above 9 is above act now above 8"),
        ("kh_dkh", Range(drift_below=12.0), "the lower line 12 is not below the upper line 10"),
        ("gh_dgh", Range(drift_below=6.0, drift_above=6.0), "the lower line 6 is not below the upper line 6"),
    ],
)
def test_a_range_that_contradicts_itself_is_put_aside_in_words(quantity, own, words):
    cuts, trouble = cuts_and_trouble(POND, {quantity: own}, quantity, "pond")
    assert trouble == words
    assert cuts == cuts_of(POND, {}, quantity, "pond")


def test_a_keepers_range_for_ammonia_gives_the_device_cuts():
    assert cuts_of(POND, {}, "tan_mg_n_per_l", "pond") is None
    cuts = cuts_of(POND, {"tan_mg_n_per_l": Range(act_above=1.0)}, "tan_mg_n_per_l", "pond")
    assert cuts == Cuts(quantity="tan_mg_n_per_l", point="pond", act_above=1.0)


def test_a_quantity_without_a_line_has_no_cuts():
    assert cuts_of(POND, {"calcium_mg_per_l": Range(act_above=1.0)}, "calcium_mg_per_l", "pond") is None


def test_a_kit_answers_by_the_worse_end_of_its_step():
    cuts = cuts_of(POND, {}, "kh_dkh", "pond")
    assert answer_of(cuts, 4.2, 0.5) == "drifting"
    assert answer_of(cuts, 4.5, 0.5) == "in_range"
    assert answer_of(cuts, 2.7, 0.5) == "act_now"


def test_a_kit_that_shows_nothing_never_says_act_now():
    cuts = cuts_of(POND, {}, "total_chlorine_ug_per_l", "pond")
    assert answer_of(cuts, 0.0, 100.0) == "drifting"
    assert answer_of(cuts, 0.0, 10.0) == "in_range"
    assert answer_of(cuts, 10.0, 100.0) == "act_now"
    assert answer_of(cuts_of(POND, {}, "kh_dkh", "pond"), 0.0, 0.5) == "act_now"
