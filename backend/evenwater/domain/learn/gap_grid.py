"""What runs of a repeating work tell about the next: gamma laws weighed on a grid. Numbers in, numbers out.

A run lasts t days by a gamma law of shape a and mean m: a = 1 is pure chance (as likely to end today as any day), a
large is clockwork. Both are unknown: ln a ~ N(ln 2, 0.5) on 22 points, m flat in ln m. A run that ended counts by its
density, one that only held so far by its chance of holding that long. After a change the mean is m r, ln r ~ N(0, 1),
the shape the same. Nothing is fitted: all laws are summed over, each with its weight.

Means, ratios and days stand on one grid of equal steps in ln, so that a chance of holding, which depends on ln t - ln m
alone, is worked out once for each difference. Ratios fall half a step beside 1: none is "no change", each is longer or
shorter.
Source: our own; the gamma law with unfinished runs as in Kalbfleisch & Prentice (2002), The Statistical Analysis of
Failure Time Data, 2nd ed., chapters 2 and 3.
"""

from collections.abc import Sequence
from math import ceil, exp, floor, log
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Grid = NDArray[np.float64]

_STEP: Final = 0.1
"""Of the grid, in ln: a tenth. Halving it moves no chance by more than 0.003, no day by more than a fiftieth."""
_SHAPES: Final = 22
_SHAPE_LOW, _SHAPE_HIGH, _SHAPE_MIDDLE, _SHAPE_SD = 0.5, 12.0, 2.0, 0.5
_MEANS_EACH_WAY: Final = 27
"""Steps of the mean to either side of the plain one: a factor of fifteen."""
_RATIOS_EACH_WAY: Final = 30
"""Steps of ln r to either side of 0: three standard deviations of its prior."""
_DAYS_EACH_WAY: Final = 34
_LEAST: Final = 1e-300


class Held(Struct, frozen=True):
    """Runs [days] as they teach: those that `ended`, and those that only `held` so long, under way or cut off."""

    ended: tuple[float, ...] = ()
    held: tuple[float, ...] = ()


class Compared(Struct, frozen=True):
    """Runs after a change against those before: chance that they are longer now, and the ratio of the means.

    The ratio's 5, 50 and 95 % points.
    """

    longer: float
    low_ratio: float
    middle_ratio: float
    high_ratio: float


def next_run(runs: Held, shares: Sequence[float]) -> tuple[float, ...]:
    """Days by which such a share of runs like these will have ended.

    Args:
        runs: What is known; at least one that ended, each [days] above 0.
        shares: 0 to 1, each.

    Returns:
        Days [days], in the order of `shares`; what is not known of the law is in them.

    >>> [round(days, 1) for days in next_run(Held((9.0, 10.0, 8.0, 11.0, 9.0), (3.0,)), (0.25, 0.5, 0.75))]
    [5.7, 8.8, 12.9]
    """
    shapes, prior = _shapes()
    centre = _centre(runs)
    weights = np.exp(_peaked(_told(runs, shapes, centre + _STEP * _steps(_MEANS_EACH_WAY)) + prior))
    weights /= weights.sum()
    days = _STEP * _steps(_DAYS_EACH_WAY)
    holding = _holding_by_difference(shapes, _DAYS_EACH_WAY + _MEANS_EACH_WAY)
    # Row by row: chance at day j = sum over means i of weight i times holding at difference j - i.
    windows = np.lib.stride_tricks.sliding_window_view(holding, 2 * _MEANS_EACH_WAY + 1, axis=1)
    ended = 1.0 - np.einsum("aji,ai->j", windows, weights[:, ::-1])
    return tuple(float(exp(centre + np.interp(share, ended, days))) for share in shares)


def compare(before: Held, after: Held) -> Compared:
    """Whether runs are longer after a change.

    Args:
        before: Runs before it, at least one that ended; the one under way at the change as held.
        after: Runs after it, the one under way as held; each [days] above 0.

    >>> round(compare(Held((9.0,) * 6), Held((), (40.0,))).longer, 3)
    0.998
    """
    shapes, prior = _shapes()
    centre = _centre(before)
    first = _told(before, shapes, centre + _STEP * _steps(_MEANS_EACH_WAY)) + prior
    second = _told(after, shapes, centre + _after_means())
    ratios, chances = _ratios(np.exp(_peaked(first)), np.exp(_peaked(second)))
    below = np.cumsum(chances) - 0.5 * chances
    low, middle, high = (float(exp(np.interp(share, below, ratios))) for share in (0.05, 0.5, 0.95))
    return Compared(float(chances[ratios > 0.0].sum()), low, middle, high)


