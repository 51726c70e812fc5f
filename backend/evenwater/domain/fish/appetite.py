"""How much of their usual food the fish eat, learned of what was left: a share of it, begun wide and followed slowly.

On a day they can eat so much; "all" says that it was at least what was given, "some left" that it was between half and
all of it, "most left" less than half. Their appetite is believed on a grid; what was seen a week and a half ago counts
half. Of it so much is fed that on most days nothing is left to rot. Our own.
"""

from collections.abc import Sequence
from datetime import date
from math import erf, exp, log, sqrt
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import Appetite

LOOKS_BACK_DAYS: Final = 30
ENOUGH_DAYS: Final = 3
"""Days on which somebody told how much was eaten before it bears on the amount. Our own."""
LEAST_FRACTION, MOST_FRACTION = 0.4, 1.1
"""Bounds of what is learned: the rest is for whoever stands at the water."""
_GRID: Final = tuple(-1.8 + 0.05 * step for step in range(61))
_BEFORE, _BEFORE_SD = 0.1, 0.4
_DAY_SD: Final = 0.25
_NEVER: Final = 1e-15
_HALF_AFTER_DAYS: Final = 10.0
_ON_MOST_DAYS: Final = 0.6  # standard deviations: eaten up on nearly three days of four


class DayEaten(Struct, frozen=True):
    """A day's food as a share of the usual [–], and the least that was eaten of any of its meals."""

    on: date
    fraction: float
    appetite: Appetite


class LearnedAppetite(Struct, frozen=True):
    """The share of the usual food to give [–], of how many days it was learned, on how many something was left."""

    fraction: float
    days: int
    left_on: int

    def says(self) -> str:
        """In a sentence."""
        if self.left_on:
            return f"Something was left on {self.left_on} of {self.days} days lately: {self.fraction:.0%} of the usual."
        return f"All was eaten on {self.days} days lately: {self.fraction:.0%} of the usual."


def learned_appetite(told: Sequence[DayEaten], today: date) -> LearnedAppetite | None:
    """What was learned; None with too few days.

    Args:
        told: Days of any order; those over a month old are left out.
        today: The date.
    """
    lately = [one for one in told if 0 <= (today - one.on).days <= LOOKS_BACK_DAYS and one.fraction > 0]
    if len(lately) < ENOUGH_DAYS:
        return None
    fits = [_fit(at, lately, today) for at in _GRID]
    most = max(fits)
    weights = [exp(fit - most) for fit in fits]
    total = sum(weights)
    mean = sum(weight * at for weight, at in zip(weights, _GRID, strict=True)) / total
    spread = sum(weight * (at - mean) ** 2 for weight, at in zip(weights, _GRID, strict=True)) / total
    fraction = exp(mean - _ON_MOST_DAYS * sqrt(spread + _DAY_SD**2))
    left_on = sum(one.appetite != "all" for one in lately)
    if left_on == 0:
        fraction = max(1.0, fraction)  # nothing speaks for less
    return LearnedAppetite(min(MOST_FRACTION, max(LEAST_FRACTION, fraction)), len(lately), left_on)


def _fit(at: float, lately: Sequence[DayEaten], today: date) -> float:
    fit = -0.5 * ((at - _BEFORE) / _BEFORE_SD) ** 2
    for one in lately:
        eats_all = _above(at, one.fraction)
        eats_half = _above(at, one.fraction / 2)
        likely = {"all": eats_all, "some_left": eats_half - eats_all, "most_left": 1.0 - eats_half}[one.appetite]
        counts = 0.5 ** ((today - one.on).days / _HALF_AFTER_DAYS)
        fit += counts * log(max(_NEVER, likely))
    return fit


def _above(at: float, fraction: float) -> float:
    """How likely they eat more than that share on a day."""
    return 0.5 * (1.0 + erf((at - log(fraction)) / _DAY_SD / sqrt(2.0)))
