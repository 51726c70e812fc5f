"""Oxygen: how much water can hold in balance with the air above it."""

import math
from typing import Final

from evenwater.domain.errors import require_between
from evenwater.domain.units import HPA_PER_ATM, ZERO_CELSIUS_K

TEMPERATURE_C: Final = (0.0, 40.0)
"""Water temperatures Benson & Krause's equation covers [°C]."""

SALINITY_G_PER_L: Final = (0.0, 40.0)
"""Salts in the water [g/L]."""

ALTITUDE_M: Final = (-500.0, 5000.0)
"""Height above the sea [m]; below the Dead Sea's shore and above the highest towns there is no pond."""

_THETA_PER_ATM: Final = (0.000975, -1.426e-5, 6.436e-8)
"""How far oxygen is from an ideal gas, by powers of °C [1/atm]. Source: as `saturation_mg_per_l`.

Too small to pin: 1 % of the first moves oxygen by 0.001 % high in the mountains, the others by less; what it stands
for, the gas's second virial coefficient, differs by 1.5 % between measurements.
"""

_KG_PER_L_PER_G_PER_L: Final = 0.00074
"""What a gram of sea salt adds to the weight of a litre [kg/L per g/L]. Our own straight line, see below."""

PRESSURE_HPA: Final = (500.0, 1100.0)
"""Air pressure at the pond itself [hPa]: 5000 m up on a bad day to a record high at the sea."""


def saturation_mg_per_l(temperature_c: float, salinity_g_per_l: float, pressure_hpa: float) -> float:
    """Oxygen dissolved in water in balance with moist air.

    Warmth, salt and thin air lower it.

    Args:
        temperature_c: Water temperature [°C], 0 to 40.
        salinity_g_per_l: Dissolved salts [g/L], 0 to 40.
        pressure_hpa: Air pressure at the pond [hPa], 500 to 1100; not reduced to sea level.

    Returns:
        Oxygen [mg/L].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Benson & Krause (1984), Limnol. Oceanogr. 29, 620-632, as in APHA Standard Methods 4500-O and
        USGS Office of Water Quality Technical Memorandum 2011.03. Their salinity is g/kg; see `_salinity_g_per_kg`.

    >>> round(saturation_mg_per_l(20.0, 0.0, 1013.25), 2)
    9.09
    """
    require_between("temperature_c", temperature_c, *TEMPERATURE_C, "°C")
    require_between("salinity_g_per_l", salinity_g_per_l, *SALINITY_G_PER_L, "g/L")
    require_between("pressure_hpa", pressure_hpa, *PRESSURE_HPA, "hPa")
    at_one_atm = math.exp(_log_at_one_atm(temperature_c, _salinity_g_per_kg(salinity_g_per_l)))
    return at_one_atm * _pressure_factor(temperature_c, pressure_hpa / HPA_PER_ATM)


def standard_pressure_hpa(altitude_m: float) -> float:
    """Mean air pressure at a height.

    Weather moves it by some 3 % either way; a barometer at the pond knows better.

    Args:
        altitude_m: Height above the sea [m], -500 to 5000.

    Returns:
        Pressure [hPa].

    Raises:
        OutOfRange: The height is outside its range, or is NaN.

    Source:
        Standard atmosphere, ISO 2533:1975 (from memory): 288.15 K at the sea, 6.5 K less per kilometre.

    >>> round(standard_pressure_hpa(500.0), 1)
    954.6
    """
    require_between("altitude_m", altitude_m, *ALTITUDE_M, "m")
    return HPA_PER_ATM * (1.0 - 2.25577e-5 * altitude_m) ** 5.25588


def _log_at_one_atm(temperature_c: float, salinity_g_per_kg: float) -> float:
    """ln of the saturation [mg/L] under 1 atm of moist air."""
    t = temperature_c + ZERO_CELSIUS_K
    fresh = -139.34411 + 1.575701e5 / t - 6.642308e7 / t**2 + 1.243800e10 / t**3 - 8.621949e11 / t**4
    return fresh - salinity_g_per_kg * (0.017674 - 10.754 / t + 2140.7 / t**2)


def _pressure_factor(temperature_c: float, pressure_atm: float) -> float:
    """Saturation at a pressure over that at 1 atm [–]: only what is left beside the water's vapour presses."""
    t = temperature_c + ZERO_CELSIUS_K
    vapour_atm = math.exp(11.8571 - 3840.70 / t - 216961.0 / t**2)
    fixed, linear, square = _THETA_PER_ATM
    theta = fixed + linear * temperature_c + square * temperature_c**2
    return (
        pressure_atm
        * (1.0 - vapour_atm / pressure_atm)
        * (1.0 - theta * pressure_atm)
        / ((1.0 - vapour_atm) * (1.0 - theta))
    )


def _salinity_g_per_kg(salinity_g_per_l: float) -> float:
    """Salt by weight of water from salt by volume.

    A litre weighs a kilogram and about 0.74 g more per gram of sea salt dissolved: our own straight line, within
    0.9 % of TEOS-10's density of sea water from 0 to 40 °C, which moves oxygen by less than 0.01 mg/L.
    """
    return salinity_g_per_l / (1.0 + _KG_PER_L_PER_G_PER_L * salinity_g_per_l)
