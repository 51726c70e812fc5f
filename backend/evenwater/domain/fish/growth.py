"""Growth of one fish from its lengths: a von Bertalanffy curve with every parameter's band, exact but for one grid.

    L(t) = Linf - (Linf - L0) exp(-k t)

Given k the curve is straight in Linf and L0, so both are integrated over in closed form, and k on a grid. Lengths carry
a measuring error and the growth of a season wanders. Time is counted in years of this pond: by its degree-days over
10 °C where they are known, so that winter counts for nothing; else by the calendar.

Sources: von Bertalanffy (1938); priors around Fatemi et al. (2009), Iran. J. Fish. Sci. 8:127-140 (Caspian wild carp:
Linf 71.5 cm fork length, k 0.16 to 0.18 a year), wide enough for fast fish in heated ponds (common practice). Growth of
carp begins at 10 °C: a curve through Goolish & Adelman (1984), Aquaculture 36:27-35.
"""

from collections.abc import Sequence
from functools import lru_cache
from math import log
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from evenwater.domain.fish.length_weight import Z90
from evenwater.domain.fish.outlook import Band

GROWS_ABOVE_C: Final = 10.0
"""Water under which carp do not grow [°C]."""
ENOUGH_POINTS: Final = 4
"""Sessions before a curve is shown; with fewer, growth between sessions is told. Our own."""
ENOUGH_YEARS: Final = 1.5
"""How far apart the first and last of them must be at least [years]. Our own."""
_L_INF_CM: Final = (70.0, 14.0)
_K_PER_YEAR: Final = (0.24, 0.6)
_SEASON_FRACTION: Final = 0.25  # how far the growth of one span is off the curve's, of itself
_WANDERS_CM: Final = 0.3  # in a year
_ROOM_CM: Final = 5.0
_BEFORE: Final = np.array([_L_INF_CM[0], 40.0])
_SPREAD: Final = np.diag([_L_INF_CM[1] ** 2, 60.0**2])
_GRID: Final = 49
_GRID_SDS: Final = 3.2

Numbers = NDArray[np.float64]


class Point(Struct, frozen=True):
    """A length that counts: when [years of this pond since the first], total length [cm], how well it is known [cm]."""

    years: float
    total_cm: float
    sd_cm: float


class Foreseen(Struct, frozen=True):
    """A length as the curve foretells it [cm]."""

    middle: float
    sd: float


