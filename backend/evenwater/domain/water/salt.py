"""Salt: how much makes a salinity, and how much water a known amount of it tells of. Arithmetic, not treatment."""

import math
from itertools import pairwise
from typing import Final

from evenwater.domain.errors import Contradiction, require_between
from evenwater.domain.water.buffer import PURITY_FRACTION as _PURITY_FRACTION
from evenwater.domain.water.buffer import VOLUME_L as _VOLUME_L

VOLUME_L: Final = _VOLUME_L
"""Water volumes we reckon for [L]."""

PURITY_FRACTION: Final = _PURITY_FRACTION
"""Share of the salt that is sodium chloride [–]."""

SALINITY_G_PER_L: Final = (0.0, 10.0)
"""Salt in the water [g/L]. Young carp all lived at 6 and none at 12 in summer (Mangat & Hundal 2014)."""

SALT_G: Final = (1.0, 10_000_000.0)
"""Salt put in to tell the volume [g]."""

EC25_BEFORE_US_PER_CM: Final = (0.0, 5000.0)
"""Conductivity at 25 °C before the salt [µS/cm]."""

EC25_AFTER_US_PER_CM: Final = (10.0, 10_000.0)
"""Conductivity at 25 °C once the salt is mixed in [µS/cm]."""

LEAST_RISE_US_PER_CM: Final = 10.0
"""A smaller rise tells nothing: two readings of a meter differ by as much [µS/cm]. Common practice, no source."""

_ASKED_G_PER_L: Final = (0.1, 0.35, 1.0, 3.0, 5.0)
"""Salt at which PHREEQC was asked; the choice is our own."""
_RISE_PER_SALT: Final = (1996.0, 1980.0, 1929.0, 1850.0, 1802.0)
"""Rise of conductivity there, per salt [µS/cm per g/L], in a tap water of medium hardness: PHREEQC (phreeqpython
1.6.2). Soft bicarbonate water is 2 % above, hard water 2 % below."""
_SLOPES: Final = tuple((salt * slope, slope) for salt, slope in zip(_ASKED_G_PER_L, _RISE_PER_SALT, strict=True))

# Our own: a kitchen or luggage scale; a meter's reading, or its gain; and the slope of a water nobody analysed.
_MASS_SD_FRACTION: Final = 0.01
_READING_SD_US_PER_CM: Final = 3.0
_READING_SD_FRACTION: Final = 0.01
_SLOPE_SD_FRACTION: Final = 0.02


def salt_for_salinity_g(
    volume_l: float, salinity_now_g_per_l: float, salinity_target_g_per_l: float, purity_fraction: float
) -> float:
    """Salt that lifts a body of water to a salinity.

    Args:
        volume_l: Water volume [L], 1 to 1,000,000.
        salinity_now_g_per_l: Salt in it now [g/L], 0 to 10.
        salinity_target_g_per_l: Salt wanted [g/L], 0 to 10.
        purity_fraction: Share that is sodium chloride [–], 0.5 to 1.

    Returns:
        Salt [g]; 0 when there is as much or more already.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Mass balance.

    >>> salt_for_salinity_g(20_000.0, 0.0, 3.0, 1.0)
    60000.0
    """
    require_between("volume_l", volume_l, *VOLUME_L, "L")
    require_between("salinity_now_g_per_l", salinity_now_g_per_l, *SALINITY_G_PER_L, "g/L")
    require_between("salinity_target_g_per_l", salinity_target_g_per_l, *SALINITY_G_PER_L, "g/L")
    require_between("purity_fraction", purity_fraction, *PURITY_FRACTION)
    return max(0.0, salinity_target_g_per_l - salinity_now_g_per_l) * volume_l / purity_fraction


def volume_by_salt_l(
    salt_g: float, purity_fraction: float, ec25_before_us_per_cm: float, ec25_after_us_per_cm: float
) -> tuple[float, float]:
    """Volume in which this much salt makes this rise of conductivity.

    The salt must be mixed in, with the trickle shut meanwhile: at 5 % a day six hours of it make 1.2 %.

    Args:
        salt_g: Salt put in [g], 1 to 10,000,000.
        purity_fraction: Share that is sodium chloride [–], 0.5 to 1.
        ec25_before_us_per_cm: Conductivity at 25 °C before [µS/cm], 0 to 5000.
        ec25_after_us_per_cm: Conductivity at 25 °C after [µS/cm], 10 to 10,000.

    Returns:
        Volume [L] and its standard deviation [L]. The latter takes 1 % for the scale, 2 % for the kind of water, and
        for each reading 3 µS/cm or 1 % of it: common practice, no source.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.
        Contradiction: The rise is below 10 µS/cm, or none.

    Source:
        Mass balance; conductivity per gram of salt from PHREEQC (phreeqpython 1.6.2), which is about 1 % above
        thinned sea water (PSS-78) and 1 % below sodium chloride as measured in pure water (from memory).

    >>> round(volume_by_salt_l(5000.0, 1.0, 450.0, 945.0)[0], -2)
    20100.0
    """
    require_between("salt_g", salt_g, *SALT_G, "g")
    require_between("purity_fraction", purity_fraction, *PURITY_FRACTION)
    require_between("ec25_before_us_per_cm", ec25_before_us_per_cm, *EC25_BEFORE_US_PER_CM, "µS/cm")
    require_between("ec25_after_us_per_cm", ec25_after_us_per_cm, *EC25_AFTER_US_PER_CM, "µS/cm")
    rise = ec25_after_us_per_cm - ec25_before_us_per_cm
    if rise < LEAST_RISE_US_PER_CM:
        raise Contradiction(
            f"conductivity rose by {rise:.6g} µS/cm",
            where="ec25_after_us_per_cm",
            right=f"at least {LEAST_RISE_US_PER_CM:g} µS/cm more than before, better some hundred",
        )
    volume_l = salt_g * purity_fraction * us_per_cm_per_g_per_l(rise) / rise
    readings = (_reading_sd(one) / rise for one in (ec25_before_us_per_cm, ec25_after_us_per_cm))
    return volume_l, volume_l * math.hypot(_MASS_SD_FRACTION, _SLOPE_SD_FRACTION, *readings)


def us_per_cm_per_g_per_l(rise_us_per_cm: float) -> float:
    """How much conductivity each gram of salt per litre has brought, after a rise of that much.

    Args:
        rise_us_per_cm: Rise of conductivity at 25 °C [µS/cm], 0 to 10,000.

    Returns:
        Slope [µS/cm per g/L]; beyond the ends of what was computed, some 200 and 9010, that of the end.

    Raises:
        OutOfRange: The argument is outside its range, or is NaN.

    Source:
        As `volume_by_salt_l`.

    >>> us_per_cm_per_g_per_l(693.0)
    1980.0
    """
    require_between("rise_us_per_cm", rise_us_per_cm, 0.0, EC25_AFTER_US_PER_CM[1], "µS/cm")
    at = min(_SLOPES[-1][0], max(_SLOPES[0][0], rise_us_per_cm))
    low, high = next((low, high) for low, high in pairwise(_SLOPES) if at <= high[0])
    return low[1] + (at - low[0]) / (high[0] - low[0]) * (high[1] - low[1])


def _reading_sd(ec25_us_per_cm: float) -> float:
    return max(_READING_SD_US_PER_CM, _READING_SD_FRACTION * ec25_us_per_cm)
