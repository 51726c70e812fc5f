"""By how much readings stepped up at a day, with an interval no single bad card can move.

- A pond drifts with season and growth, so a slope common to both sides is taken off first (Theil and Sen's, from pairs
  within a side): what is left between the sides is a step, not the drift.
- The step is Hodges and Lehmann's: the median of all differences of a value after and a value before. Its interval runs
  from one of these differences to another, counted in from both ends by the rank-sum test: no law of the values is
  supposed.
- A day's water resembles that of the day before, so its readings tell less than as many strangers would, and the slope
  is not known for certain either. The interval is stretched about its middle by what both make of the standard
  deviation of a step fitted by least squares, and by Student's quantile over the normal one with as many degrees of
  freedom as days are left in effect. Both are our own.

Source: Hodges & Lehmann (1963), Ann. Math. Statist. 34, 598-611; interval as in Hollander, Wolfe & Chicken (2014),
Nonparametric Statistical Methods, 3rd ed., section 4.3 (section from memory). Sen (1968), J. Am. Stat. Assoc. 63,
1379-1389. Bias of a correlation of few: Marriott & Pope (1954), Biometrika 41, 390-402.
"""

from collections.abc import Mapping
from datetime import date
from math import floor, sqrt
from statistics import NormalDist
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

FEWEST_DAYS: Final = 8
"""Days with readings on each side: of fewer neither drift nor likeness of days can be told. Our own rule of thumb."""
_MOST_CORRELATED: Final = 0.98
_FEWEST_FREE: Final = 1.0
_OUTLIER_MADS: Final = 4.5
"""Beyond so many median deviations (three standard deviations of a normal law) a value counts as just so far out."""


class Shift(Struct, frozen=True, kw_only=True):
    """Values after less values before, in their own unit; `low` to `high` holds the true step with the chance asked.

    `slope_per_day`: the drift common to both sides, taken off. `correlation`: of one day with the next [0 to 1].
    `effective_before`, `effective_after`: how many unrelated days tell as much.
    """

    low: float
    middle: float
    high: float
    slope_per_day: float
    correlation: float
    effective_before: float
    effective_after: float


def shift_of(before: Mapping[date, float], after: Mapping[date, float], sure: float) -> Shift | None:
    """How far values moved.

    Args:
        before: A value a day.
        after: The same, of later days, in the same unit.
        sure: Chance that the interval holds the shift [–], 0.5 to 0.999.

    Returns:
        The shift; None with under FEWEST_DAYS days on a side.
    """
    if min(len(before), len(after)) < FEWEST_DAYS:
        return None
    days = [_days(side) for side in (before, after)]
    values = [np.array([side[on] for on in sorted(side)]) for side in (before, after)]
    slope = _slope(days, values)
    level = [of - slope * on for on, of in zip(days, values, strict=True)]
    correlation = _correlation(days, level)
    effective = [float(len(on) ** 2 / _alike(on, correlation).sum()) for on in days]
    differences = np.sort((level[1][:, None] - level[0][None, :]).ravel())
    out = _ranks_out(len(before), len(after), sure)
    stretch = _stretch(days, correlation, sum(effective), sure)
    middle = float(np.median(differences))
    return Shift(
        low=middle - stretch * (middle - float(differences[out - 1])),
        middle=middle,
        high=middle + stretch * (float(differences[-out]) - middle),
        slope_per_day=slope,
        correlation=correlation,
        effective_before=effective[0],
        effective_after=effective[1],
    )


def _days(side: Mapping[date, float]) -> Numbers:
    return np.array([on.toordinal() for on in sorted(side)], dtype=np.float64)


def _slope(days: list[Numbers], values: list[Numbers]) -> float:
    """Median of the slopes between any two days of one side."""
    slopes: list[Numbers] = []
    for on, of in zip(days, values, strict=True):
        first, second = np.triu_indices(len(on), 1)
        slopes.append((of[second] - of[first]) / (on[second] - on[first]))
    return float(np.median(np.concatenate(slopes)))


def _ranks_out(before: int, after: int, sure: float) -> int:
    """Which difference, counted in from the end, bounds the interval of unrelated values."""
    spread = sqrt(before * after * (before + after + 1) / 12.0)
    return max(1, floor(0.5 * before * after - NormalDist().inv_cdf(0.5 + 0.5 * sure) * spread))


def _stretch(days: list[Numbers], correlation: float, effective: float, sure: float) -> float:
    """How much wider the interval is for days that resemble each other, a slope that is not known, and few of them."""
    from scipy.special import stdtrit  # pyright: ignore[reportMissingTypeStubs, reportUnknownVariableType] # scipy has no types

    widened = _step_variance(days, correlation) / sum(1.0 / len(on) for on in days)
    few = float(stdtrit(max(_FEWEST_FREE, effective - 3.0), 0.5 + 0.5 * sure)) / NormalDist().inv_cdf(0.5 + 0.5 * sure)
    return sqrt(widened) * few


def _step_variance(days: list[Numbers], correlation: float) -> float:
    """Variance of a step fitted beside two levels' common slope, in that of one value."""
    on = np.concatenate(days)
    step = np.concatenate([np.zeros(len(days[0])), np.ones(len(days[1]))])
    design = np.column_stack([np.ones(len(on)), on - on.mean(), step])
    weights = np.linalg.solve(design.T @ design, design.T)[2]
    return float(weights @ _alike(on, correlation) @ weights)


def _correlation(days: list[Numbers], level: list[Numbers]) -> float:
    """Of one day with the next, each side about its own middle; raised by what two levels and a slope make it lose."""
    products = squares = 0.0
    gaps: list[float] = []
    for on, of in zip(days, level, strict=True):
        left = _tamed(of)
        products += float((left[1:] * left[:-1]).mean()) * len(left)
        squares += float((left**2).sum())
        gaps += [float(gap) for gap in np.diff(on)]
    if squares <= 0.0:
        return 0.0
    neighbours = products / squares
    bias = 2.0 * (1.0 + 3.0 * max(0.0, neighbours)) + 1.0 + max(0.0, neighbours)
    neighbours += bias / sum(len(of) for of in level)
    return min(_MOST_CORRELATED, max(0.0, neighbours) ** (1.0 / float(np.median(gaps))))


def _tamed(values: Numbers) -> Numbers:
    """Values about their median, the far ones drawn in: a bad card must not hide that days resemble each other."""
    left = values - np.median(values)
    most = _OUTLIER_MADS * float(np.median(np.abs(left)))
    return np.clip(left, -most, most) if most > 0.0 else left


def _alike(days: Numbers, correlation: float) -> Numbers:
    """Correlation of each day with each."""
    return correlation ** np.abs(days[:, None] - days[None, :])
