"""How much food a mass of koi takes at a temperature: where it begins to be too much, and what to begin with.

Shares of body mass in a day, for fish over half a kilogram. Common practice, no source; bounded by FAO's account of
common carp (AFFRIS: feeding is active above 18 to 20 °C, declines below 15 to 16, practically stops under about 8) and
by Goolish & Adelman (1984), Aquaculture 36:27-35 (growth at 18, 24 and 30 °C by ration).
"""

from typing import Final

from evenwater.domain.errors import require_between

WATER_C: Final = (-1.0, 40.0)
# Water below which [°C], what to begin with, what is the most [share of body mass a day].
_RATIONS: Final = (
    (8.0, 0.0, 0.0),
    (12.0, 0.003, 0.003),
    (15.0, 0.004, 0.004),
    (18.0, 0.007, 0.007),
    (22.0, 0.010, 0.015),
    (28.0, 0.015, 0.020),
    (30.0, 0.0075, 0.010),
)
SOURCE: Final = "common practice, within FAO's account of common carp and Goolish & Adelman (1984)"


def usual_ration_fraction(temperature_c: float) -> float:
    """Food in a day to begin with, as a share of body mass [–], where a keeper has no amount of their own.

    Args:
        temperature_c: Water temperature [°C], -1 to 40.

    Raises:
        OutOfRange: The temperature is outside its range.

    >>> usual_ration_fraction(20.0)
    0.01
    """
    return _ration(temperature_c)[0]


def most_ration_fraction(temperature_c: float) -> float:
    """The most food in a day, as a share of body mass [–].

    Args:
        temperature_c: Water temperature [°C], -1 to 40.

    Raises:
        OutOfRange: The temperature is outside its range.

    >>> most_ration_fraction(10.0), most_ration_fraction(31.0)
    (0.003, 0.0)
    """
    return _ration(temperature_c)[1]


def _ration(temperature_c: float) -> tuple[float, float]:
    require_between("temperature_c", temperature_c, *WATER_C, "°C")
    return next(((usual, most) for below_c, usual, most in _RATIONS if temperature_c < below_c), (0.0, 0.0))
