"""Ammonia limits: how much total ammonia fish and mussels bear, at this warmth and pH."""

from typing import Final

from evenwater.domain.errors import require_between

TEMPERATURE_C: Final = (0.0, 30.0)
"""Water temperatures the limits are used for [°C]."""

PH: Final = (6.5, 9.0)
"""pH the tables of the EPA print [–]."""


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
