"""All the fish of a pond by weight: the register's, each by its own lengths, where it holds every fish there is.

Fish of a household that are heavier for their length than thought are all heavier: that part of the doubt adds up
whole, the rest as independent errors do.
"""

from collections.abc import Sequence
from datetime import date
from math import log
from typing import Final

from evenwater.domain.fish.grown import Grown, weight_on
from evenwater.domain.fish.length_weight import Z90, PondWeights
from evenwater.domain.fish.outlook import Band, FishStock
from evenwater.domain.fish.stock import Stock
from evenwater.domain.workings import Given, Step, Workings

_AS_SET: Final = 0.2
_SHARED_AT_CM: Final = 50.0


def stock_of(pond: str, fish: Sequence[Grown], weights: PondWeights, told: Stock, today: date) -> FishStock:
    """What swims in a pond today.

    Args:
        pond: Its id.
        fish: The register.
        weights: Weight from length in this household.
        told: Number and mass as set, and moves since.
        today: The date.
    """
    here = [(one, count) for one in fish if (count := one.where.here.get(pond, 0))]
    named = sum(count for _, count in here)
    count = named if told.count is None else told.count
    if not here:
        return FishStock(count=told.count, mass_g=_as_set(told.mass_g), says=_without_register(told))
    weighed = [(one, many, weight_on(one, weights, today, today)) for one, many in here]
    unknown = sum(many for _, many, weight in weighed if weight is None)
    if unknown or named < count:
        says = _missing(named, count, unknown)
        return FishStock(count=count, mass_g=_as_set(told.mass_g), says=says)
    mass = _added([(many, weight) for _, many, weight in weighed if weight is not None], weights, today)
    more = f" {told.count} were set: {named} are in the register here." if named > count else ""
    return FishStock(
        count=named,
        mass_g=mass,
        says=f"All {named} by their last lengths, and what they have grown since.{more}",
        by_register=True,
        workings=_workings(named, weights, mass),
    )


def mass_by_register(pond: str, fish: Sequence[Grown], weights: PondWeights, on: date, today: date) -> float | None:
    """What the fish that were there on a date weighed then, together [g]; None where one was not measured by then.

    Args:
        pond: The pond's id.
        fish: The register.
        weights: Weight from length in this household.
        on: The date, today or before.
        today: Today.
    """
    total_g = 0.0
    for one in fish:
        if one.where.pond_on(on) != pond:
            continue
        if not one.dates or one.dates[0] > on:
            return None
        weight = weight_on(one, weights, on, today)
        if weight is None:
            return None
        total_g += one.fish.count * weight.middle
    return total_g or None


def _added(weighed: Sequence[tuple[int, Band]], weights: PondWeights, today: date) -> Band:
    total_g = sum(many * weight.middle for many, weight in weighed)
    shared = weights.shared_sd(_SHARED_AT_CM)
    apart = 0.0
    for many, weight in weighed:
        sd = log(weight.high / weight.low) / 2.0 / Z90
        apart += (many * weight.middle) ** 2 * max(0.0, sd**2 - shared**2)
    half = Z90 * ((shared * total_g) ** 2 + apart) ** 0.5
    return Band(max(0.3 * total_g, total_g - half), total_g, total_g + half)


def _as_set(mass_g: float | None) -> Band | None:
    return None if mass_g is None else Band(mass_g * (1 - _AS_SET), mass_g, mass_g * (1 + _AS_SET))


def _without_register(told: Stock) -> str:
    if told.count is None and told.mass_g is None:
        return "Not known: no fish is in the register, and neither number nor mass is set."
    if told.mass_g is None:
        return "The number as set and moves since; their mass is not known."
    return "As set, and moves since; a fifth either way is assumed, as nobody said how well it is known."


def _missing(named: int, count: int, unknown: int) -> str:
    parts = [f"{named} of {count} are in the register"] if named < count else []
    parts += [f"{unknown} {'has' if unknown == 1 else 'have'} not been measured"] if unknown else []
    said = "; ".join(parts)
    return f"{said[0].upper()}{said[1:]}: their mass together is not worked out."


def _workings(named: int, weights: PondWeights, mass: Band) -> Workings:
    return Workings(
        title="Mass of all fish",
        inputs=(
            Given("fish in the register here", named, "", "register and moves"),
            Given("weighings in the household", weights.weighings, "", "the log"),
        ),
        steps=(
            Step("weights of all fish, added", f"{mass.middle / 1000:.1f} kg"),
            Step("doubt all fish share", f"± {weights.shared_sd(_SHARED_AT_CM):.0%} (one standard deviation)"),
        ),
        result=f"{mass.middle / 1000:.1f} kg ({mass.low / 1000:.1f} to {mass.high / 1000:.1f} kg nine times in ten)",
        source="As each fish's weight; errors all fish share add up whole.",
    )