def quiet_days(before: Held, after: Held, open_days: float, sure: float, most_days: float) -> float | None:
    """How much longer the run under way must hold, without ending, until "longer now" is `sure`.

    Args:
        before: As in `compare`.
        after: As in `compare`, the run under way left out.
        open_days: How long the run under way has held [days], 0 or more.
        sure: Chance that is to be reached, 0.5 to 1.
        most_days: Beyond this [days] nobody waits.

    Returns:
        Further days, 0 or more; None where it takes more than `most_days`.
    """
    shapes, prior = _shapes()
    centre = _centre(before)
    first = np.exp(_peaked(_told(before, shapes, centre + _STEP * _steps(_MEANS_EACH_WAY)) + prior))
    second = np.exp(_peaked(_told(after, shapes, centre + _after_means())))
    longer, shorter = _reached_by(first)
    days, holding = _waiting(shapes, centre, open_days, open_days + most_days)
    up, down = (np.einsum("ajk,ak->j", holding, side * second) for side in (longer, shorter))
    chances = up / np.maximum(up + down, _LEAST)
    if chances[-1] < sure:
        return None
    return max(0.0, float(np.interp(sure, chances, days)) - open_days)


def held_chance(shapes: Grid, means_days: Grid, days: float) -> Grid:
    """Chance that a run holds so long [–], a row for each shape, a column for each mean [days]."""
    from scipy.special import gammaincc  # pyright: ignore[reportMissingTypeStubs, reportUnknownVariableType] # scipy has no types

    found: Grid = gammaincc(shapes[:, None], shapes[:, None] * days / means_days[None, :])
    return found


def _shapes() -> tuple[Grid, Grid]:
    """The shapes, and ln of what each weighs beforehand, as a column."""
    logs = np.linspace(log(_SHAPE_LOW), log(_SHAPE_HIGH), _SHAPES)
    return np.exp(logs), (-0.5 * ((logs - log(_SHAPE_MIDDLE)) / _SHAPE_SD) ** 2)[:, None]


def _steps(each_way: int) -> Grid:
    return np.arange(-each_way, each_way + 1, dtype=np.float64)


def _after_means() -> Grid:
    """ln of the means after a change against the grid's centre: half a step beside those before."""
    reach = _MEANS_EACH_WAY + _RATIOS_EACH_WAY
    return _STEP * (np.arange(-reach, reach, dtype=np.float64) + 0.5)


def _centre(runs: Held) -> float:
    return log((sum(runs.ended) + sum(runs.held)) / len(runs.ended))


def _told(runs: Held, shapes: Grid, log_means: Grid) -> Grid:
    """ln likelihood of the runs, a row for each shape, a column for each mean."""
    from scipy.special import gammaln  # pyright: ignore[reportMissingTypeStubs, reportUnknownVariableType] # as above

    count, total = len(runs.ended), sum(runs.ended)
    of_logs = sum(log(days) for days in runs.ended)
    column = shapes[:, None]
    told: Grid = count * (column * (np.log(column) - log_means) - gammaln(column))
    told += (column - 1.0) * of_logs - column * total * np.exp(-log_means)
    means = np.exp(log_means)
    for days in sorted(set(runs.held)):
        told += runs.held.count(days) * np.log(np.maximum(held_chance(shapes, means, days), _LEAST))
    return told


def _peaked(told: Grid) -> Grid:
    return told - told.max()


def _holding_by_difference(shapes: Grid, each_way: int) -> Grid:
    """Chance of holding for each difference ln t - ln m of the grid, a row for each shape."""
    return held_chance(shapes, np.exp(-_STEP * _steps(each_way)), 1.0)


def _ratios(first: Grid, second: Grid) -> tuple[Grid, Grid]:
    """ln of each ratio of the means, and its chance."""
    ratios = _STEP * (np.arange(-_RATIOS_EACH_WAY, _RATIOS_EACH_WAY, dtype=np.float64) + 0.5)
    windows = np.lib.stride_tricks.sliding_window_view(second, 2 * _MEANS_EACH_WAY + 1, axis=1)
    chances = np.einsum("aji,ai->j", windows, first) * np.exp(-0.5 * ratios**2)
    return ratios, chances / chances.sum()


def _reached_by(first: Grid) -> tuple[Grid, Grid]:
    """What each mean after the change weighs by all means before it, as a longer and as a shorter one."""
    before = _STEP * _steps(_MEANS_EACH_WAY)
    ratios = _after_means()[None, :] - before[:, None]
    prior = np.where(np.abs(ratios) < _STEP * _RATIOS_EACH_WAY, np.exp(-0.5 * ratios**2), 0.0)
    return first @ np.where(ratios > 0.0, prior, 0.0), first @ np.where(ratios < 0.0, prior, 0.0)


def _waiting(shapes: Grid, centre: float, first_days: float, last_days: float) -> tuple[Grid, Grid]:
    """Days on the grid from about the first to the last, and the chance of holding so long: shape, day, mean after."""
    first = floor((log(max(first_days, 0.5)) - centre) / _STEP)
    days = np.arange(first, ceil((log(last_days) - centre) / _STEP) + 1, dtype=np.float64)
    means = _after_means()
    # Day j less mean k, from the last mean and the first day on: the windows run against the means.
    differences = _STEP * np.arange(len(days) + len(means) - 1) + _STEP * first - means[-1]
    holding = held_chance(shapes, np.exp(-differences), 1.0)
    windows = np.lib.stride_tricks.sliding_window_view(holding, len(means), axis=1)
    return np.exp(centre + _STEP * days), windows[:, :, ::-1]
