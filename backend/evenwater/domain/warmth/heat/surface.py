"""What open water gives off to the air and the sky: evaporation, convection, long-wave radiation [W/m²].

Below 0 it takes heat: dew falls on cold water, and warm air warms it.
"""

from math import cos, pi
from typing import Final

from evenwater.domain.errors import require_between
from evenwater.domain.units import ZERO_CELSIUS_K
from evenwater.domain.warmth.heat.air import AIR_C, PRESSURE_KPA, STANDARD_KPA, VAPOUR_KPA, saturation_kpa

WATER_C: Final = (0.0, 45.0)
"""Water [°C]."""

WIND_M_PER_S: Final = (0.0, 40.0)
"""Wind at the water [m/s]. The measurements go to 4 or so; a hedged pond has a third of the weather station's."""

EMISSIVITY: Final = (0.0, 1.0)
"""Emissivity [–], and cloud cover as a share of the sky [–]."""

STEFAN_BOLTZMANN_W_PER_M2_K4: Final = 5.670374e-8
"""CODATA 2018, exact."""

CALM_W, WIND_W = 30.6 / 0.48, 32.1 / 0.48
"""Smith, Lof & Jones' 30.6 and 32.1 kJ/(h m² mmHg), in W/(m² kPa): a mmHg is 0.133322 kPa, an hour 3.6 ks."""

BOWEN_PER_K = 0.061
"""Bowen's ratio [kPa/K] at 100 kPa."""

WATER_EMISSIVITY = 0.96

CLOUD_SHARE = 0.9
"""How much of what a clear sky lacks a closed cover of cloud gives back [–]. Low cloud 0.8 to 1.

Common practice, no source.
"""


def evaporation_w_per_m2(water_c: float, air_vapour_kpa: float, wind_m_per_s: float) -> float:
    """Heat that leaves open, quiet water as vapour.

    Args:
        water_c: [°C], 0 to 45.
        air_vapour_kpa: Vapour pressure of the air [kPa], 0.00015 to 12.4.
        wind_m_per_s: At the water [m/s], 0 to 40.

    Returns:
        [W/m²]; below 0 where dew falls on the water.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Smith, Lof & Jones (1994), Solar Energy 53, 3-7: (30.6 + 32.1 v) (p_w - p_a) kJ/(h m²), pressures in mmHg
        (constants from memory). Measured on an outdoor pool; ASHRAE's older form gives about a quarter more. Splashing
        and bubbles are not in it.
    """
    require_between("water_c", water_c, *WATER_C, "°C")
    require_between("air_vapour_kpa", air_vapour_kpa, *VAPOUR_KPA, "kPa")
    require_between("wind_m_per_s", wind_m_per_s, *WIND_M_PER_S, "m/s")
    return _film(wind_m_per_s) * (saturation_kpa(water_c) - air_vapour_kpa)


def convection_w_per_m2(water_c: float, air_c: float, wind_m_per_s: float, pressure_kpa: float = STANDARD_KPA) -> float:
    """Heat that the air takes from open water.

    Args:
        water_c: [°C], 0 to 45.
        air_c: [°C], -40 to 50.
        wind_m_per_s: At the water [m/s], 0 to 40.
        pressure_kpa: Air pressure [kPa], 50 to 110.

    Returns:
        [W/m²]; below 0 where the air is the warmer.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Bowen (1926), Phys. Rev. 27, 779: convection to evaporation as 0.061 (T_w - T_a) / (p_w - p_a) at 100 kPa, upon
        `evaporation_w_per_m2`. Two nights' measurements had more radiation and less convection: see the checks.
    """
    require_between("water_c", water_c, *WATER_C, "°C")
    require_between("air_c", air_c, *AIR_C, "°C")
    require_between("wind_m_per_s", wind_m_per_s, *WIND_M_PER_S, "m/s")
    require_between("pressure_kpa", pressure_kpa, *PRESSURE_KPA, "kPa")
    return _film(wind_m_per_s) * BOWEN_PER_K * (water_c - air_c) * pressure_kpa / 100


def sky_emissivity(dew_point_c: float, cloud_fraction: float, solar_hour: float | None = None) -> float:
    """How much the sky radiates, as a share of a black body as warm as the air.

    Args:
        dew_point_c: Of the air [°C], -40 to 50.
        cloud_fraction: Share of the sky that is clouded [–], 0 to 1.
        solar_hour: Hour of the sun's day [h], 0 to 24; without, the mean of day and night.

    Returns:
        [–], at most 1.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Clear: Berdahl & Martin (1984), Solar Energy 32, 663-664, at 1000 hPa. Cloud gives back 0.9 of what is missing
        (our own choice within the 0.8 to 1 in use). Good at night, a little high by day.
    """
    require_between("dew_point_c", dew_point_c, *AIR_C, "°C")
    require_between("cloud_fraction", cloud_fraction, *EMISSIVITY)
    hundredth = dew_point_c / 100
    clear = 0.711 + 0.56 * hundredth + 0.73 * hundredth**2
    if solar_hour is not None:
        require_between("solar_hour", solar_hour, 0.0, 24.0, "h")
        clear += 0.013 * cos(2 * pi * solar_hour / 24)
    clear = min(1.0, clear)
    return clear + (1 - clear) * CLOUD_SHARE * cloud_fraction


def longwave_w_per_m2(water_c: float, air_c: float, emissivity: float) -> float:
    """Heat that open water radiates to the sky, less what the sky radiates back.

    Args:
        water_c: [°C], 0 to 45.
        air_c: [°C], -40 to 50.
        emissivity: Of the sky [–], 0 to 1; see `sky_emissivity`.

    Returns:
        [W/m²]; below 0 under a sky that is the warmer.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Stefan-Boltzmann; water's emissivity 0.96 (handbooks). Walls and trees that hide the sky lessen it.
    """
    require_between("water_c", water_c, *WATER_C, "°C")
    require_between("air_c", air_c, *AIR_C, "°C")
    require_between("emissivity", emissivity, *EMISSIVITY)
    water_k, air_k = water_c + ZERO_CELSIUS_K, air_c + ZERO_CELSIUS_K
    return WATER_EMISSIVITY * STEFAN_BOLTZMANN_W_PER_M2_K4 * (water_k**4 - emissivity * air_k**4)


def _film(wind_m_per_s: float) -> float:
    """Heat of evaporation per pressure [W/(m² kPa)]."""
    return CALM_W + WIND_W * wind_m_per_s
