"""The food that is left: what was counted less what was fed since, for how many days, at what cost."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from evenwater.domain.fish.outlook import FoodLeft
from evenwater.domain.kit import FoodStock
from evenwater.domain.workings import Given, Step, Workings

MEAN_OVER_DAYS: Final = 14
"""Over how many days a day's food is averaged. Our own."""
LOW_DAYS: Final = 14
"""With food for fewer days it is time to buy. Our own."""
KNOWN_DAYS: Final = 90
"""How far back every meal is known; before it the mean stands in."""
_MONTH_DAYS: Final = 30
_FED_G: Final = 0.1

DayFed = tuple[date, float]


def food_left(food: FoodStock, fed: Sequence[DayFed], currency: str, today: date) -> FoodLeft:
    """What is left today.

    Args:
        food: As it was counted.
        fed: (date, grams) of every meal of the last months.
        currency: A word or sign put before amounts.
        today: The date.
    """
    span = min(MEAN_OVER_DAYS, max(1, (today - food.counted_on).days))
    since = today - timedelta(days=span)
    mean_g = sum(grams for on, grams in fed if since < on <= today) / span
    known_from = max(food.counted_on, today - timedelta(days=KNOWN_DAYS))
    given_g = sum(grams for on, grams in fed if known_from < on <= today)
    assumed_g = mean_g * (known_from - food.counted_on).days
    left_g = max(0.0, food.stock_g - given_g - assumed_g)
    days = left_g / mean_g if mean_g >= _FED_G else None
    cost = mean_g * _MONTH_DAYS / 1000.0 * food.price_per_kg if food.price_per_kg is not None else None
    return FoodLeft(
        left_g=left_g,
        days_left=days,
        cost_per_month=cost,
        currency=currency,
        low=left_g <= 0 or (days is not None and days < LOW_DAYS),
        says=_says(food, left_g, days, assumed_g > 0, today),
        workings=_workings(food, given_g, assumed_g, mean_g, left_g),
    )


def _says(food: FoodStock, left_g: float, days: float | None, assumed: bool, today: date) -> str:
    name = food.name or "Food"
    counted = f"{food.counted_on.day} {food.counted_on:%b %Y}"
    again = f" Counted on {counted}: count again." if assumed else ""
    if left_g <= 0:
        return f"{name}: by what was fed since {counted} it is used up. Count again.".strip()
    if days is None:
        return f"{name}: nothing was fed lately.{again}"
    ends = today + timedelta(days=min(2000, int(days)))
    return f"{name}: at the rate of the last days it lasts till {ends.day} {ends:%b %Y}.{again}"


def _workings(food: FoodStock, given_g: float, assumed_g: float, mean_g: float, left_g: float) -> Workings:
    steps = [Step("fed since, as recorded", f"{given_g:.0f} g"), Step("a day's food lately", f"{mean_g:.0f} g")]
    if assumed_g > 0:
        steps.append(Step("before that, by a day's food lately", f"{assumed_g:.0f} g"))
    return Workings(
        title="Food left",
        inputs=(Given("counted", food.stock_g, "g", f"set for {food.counted_on.isoformat()}"),),
        steps=tuple(steps),
        result=f"{left_g / 1000:.2f} kg",
        source="Counted less fed; what was not recorded is not taken off.",
    )
