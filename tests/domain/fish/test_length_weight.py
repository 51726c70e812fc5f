"""Weight from length, drawn to the pond's own weighings."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.errors import OutOfRange
from evenwater.domain.fish.condition import condition_words, relative_weight
from evenwater.domain.fish.length_weight import PondWeights, Weighing, standard_weight_g

ON = date(2026, 10, 1)
lengths = st.floats(8, 100)
weighings = st.lists(
    st.builds(
        lambda fish, days, cm, ratio: Weighing(fish, ON - timedelta(days=days), cm, standard_weight_g(cm) * ratio),
        st.sampled_from("abcde"),
        st.integers(0, 2000),
        st.floats(20, 90),
        st.floats(0.6, 2.0),
    ),
    max_size=12,
)


def deep(fish: str, cm: float, ratio: float = 1.4) -> Weighing:
    return Weighing(fish, ON, cm, standard_weight_g(cm) * ratio)


@pytest.mark.parametrize("total_cm", [0.9, 161.0, float("nan")])
def test_a_length_no_carp_has_is_refused(total_cm):
    with pytest.raises(OutOfRange):
        standard_weight_g(total_cm)


def test_without_a_weighing_the_band_holds_wild_carp_and_deep_koi():
    band = PondWeights([]).weight("a", 50, ON)
    assert band.low < standard_weight_g(50) < band.middle < 1.4 * standard_weight_g(50) < band.high


def test_weighings_of_other_fish_draw_the_estimate_and_its_own_most():
    none, others = PondWeights([]), PondWeights([deep("b", 45), deep("c", 60), deep("d", 55)])
    own = PondWeights([deep("a", 50), deep("b", 45), deep("c", 60), deep("d", 55)])
    wide, narrower, narrowest = (one.weight("a", 50, ON) for one in (none, others, own))
    assert wide.middle < narrower.middle < narrowest.middle < 1.4 * standard_weight_g(50)
    assert wide.high / wide.low > narrower.high / narrower.low > narrowest.high / narrowest.low


def test_an_old_weighing_says_less_of_a_fish_than_one_of_today():
    old = PondWeights([Weighing("a", ON - timedelta(days=3000), 50, standard_weight_g(50) * 1.4)])
    new = PondWeights([deep("a", 50)])
    assert new.weight("a", 50, ON).middle > old.weight("a", 50, ON).middle


@given(weighings, lengths, lengths)
def test_a_longer_fish_weighs_more_and_every_band_is_in_order(known, one_cm, other_cm):
    pond = PondWeights(known)
    short, long = sorted((one_cm, other_cm))
    light, heavy = pond.weight("a", short, ON), pond.weight("a", long, ON)
    assert light.middle <= heavy.middle * (1 + 1e-9)
    for band in (light, heavy):
        assert 0 < band.low < band.middle < band.high


@given(weighings, lengths, st.floats(0.1, 3))
def test_a_length_less_well_known_makes_the_band_wider(known, cm, sd_cm):
    pond = PondWeights(known)
    sharp, blurred = pond.weight("a", cm, ON), pond.weight("a", cm, ON, sd_cm)
    assert blurred.low < sharp.low
    assert blurred.high > sharp.high
    assert blurred.middle == sharp.middle


@given(weighings, lengths)
def test_one_more_weighing_never_makes_a_band_wider_much(known, cm):
    before, after = PondWeights(known), PondWeights([*known, deep("a", cm)])
    assert after.ln_ratio("a", cm, ON)[1] <= before.ln_ratio("a", cm, ON)[1] + 1e-9


def test_condition_is_told_against_its_own_past_and_judges_nothing():
    assert relative_weight(standard_weight_g(50), 50) == pytest.approx(1)
    assert condition_words(1.2, None) == "Last weighed at 120% of the standard weight of carp of its length."
    assert condition_words(1.0, 1.25).endswith("20% less than the time before.")
    assert condition_words(1.2, 1.22).endswith("as before.")
