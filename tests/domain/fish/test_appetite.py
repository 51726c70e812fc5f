"""What is learned of food that was left over."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.fish.appetite import (
    LEAST_FRACTION,
    MOST_FRACTION,
    DayEaten,
    learned_appetite,
)

TODAY = date(2026, 7, 1)
appetites = st.sampled_from(["all", "some_left", "most_left"])
days = st.lists(
    st.builds(
        lambda ago, fraction, appetite: DayEaten(TODAY - timedelta(days=ago), fraction, appetite),
        st.integers(0, 30),
        st.floats(0.5, 1.5),
        appetites,
    ),
    min_size=3,
    max_size=12,
)


def told(*appetites: str, fraction: float = 1.0) -> list[DayEaten]:
    return [DayEaten(TODAY - timedelta(days=nth), fraction, one) for nth, one in enumerate(appetites)]


def test_nothing_is_learned_of_two_days_or_of_long_ago():
    assert learned_appetite(told("all", "some_left"), TODAY) is None
    assert learned_appetite([DayEaten(TODAY - timedelta(days=40), 1.0, "all")] * 5, TODAY) is None


def test_all_eaten_day_after_day_gives_a_little_more_and_never_less():
    few, many = learned_appetite(told(*["all"] * 3), TODAY), learned_appetite(told(*["all"] * 20), TODAY)
    assert 1.0 <= few.fraction <= many.fraction <= MOST_FRACTION
    assert many.says().startswith("All was eaten on 20 days")


def test_food_left_over_gives_less_and_most_left_much_less():
    some = learned_appetite(told(*["some_left"] * 5), TODAY)
    most = learned_appetite(told(*["most_left"] * 5), TODAY)
    assert most.fraction < some.fraction < 0.8
    assert "left on 5 of 5 days" in some.says()


def test_what_was_left_last_week_weighs_more_than_last_month():
    lately = [*told("some_left", "some_left", "some_left")]
    earlier = [DayEaten(one.on - timedelta(days=25), one.fraction, one.appetite) for one in lately]
    assert learned_appetite(lately, TODAY).fraction < learned_appetite(earlier, TODAY).fraction


@given(days)
def test_what_is_learned_stays_within_its_bounds(known):
    assert LEAST_FRACTION <= learned_appetite(known, TODAY).fraction <= MOST_FRACTION


@given(days, st.integers(0, 11))
def test_more_left_on_one_day_never_gives_more_food(known, nth):
    nth %= len(known)
    one = known[nth]
    if one.appetite != "some_left":
        return
    worse = [*known[:nth], DayEaten(one.on, one.fraction, "most_left"), *known[nth + 1 :]]
    assert learned_appetite(worse, TODAY).fraction <= learned_appetite(known, TODAY).fraction + 1e-9
