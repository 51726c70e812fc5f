"""Degree-days of the water a fish lived in."""

from datetime import date, timedelta

import pytest

from evenwater.domain.fish.degree_days import DegreeDays
from evenwater.domain.fish.whereabouts import Stay, Whereabouts

FIRST = date(2025, 1, 1)


def days(count: int, level_c: float, first: date = FIRST, step: int = 1) -> dict[date, float]:
    return {first + timedelta(days=nth): level_c for nth in range(0, count, step)}


def at_home(pond: str = "main") -> Whereabouts:
    return Whereabouts((Stay(None, {pond: 1}),), pond, None, None, False)


def after(count: int) -> date:
    return FIRST + timedelta(days=count)


def test_only_warmth_over_ten_degrees_counts():
    assert DegreeDays({"main": days(100, 18.0)}).between(at_home(), FIRST, after(50)) == pytest.approx(400)
    assert DegreeDays({"main": days(100, 6.0)}).between(at_home(), FIRST, after(50)) == 0


def test_gaps_of_a_month_are_bridged_and_longer_ones_make_it_not_known():
    weekly = DegreeDays({"main": days(200, 18.0, step=7)})
    assert weekly.between(at_home(), FIRST, after(100)) == pytest.approx(800)
    seldom = DegreeDays({"main": days(400, 18.0, step=60)})
    assert seldom.between(at_home(), FIRST, after(300)) is None
    assert DegreeDays({}).between(at_home(), FIRST, after(300)) is None


def test_a_fish_that_moved_has_the_warmth_of_both_ponds():
    moved = Whereabouts((Stay(None, {"main": 1}), Stay(after(40), {"hall": 1})), "hall", None, None, False)
    warmth = DegreeDays({"main": days(100, 12.0), "hall": days(100, 20.0)})
    assert warmth.between(moved, FIRST, after(60)) == pytest.approx(40 * 2 + 20 * 10)


def test_a_cold_half_year_counts_for_less_time_than_a_warm_one():
    warm = days(182, 20.0) | days(183, 11.0, after(182))
    years = DegreeDays({"main": warm}).years(at_home(), [FIRST, after(182), after(364)])
    assert years[0] == 0
    assert years[1] > 0.85
    assert years[2] == pytest.approx(364 / 365.25)


def test_where_the_warmth_is_not_known_the_calendar_counts():
    assert DegreeDays({}).years(at_home(), [FIRST, after(365)]) == [0, pytest.approx(365 / 365.25)]
