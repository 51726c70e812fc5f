"""How long the food lasts."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.fish.food_stock import food_left
from evenwater.domain.kit import FoodStock

TODAY = date(2026, 7, 1)


def fed(days: int, grams: float) -> list[tuple[date, float]]:
    return [(TODAY - timedelta(days=nth), grams) for nth in range(days)]


def counted(days_ago: int, stock_g: float = 5000, price: float | None = None) -> FoodStock:
    return FoodStock(stock_g, TODAY - timedelta(days=days_ago), "Growth food", price)


def test_what_was_fed_since_it_was_counted_is_taken_off():
    left = food_left(counted(20, price=8.0), fed(60, 100), "€", TODAY)
    assert left.left_g == pytest.approx(3000)
    assert left.days_left == pytest.approx(30)
    assert left.cost_per_month == pytest.approx(24)
    assert not left.low
    assert left.says == "Growth food: at the rate of the last days it lasts till 31 Jul 2026."


def test_with_food_for_less_than_a_fortnight_it_is_low():
    assert food_left(counted(40), fed(60, 100), "€", TODAY).low
    gone = food_left(counted(80), fed(80, 100), "€", TODAY)
    assert (gone.left_g, gone.low) == (0, True)
    assert "used up" in gone.says


def test_in_winter_nothing_is_fed_and_nothing_runs_out():
    left = food_left(counted(30), [], "€", TODAY)
    assert (left.left_g, left.days_left, left.low) == (5000, None, False)


def test_counted_long_ago_it_says_to_count_again():
    left = food_left(counted(200, 50_000), fed(90, 100), "€", TODAY)
    assert left.left_g == pytest.approx(50_000 - 9000 - 110 * 100)
    assert "count again" in left.says


@given(st.integers(0, 300), st.floats(0, 1e6), st.lists(st.tuples(st.integers(0, 89), st.floats(0, 5000)), max_size=20))
def test_there_is_never_more_left_than_was_counted_nor_less_than_nothing(days_ago, stock_g, meals):
    told = [(TODAY - timedelta(days=ago), grams) for ago, grams in meals]
    left = food_left(counted(days_ago, stock_g), told, "€", TODAY)
    assert 0 <= left.left_g <= stock_g
    assert left.days_left is None or left.days_left >= 0
