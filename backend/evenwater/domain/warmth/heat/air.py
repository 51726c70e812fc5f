"""Moist air: how much vapour it holds, when it sheds it, and the heat that goes with it."""

from math import exp, log
from typing import Final

from evenwater.domain.errors import require_between
from evenwater.domain.units import HPA_PER_ATM, ZERO_CELSIUS_K

AIR_C: Final = (-40.0, 50.0)
"""Temperatures Alduchov & Eskridge's fit covers over water [°C], supercooled below 0."""

HUMIDITY: Final = (0.01, 1.0)
"""Relative humidity over water [–]."""

VAPOUR_KPA: Final = (0.00015, 12.4)
"""Vapour pressures that have a dew point within AIR_C at HUMIDITY [kPa]."""

PRESSURE_KPA: Final = (50.0, 110.0)
"""Air pressure [kPa]: 5000 m up to a record high at the sea."""

AIR_L_PER_MIN: Final = (0.0, 5000.0)
"""What an air pump gives [L/min]."""

STANDARD_KPA: Final = HPA_PER_ATM / 10
"""Standard air pressure [kPa]."""

MAGNUS_KPA, MAGNUS_SLOPE, MAGNUS_C = 0.61094, 17.625, 243.04
_ICE_KPA, _ICE_SLOPE, _ICE_C = 0.6105, 21.875, 265.5
_DRY_AIR_J_PER_KG_K = 287.05
VAPOUR_TO_AIR = 0.622
"""Weight of a molecule of water over that of air [–], 18.015 / 28.966."""


def saturation_kpa(temperature_c: float) -> float:
    """Vapour pressure at which air over water is full.

    Args:
        temperature_c: [°C], -40 to 50; below 0 over supercooled water, as weather services have it.

    Returns:
        Pressure [kPa].

    Raises:
        OutOfRange: The temperature is outside its range, or is NaN.

    Source:
        Magnus form with the constants of Alduchov & Eskridge (1996), J. Appl. Meteorol. 35, 601-609, equation 21.
        Without their small factor for air pressure; within 0.3 % of CoolProp from 0 to 40 °C.

    >>> round(saturation_kpa(20.0), 3)
    2.333
    """
    require_between("temperature_c", temperature_c, *AIR_C, "°C")
    return MAGNUS_KPA * exp(MAGNUS_SLOPE * temperature_c / (temperature_c + MAGNUS_C))


def saturation_on_ice_kpa(temperature_c: float) -> float:
    """Vapour pressure at which frost neither grows nor goes, for surfaces that freeze.

    Args:
        temperature_c: Of the surface [°C], -40 to 0.

    Returns:
        Pressure [kPa].

    Raises:
        OutOfRange: The temperature is outside its range, or is NaN.

    Source:
        ISO 13788:2012, annex E (from memory). Up to 0.5 % lower than psychrolib from -20 °C up.
    """
    require_between("temperature_c", temperature_c, AIR_C[0], 0.0, "°C")
    return _ICE_KPA * exp(_ICE_SLOPE * temperature_c / (temperature_c + _ICE_C))


def vapour_kpa(temperature_c: float, relative_humidity_fraction: float) -> float:
    """Vapour pressure of air.

    Args:
        temperature_c: [°C], -40 to 50.
        relative_humidity_fraction: Over water [–], 0.01 to 1.

    Returns:
        Pressure [kPa].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Definition of relative humidity; `saturation_kpa`.
    """
    require_between("relative_humidity_fraction", relative_humidity_fraction, *HUMIDITY)
    return relative_humidity_fraction * saturation_kpa(temperature_c)


def dew_point_c(temperature_c: float, relative_humidity_fraction: float) -> float:
    """Temperature at which air begins to shed water, never above its own.

    Args:
        temperature_c: [°C], -40 to 50.
        relative_humidity_fraction: Over water [–], 0.01 to 1.

    Returns:
        Dew point over water [°C].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Inverse of `saturation_kpa`, as Alduchov & Eskridge (1996) give it. Below 0 °C frost comes a little sooner.

    >>> round(dew_point_c(20.0, 0.6), 2)
    12.0
    """
    return min(temperature_c, dew_point_of_c(vapour_kpa(temperature_c, relative_humidity_fraction)))


