"""The heat that water holds."""

from typing import Final

from evenwater.domain.errors import require_between
from evenwater.domain.units import J_PER_KWH
from evenwater.domain.water.buffer import VOLUME_L

WATER_C: Final = (0.0, 40.0)
"""Temperatures the fit covers [°C]."""

_L_PER_M3 = 1000
# By powers of °C: our own fit through IAPWS-95 at 1 atm, which it meets within 0.011 %.
_FIT_J_PER_M3_K: Final = (4_218_187.0, -2859.68, 50.2808, -0.588764)


def heat_capacity_j_per_m3_k(temperature_c: float) -> float:
    """Density times specific heat of fresh water: 1.16 kWh warm a cubic metre by a degree.

    Args:
        temperature_c: [°C], 0 to 40.

    Returns:
        [J/(m³ K)].

    Raises:
        OutOfRange: The temperature is outside its range, or is NaN.

    Source:
        Our own cubic through values of IAPWS-95 (Wagner & Pruss 2002) at 1 atm, as CoolProp computes them.

    >>> round(heat_capacity_j_per_m3_k(15.0) / 3.6e6, 3)
    1.162
    """
    require_between("temperature_c", temperature_c, *WATER_C, "°C")
    fixed, linear, square, cube = _FIT_J_PER_M3_K
    return fixed + temperature_c * (linear + temperature_c * (square + temperature_c * cube))


def capacity_j_per_k(volume_l: float, temperature_c: float) -> float:
    """Heat that moves a pond by a degree [J/K]: volume [L], 1 to 1,000,000, at a temperature [°C], 0 to 40.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        As `heat_capacity_j_per_m3_k`.
    """
    require_between("volume_l", volume_l, *VOLUME_L, "L")
    return volume_l / _L_PER_M3 * heat_capacity_j_per_m3_k(temperature_c)


def heat_kwh(volume_l: float, from_c: float, to_c: float) -> float:
    """Heat that takes water from one temperature to another, losses apart.

    Args:
        volume_l: [L], 1 to 1,000,000.
        from_c: [°C], 0 to 40.
        to_c: [°C], 0 to 40.

    Returns:
        [kWh]; below 0 where it cools.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        `heat_capacity_j_per_m3_k`, integrated; parts add up to the whole.

    >>> round(heat_kwh(1000.0, 15.0, 16.0), 2)
    1.16
    """
    require_between("volume_l", volume_l, *VOLUME_L, "L")
    require_between("from_c", from_c, *WATER_C, "°C")
    require_between("to_c", to_c, *WATER_C, "°C")
    return volume_l / _L_PER_M3 * (_heat_j_per_m3(to_c) - _heat_j_per_m3(from_c)) / J_PER_KWH


def _heat_j_per_m3(temperature_c: float) -> float:
    """Heat above 0 °C."""
    return sum(one * temperature_c ** (power + 1) / (power + 1) for power, one in enumerate(_FIT_J_PER_M3_K))
