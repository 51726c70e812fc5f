"""Ammonia limits: how much total ammonia fish and mussels bear, at this warmth and pH."""

from typing import Final

from evenwater.domain.errors import require_between
from evenwater.domain.units import NH3_PER_NH3_N
from evenwater.domain.water.ammonia import unionised_fraction

TEMPERATURE_C: Final = (0.0, 30.0)
"""Water temperatures the limits are used for [°C]."""

PH: Final = (6.5, 9.0)
"""pH the tables of the EPA print [–]."""

NH3_LIMIT_MG_PER_L: Final = 0.025
"""Un-ionised ammonia waters of carp may hold [mg/L as NH₃].

Source: Directive 2006/44/EC, Annex I, after EIFAC Technical Paper 11 (from memory).
"""

NH3_MG_PER_L: Final = (0.0, 10.0)
"""Un-ionised ammonia that can be asked for [mg/L as NH₃]."""


def chronic_tan_mg_n_per_l(temperature_c: float, ph: float) -> float:
    """Total ammonia that may stand as a mean of thirty days.

    Driven by mussels, so it is strict for a pond of fish alone.

    Args:
        temperature_c: Water temperature [°C], 0 to 30.
        ph: pH [–], 6.5 to 9.

    Returns:
        TAN [mg/L as N].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        EPA 822-R-13-001 (2013), chronic criterion (CCC).

    >>> round(chronic_tan_mg_n_per_l(20.0, 7.0), 1)
    1.9
    """
    require_between("temperature_c", temperature_c, *TEMPERATURE_C, "°C")
    require_between("ph", ph, *PH)
    by_ph = 0.0278 / (1.0 + 10.0 ** (7.688 - ph)) + 1.1994 / (1.0 + 10.0 ** (ph - 7.688))
    return 0.8876 * by_ph * 2.126 * 10.0 ** (0.028 * (20.0 - max(temperature_c, 7.0)))


def acute_tan_mg_n_per_l(temperature_c: float, ph: float) -> float:
    """Total ammonia that may stand as a mean of one hour, where there are no trout or salmon.

    Args:
        temperature_c: Water temperature [°C], 0 to 30.
        ph: pH [–], 6.5 to 9.

    Returns:
        TAN [mg/L as N].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        EPA 822-R-13-001 (2013), acute criterion (CMC), genus Oncorhynchus absent.

    >>> round(acute_tan_mg_n_per_l(20.0, 7.0))
    17
    """
    require_between("temperature_c", temperature_c, *TEMPERATURE_C, "°C")
    require_between("ph", ph, *PH)
    by_ph = 0.0114 / (1.0 + 10.0 ** (7.204 - ph)) + 1.6181 / (1.0 + 10.0 ** (ph - 7.204))
    return 0.7249 * by_ph * min(51.93, 23.12 * 10.0 ** (0.036 * (20.0 - temperature_c)))


def tan_for_nh3_mg_n_per_l(
    nh3_mg_per_l: float, temperature_c: float, ph: float, ec25_us_per_cm: float | None = None
) -> float:
    """Total ammonia that holds this much NH₃.

    Args:
        nh3_mg_per_l: Un-ionised ammonia [mg/L as NH₃], 0 to 10.
        temperature_c: Water temperature [°C], 0 to 30.
        ph: pH [–], 6 to 10.
        ec25_us_per_cm: Conductivity at 25 °C [µS/cm], 0 to 3500, or None for pure water.

    Returns:
        TAN [mg/L as N].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        As `evenwater.domain.water.ammonia.unionised_fraction`.

    >>> round(tan_for_nh3_mg_n_per_l(0.025, 20.0, 8.0), 2)
    0.54
    """
    require_between("nh3_mg_per_l", nh3_mg_per_l, *NH3_MG_PER_L, "mg/L")
    return nh3_mg_per_l / NH3_PER_NH3_N / unionised_fraction(temperature_c, ph, ec25_us_per_cm)
