"""Weight from length: the published relation for carp, drawn to what this pond's own fish weighed.

Source of the relation: Bister et al. (2000), North American Journal of Fisheries Management 20:570-574, as tabulated in
the FSA data set WSlit: log10 Ws [g] = -4.639 + 2.920 log10 TL [mm], the 75th percentile of carp waters, from 200 mm on.
Koi are deeper: 15 to 40 % heavier is common practice without a source, so the relation begins between the two, with a
band as wide as that. Each weighing narrows it, most for the fish itself.
"""

from collections.abc import Sequence
from datetime import date
from math import exp, log, log10
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from evenwater.domain.errors import require_between
from evenwater.domain.fish.outlook import Band

INTERCEPT: Final = -4.639
SLOPE: Final = 2.920
TOTAL_CM: Final = (1.0, 160.0)
HEAVIER: Final = 0.10
"""ln W/Ws to begin with [–]: between wild carp (0) and deep koi (0.14 to 0.34)."""
TOTAL_PER_STANDARD: Final = 1.20
"""Length with the tail fin per length without it [–]. Common practice for carp, no source; ±3 %."""
TOTAL_PER_STANDARD_SD: Final = 0.03
Z90: Final = 1.6449
"""Half a band that holds nine in ten, in standard deviations [–]."""

_POND_SD = 0.15
_SLOPE_SD = 0.12  # Froese (2006): slopes of species lie between 2.5 and 3.5
_FISH_SD = 0.10
_FISH_YEARS = 4.0  # how long a fish keeps its build
_WEIGHING_SD = 0.05  # gut, roe, water in the bag
_AT_CM = 50.0
_MOST_WEIGHINGS = 200
_DAYS_PER_YEAR = 365.25

Numbers = NDArray[np.float64]


def standard_weight_g(total_cm: float) -> float:
    """Standard weight of carp at a total length [g]; below 20 cm it reaches beyond its data.

    Args:
        total_cm: Length with the tail fin [cm], 1 to 160.

    Raises:
        OutOfRange: The length is outside its range.

    >>> [round(standard_weight_g(cm)) for cm in (30, 50, 70)]
    [393, 1746, 4663]
    """
    require_between("total_cm", total_cm, *TOTAL_CM, "cm")
    return 10.0 ** (INTERCEPT + SLOPE * log10(total_cm * 10.0))


class Weighing(Struct, frozen=True):
    """A fish that was weighed and measured at once."""

    fish: str
    on: date
    total_cm: float
    weight_g: float


class PondWeights:
    """The relation as this pond's weighings draw it: ln(W/Ws) = pond + slope × ln(TL/50 cm) + fish, all Gaussian."""

    def __init__(self, weighings: Sequence[Weighing]) -> None:
        self._used = sorted(weighings, key=lambda one: one.on)[-_MOST_WEIGHINGS:]
        self.weighings = len(self._used)
        self.fish = len({one.fish for one in self._used})
        if not self._used:
            return
        self._at = np.array([log(one.total_cm / _AT_CM) for one in self._used])
        self._years = np.array([one.on.toordinal() / _DAYS_PER_YEAR for one in self._used])
        self._names = np.array([one.fish for one in self._used])
        told = np.array([log(one.weight_g / standard_weight_g(one.total_cm)) for one in self._used]) - HEAVIER
        alike = self._names[:, None] == self._names[None, :]
        apart = np.abs(self._years[:, None] - self._years[None, :])
        spread = _POND_SD**2 + _SLOPE_SD**2 * np.outer(self._at, self._at)
        spread = spread + alike * _FISH_SD**2 * np.exp(-apart / _FISH_YEARS) + _WEIGHING_SD**2 * np.eye(len(told))
        self._inverse: Numbers = np.asarray(np.linalg.inv(spread), dtype=np.float64)
        self._told: Numbers = self._inverse @ told

    def ln_ratio(self, fish: str, total_cm: float, on: date) -> tuple[float, float]:
        """ln(weight / standard weight) of a fish of that length on a date: what is expected, and its variance."""
        at, year = log(total_cm / _AT_CM), on.toordinal() / _DAYS_PER_YEAR
        before = _POND_SD**2 + _SLOPE_SD**2 * at**2 + _FISH_SD**2
        if not self._used:
            return HEAVIER, before
        own = (self._names == fish) * _FISH_SD**2 * np.exp(-np.abs(self._years - year) / _FISH_YEARS)
        along = _POND_SD**2 + _SLOPE_SD**2 * at * self._at + own
        return HEAVIER + float(along @ self._told), max(1e-6, before - float(along @ self._inverse @ along))

    def shared_sd(self, total_cm: float) -> float:
        """How far all fish of that length may be off together [–, of ln weight]."""
        _, variance = self.ln_ratio("", total_cm, date.min)
        return max(0.0, variance - _FISH_SD**2) ** 0.5

    def slope(self) -> float:
        """The exponent of the length as it stands [–]."""
        if not self._used:
            return SLOPE
        return SLOPE + float(_SLOPE_SD**2 * self._at @ self._told)

    def weight(self, fish: str, total_cm: float, on: date, length_sd_cm: float = 0.0) -> Band:
        """What a fish of that length weighs [g], with the band it lies in nine times in ten.

        Args:
            fish: Its id; one never weighed counts as any of the pond.
            total_cm: Length with the tail fin [cm], 1 to 160.
            on: The date.
            length_sd_cm: How well the length is known [cm].

        Raises:
            OutOfRange: The length is outside its range.
        """
        usual_g = standard_weight_g(total_cm)
        ratio, variance = self.ln_ratio(fish, total_cm, on)
        sd = (variance + (self.slope() * length_sd_cm / total_cm) ** 2) ** 0.5
        return Band(usual_g * exp(ratio - Z90 * sd), usual_g * exp(ratio), usual_g * exp(ratio + Z90 * sd))