def dew_point_of_c(pressure_kpa: float) -> float:
    """Dew point [°C] of a vapour pressure [kPa], 0.00015 to 12.4. Raises and source as `dew_point_c`."""
    require_between("pressure_kpa", pressure_kpa, *VAPOUR_KPA, "kPa")
    g = log(pressure_kpa / MAGNUS_KPA)
    return MAGNUS_C * g / (MAGNUS_SLOPE - g)


def latent_heat_kj_per_kg(temperature_c: float) -> float:
    """Heat that water takes with it as it evaporates.

    Args:
        temperature_c: Of the water [°C], 0 to 50.

    Returns:
        [kJ/kg].

    Raises:
        OutOfRange: The temperature is outside its range, or is NaN.

    Source:
        The usual straight line, 2500.9 less 2.365 a degree; within 0.03 % of CoolProp to 40 °C.
    """
    require_between("temperature_c", temperature_c, 0.0, AIR_C[1], "°C")
    return 2500.9 - 2.365 * temperature_c


def mixing_ratio(pressure_kpa: float, vapour: float) -> float:
    """Vapour carried by dry air [kg/kg] at an air pressure [kPa] and a vapour pressure [kPa] below it.

    Source:
        Dalton's law for two ideal gases.
    """
    return VAPOUR_TO_AIR * vapour / (pressure_kpa - vapour)


def enthalpy_kj_per_kg(temperature_c: float, vapour: float, pressure_kpa: float = STANDARD_KPA) -> float:
    """Heat content of moist air, counted from dry air and liquid water at 0 °C.

    Args:
        temperature_c: [°C], -40 to 50.
        vapour: Vapour pressure [kPa], 0 to 12.4.
        pressure_kpa: Air pressure [kPa], 50 to 110.

    Returns:
        [kJ per kg of dry air].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        ASHRAE Handbook Fundamentals, chapter 1, equation 30 (number from memory): 1.006 T + w (2501 + 1.86 T).
    """
    require_between("temperature_c", temperature_c, *AIR_C, "°C")
    require_between("vapour", vapour, 0.0, VAPOUR_KPA[1], "kPa")
    require_between("pressure_kpa", pressure_kpa, *PRESSURE_KPA, "kPa")
    return 1.006 * temperature_c + mixing_ratio(pressure_kpa, vapour) * (2501.0 + 1.86 * temperature_c)


def air_pump_loss_w(
    air_l_per_min: float,
    air_c: float,
    relative_humidity_fraction: float,
    water_c: float,
    pressure_kpa: float = STANDARD_KPA,
) -> float:
    """Heat that an air pump's bubbles carry off: drawn as the air is, released full of vapour and as warm as the water.

    Args:
        air_l_per_min: Air drawn [L/min], 0 to 5000.
        air_c: Of the air drawn [°C], -40 to 50.
        relative_humidity_fraction: Of the air drawn [–], 0.01 to 1.
        water_c: [°C], 0 to 45.
        pressure_kpa: Air pressure [kPa], 50 to 110.

    Returns:
        Loss [W]; below 0 where the air is the warmer and moister.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Heat balance on the dry air, m (h_sat(water) - h(air)). The pump's own warmth in its air is left out.

    >>> round(air_pump_loss_w(100.0, 5.0, 0.8, 20.0))
    87
    """
    require_between("air_l_per_min", air_l_per_min, *AIR_L_PER_MIN, "L/min")
    require_between("water_c", water_c, 0.0, 45.0, "°C")
    drawn_kpa = vapour_kpa(air_c, relative_humidity_fraction)
    released = enthalpy_kj_per_kg(water_c, saturation_kpa(water_c), pressure_kpa)
    gained_j_per_kg = 1000 * (released - enthalpy_kj_per_kg(air_c, drawn_kpa, pressure_kpa))
    dry_kg_per_m3 = 1000 * (pressure_kpa - drawn_kpa) / (_DRY_AIR_J_PER_KG_K * (air_c + ZERO_CELSIUS_K))
    return air_l_per_min / 1000 / 60 * dry_kg_per_m3 * gained_j_per_kg