class GrowthCurve:
    """What lengths say of a fish's curve; from one length on, the fewer the more by what koi do."""

    def __init__(self, points: Sequence[Point]) -> None:
        """Learn it.

        Args:
            points: One or more, ascending in time.
        """
        self._first = points[0].years
        years = np.array([one.years - self._first for one in points])
        lengths = np.array([one.total_cm for one in points])
        noise = np.diag([one.sd_cm**2 for one in points])
        middle, sd = _K_PER_YEAR
        at = np.linspace(-_GRID_SDS, _GRID_SDS, _GRID)
        self._k: Numbers = middle * np.exp(sd * at)
        design = self._design(years)
        self._wander = self._wandered(years, lengths)
        cover = design @ _SPREAD @ design.transpose(0, 2, 1) + noise
        cover = cover + np.minimum(self._wander[:, :, None], self._wander[:, None, :])
        off = lengths - design @ _BEFORE
        inverse = np.asarray(np.linalg.inv(cover), dtype=np.float64)
        gain = _SPREAD @ design.transpose(0, 2, 1) @ inverse
        self._mean: Numbers = _BEFORE + np.einsum("kij,kj->ki", gain, off)
        self._spread: Numbers = _SPREAD - gain @ design @ _SPREAD
        self._seen, self._inverse, self._off = design, inverse, off
        fits = -0.5 * (np.einsum("ki,kij,kj->k", off, inverse, off) + np.linalg.slogdet(cover)[1])
        weight = np.exp(fits - 0.5 * at**2 - (fits - 0.5 * at**2).max())
        self._weight: Numbers = weight / weight.sum()
        self._last = points[-1]

    def _design(self, years: Numbers) -> Numbers:
        """By k and time: what Linf and L0 do to the length."""
        fall = np.exp(-self._k[:, None] * years)
        return np.stack([1.0 - fall, fall], axis=2)

    def _wandered(self, years: Numbers, lengths: Numbers) -> Numbers:
        """By k and time: the variance by which seasons have taken the length off the curve until then [cm²]."""
        spans = np.diff(years, prepend=years[0])
        to_go = np.maximum(_ROOM_CM, _L_INF_CM[0] - np.concatenate([lengths[:1], lengths[:-1]]))
        grown = to_go * (1.0 - np.exp(-self._k[:, None] * spans))
        return np.cumsum((_SEASON_FRACTION * grown) ** 2 + _WANDERS_CM**2 * spans, axis=1)

    def k_per_year(self) -> Band:
        """How fast it nears its end [1/year]."""
        cumulated = np.cumsum(self._weight) - 0.5 * self._weight
        low, middle, high = np.interp([0.05, 0.5, 0.95], cumulated, np.log(self._k))
        return Band(float(np.exp(low)), float(np.exp(middle)), float(np.exp(high)))

    def l_inf_cm(self) -> Band:
        """Where its length ends [cm]."""
        return self._band(self._mean[:, 0], self._spread[:, 0, 0])

    def at(self, years: float) -> Band:
        """The total length at a time [cm], on the curve: without what a season wanders; its band as of a normal law.

        Args:
            years: As in the points.
        """
        mean, variance = self._on_curve(years)
        middle = float(self._weight @ mean)
        half = Z90 * float(self._weight @ (np.maximum(variance, 0.0) + (mean - middle) ** 2)) ** 0.5
        return Band(middle - half, middle, middle + half)

    def foresee(self, years: float, measured_sd_cm: float) -> Foreseen:
        """What would be measured at a time after the last point [cm].

        Args:
            years: As in the points.
            measured_sd_cm: How well it will be measured [cm].
        """
        span = max(0.0, years - self._last.years)
        wander = self._wander[:, -1] + self._wandered(np.array([0.0, span]), np.array([self._last.total_cm] * 2))[:, 1]
        then = self._design(np.array([years - self._first]))[:, 0, :]
        along = np.einsum("ki,ij,knj->kn", then, _SPREAD, self._seen) + self._wander
        drawn = np.einsum("kn,knm->km", along, self._inverse)
        mean = then @ _BEFORE + np.einsum("km,km->k", drawn, self._off)
        variance = np.einsum("ki,ij,kj->k", then, _SPREAD, then) + wander - np.einsum("km,km->k", drawn, along)
        middle = float(self._weight @ mean)
        spread = float(self._weight @ (np.maximum(variance, 0.0) + (mean - middle) ** 2))
        return Foreseen(middle, (spread + measured_sd_cm**2) ** 0.5)

    def _on_curve(self, years: float) -> tuple[Numbers, Numbers]:
        design = self._design(np.array([years - self._first]))[:, 0, :]
        mean = np.einsum("ki,ki->k", design, self._mean)
        return mean, np.einsum("ki,kij,kj->k", design, self._spread, design)

    def _band(self, mean: Numbers, variance: Numbers) -> Band:
        sd = np.sqrt(np.maximum(variance, 1e-9))
        grid = np.linspace(float((mean - 5 * sd).min()), float((mean + 5 * sd).max()), 401)
        below = _normal_share((grid - mean[:, None]) / sd[:, None])
        share = self._weight @ below
        low, middle, high = np.interp([0.05, 0.5, 0.95], share, grid)
        return Band(float(low), float(middle), float(high))


def _normal_share(z: Numbers) -> Numbers:
    """How much of a normal law lies below z [–], to 1e-7; the library that has it takes a quarter second to come.

    Source: Abramowitz & Stegun (1964), 7.1.26.
    """
    x = np.abs(z) / 2**0.5
    t = 1.0 / (1.0 + 0.3275911 * x)
    powers = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    above = 0.5 * powers * np.exp(-(x**2))
    return np.where(z > 0, 1.0 - above, above)


@lru_cache(maxsize=2000)
def curve_of(points: tuple[Point, ...]) -> GrowthCurve:
    """The curve of these points, one or more, ascending in time; worked out once."""
    return GrowthCurve(points)


def enough(points: Sequence[Point]) -> bool:
    """Whether a curve may be shown."""
    return len(points) >= ENOUGH_POINTS and points[-1].years - points[0].years >= ENOUGH_YEARS


def specific_growth_percent_per_day(first: Band, last: Band, days: float) -> Band:
    """Specific growth of the weight, 100 ln(W2/W1)/days [%/day], with its band.

    Args:
        first: Weight before [g].
        last: Weight after [g].
        days: Between them, more than 0.

    >>> round(specific_growth_percent_per_day(Band(100, 100, 100), Band(200, 200, 200), 30).middle, 3)
    2.31
    """
    middle = 100.0 * log(last.middle / first.middle) / days
    half = Z90 * (_ln_sd(first) ** 2 + _ln_sd(last) ** 2) ** 0.5 * 100.0 / days
    return Band(middle - half, middle, middle + half)


def _ln_sd(band: Band) -> float:
    return log(band.high / band.low) / 2.0 / Z90
