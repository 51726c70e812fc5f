"""How long permeate runs to waste after the membrane starts: fitted to the start-ups this keeper has written down.

While it stands, salts creep through; the first permeate carries them and thins out. Each start-up is fitted with a
level it settles at plus a slug that decays; the fit says when it fell below the limit. The next is foretold from them.

Source: our own. First-order wash-out of a small mixed volume; the band is of a normal law in the minutes' logarithm.
"""

from collections.abc import Sequence
from math import exp, log, sqrt
from typing import Final

from msgspec import Struct

from evenwater.domain.learn.estimate import BAND_SIGMAS

StartUpSteps = Sequence[tuple[float, float]]
"""(minutes since the start, permeate conductivity at 25 °C [µS/cm])."""

_TAUS: Final = tuple(0.2 * 1.04**i for i in range(168))
"""Time in which the slug falls to a third [min]: 0.2 to 144."""
_LEAST_STEPS = 3
_RECENT = 12
_SPREAD_ALONE: Final = 0.35
"""Scatter of ln minutes when one start-up is all there is. Common practice, no source."""
_SPREAD_READINGS = 4


class Slug(Struct, frozen=True):
    """A fitted start-up: settles at `floor` [µS/cm], begins `above` it [µS/cm], falls to a third in `tau_min` [min]."""

    floor_us_per_cm: float
    above_us_per_cm: float
    tau_min: float

    def minutes_to(self, limit_us_per_cm: float) -> float | None:
        """Minutes until permeate is at the limit; 0 when it begins below, None when it never comes there."""
        if self.floor_us_per_cm + self.above_us_per_cm <= limit_us_per_cm:
            return 0.0
        if self.floor_us_per_cm >= limit_us_per_cm:
            return None
        return self.tau_min * log(self.above_us_per_cm / (limit_us_per_cm - self.floor_us_per_cm))


class Flush(Struct, frozen=True, kw_only=True):
    """Minutes of flush to expect, 90 % of the time from low to high; `settles`: permeate at the end [µS/cm].

    `start_ups`: how many it rests on; `never`: how many of them never came below the limit.
    """

    low_min: float
    middle_min: float
    high_min: float
    settles_us_per_cm: float
    start_ups: int
    never: int


def fitted(steps: StartUpSteps) -> Slug | None:
    """A settled level plus a decaying slug through one start-up's readings.

    Args:
        steps: Minutes since the start and conductivity [µS/cm]; in any order.

    Returns:
        The fit with the least squared relative error; None with under three readings or no two moments.
    """
    if len(steps) < _LEAST_STEPS or len({minutes for minutes, _ in steps}) < _LEAST_STEPS:
        return None
    return min((_line(steps, tau) for tau in _TAUS), key=lambda fit: fit[0])[1]


def flush_of(start_ups: Sequence[StartUpSteps], limit_us_per_cm: float) -> Flush | None:
    """Minutes of flush to expect at the next start.

    Args:
        start_ups: Each start-up's readings, oldest first.
        limit_us_per_cm: Permeate is waste until its conductivity is below this [µS/cm].

    Returns:
        The flush, None where no start-up can be fitted or none came below the limit.
    """
    slugs = [slug for slug in map(fitted, start_ups[-_RECENT:]) if slug is not None]
    times = [slug.minutes_to(limit_us_per_cm) for slug in slugs]
    came = [max(minutes, 0.1) for minutes in times if minutes is not None]
    if not came:
        return None
    logs = [log(minutes) for minutes in came]
    middle = sum(logs) / len(logs)
    # A few start-ups say little about their own scatter: the usual one counts as some more of them.
    squares = sum((one - middle) ** 2 for one in logs) + _SPREAD_READINGS * _SPREAD_ALONE**2
    spread = sqrt(squares / (len(logs) - 1 + _SPREAD_READINGS) * (1 + 1 / len(logs)))
    return Flush(
        low_min=exp(middle - BAND_SIGMAS * spread),
        middle_min=exp(middle),
        high_min=exp(middle + BAND_SIGMAS * spread),
        settles_us_per_cm=slugs[-1].floor_us_per_cm,
        start_ups=len(came),
        never=len(times) - len(came),
    )


def _line(steps: StartUpSteps, tau_min: float) -> tuple[float, Slug]:
    """(squared relative error, fit) for one tau: a weighted straight line in the slug's decay, no part below 0."""
    points = [(exp(-minutes / tau_min), value, 1.0 / max(value, 1.0) ** 2) for minutes, value in steps]
    total = sum(w for _, _, w in points)
    mean_x, mean_y = (sum(p[i] * p[2] for p in points) / total for i in (0, 1))
    spread = sum(w * (x - mean_x) ** 2 for x, _, w in points)
    slope = sum(w * (x - mean_x) * (y - mean_y) for x, y, w in points) / spread if spread > 1e-12 else 0.0
    above = max(0.0, slope)
    floor = mean_y - above * mean_x
    if floor < 0.0:
        floor, above = 0.0, sum(w * x * y for x, y, w in points) / sum(w * x * x for x, _, w in points)
    error = sum(w * (floor + above * x - y) ** 2 for x, y, w in points)
    return error, Slug(floor, above, tau_min)
