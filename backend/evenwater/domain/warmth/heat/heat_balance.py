"""The pond's heat, hour by hour: what it gains, what it loses covered and open, and where its temperature goes.

One node of water. Each hour is stepped with the slope of its losses (exponential step about the temperature at its
beginning), which no small pond and no long step can make unstable.
"""

from collections.abc import Sequence
from datetime import datetime
from math import exp, expm1
from typing import Final

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from evenwater.domain.units import SECONDS_PER_HOUR, ZERO_CELSIUS_K
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heat.air import MAGNUS_C, MAGNUS_KPA, MAGNUS_SLOPE, STANDARD_KPA, VAPOUR_TO_AIR
from evenwater.domain.warmth.heat.surface import (
    BOWEN_PER_K,
    CALM_W,
    CLOUD_SHARE,
    STEFAN_BOLTZMANN_W_PER_M2_K4,
    WATER_EMISSIVITY,
    WIND_W,
)

Numbers = npt.NDArray[np.float64]

SKY_COOLING_K: Final = 0.8
"""How much colder than the air a cover's surroundings are by the sky, on average over nights [K]. From simulations."""

_EMITTED: Final = WATER_EMISSIVITY * STEFAN_BOLTZMANN_W_PER_M2_K4
_VAPOUR_J_PER_KG, _VAPOUR_J_PER_KG_K, _AIR_J_PER_KG_K = 2.501e6, 1860.0, 1006.0
"""Heat of moist air [J/kg, J/(kg K)]: as in `air.enthalpy_kj_per_kg`."""


class Weather(Struct, frozen=True, kw_only=True):
    """The air at the pond by the hour from `starts_at` (UTC, a whole hour). NaN is not known.

    `air_c` [°C], `humidity_fraction` [0 to 1], `wind_m_per_s` at the water, `cloud_fraction` [0 to 1], `sun_w_per_m2`
    on level ground.
    """

    starts_at: datetime
    air_c: Numbers
    humidity_fraction: Numbers
    wind_m_per_s: Numbers
    cloud_fraction: Numbers
    sun_w_per_m2: Numbers

    def __len__(self) -> int:
        return len(self.air_c)


class HeatModel(Struct, frozen=True, kw_only=True):
    """What is believed of a pond's heat.

    `ua_w_per_k`: loss of the covered pond's envelope to its surroundings; `open_multiplier`: the open surface against
    the physics of an ideal one; `sun_covered_m2`, `sun_open_m2`: sun taken up as if by so much black surface;
    `ground_fraction` of the envelope's loss goes to soil at `ground_c`; `inflow_w_per_k` of trickle comes in at
    `inflow_c`; `gain_w` is pumps and whatever else is steady; `dry_air_kg_per_s` bubbles through.
    """

    capacity_j_per_k: float
    surface_m2: float
    ua_w_per_k: float
    open_multiplier: float
    sun_covered_m2: float
    sun_open_m2: float
    ground_fraction: float
    ground_c: float
    inflow_w_per_k: float
    inflow_c: float
    gain_w: float
    dry_air_kg_per_s: float = 0.0


class Fluxes(Struct, frozen=True, kw_only=True):
    """What the weather does to an open surface, worked out once: the rest hangs on the water's temperature."""

    air_c: Numbers
    vapour_kpa: Numbers
    evaporation_w_per_m2_kpa: Numbers
    convection_w_per_m2_k: Numbers
    sky_w_per_m2: Numbers
    sun_w_per_m2: Numbers
    air_heat_j_per_kg: Numbers


def fluxes_of(weather: Weather) -> Fluxes:
    """The weather's part of each hour's losses.

    Source:
        Evaporation: Smith, Löf & Jones (1994), Solar Energy 53, 3-7; convection by Bowen (1926); sky: Berdahl & Martin
        (1984) with clouds as in `surface.py`, which states the equations.
    """
    air_c, vapour_kpa = weather.air_c, weather.humidity_fraction * _saturation_kpa(weather.air_c)
    evaporation = CALM_W + WIND_W * weather.wind_m_per_s
    dew_c = _dew_point_c(vapour_kpa)
    clear = 0.711 + 0.56 * dew_c / 100 + 0.73 * (dew_c / 100) ** 2
    emissivity = clear + (1 - clear) * weather.cloud_fraction * CLOUD_SHARE
    return Fluxes(
        air_c=air_c,
        vapour_kpa=vapour_kpa,
        evaporation_w_per_m2_kpa=evaporation,
        convection_w_per_m2_k=evaporation * BOWEN_PER_K * STANDARD_KPA / 100,
        sky_w_per_m2=_EMITTED * emissivity * (air_c + ZERO_CELSIUS_K) ** 4,
        sun_w_per_m2=weather.sun_w_per_m2,
        air_heat_j_per_kg=_humid_heat_j_per_kg(air_c, vapour_kpa),
    )


def _saturation_kpa(temperature_c: Numbers) -> Numbers:
    return MAGNUS_KPA * np.exp(MAGNUS_SLOPE * temperature_c / (temperature_c + MAGNUS_C))


def _dew_point_c(vapour_kpa: Numbers) -> Numbers:
    g = np.log(np.maximum(vapour_kpa, 1e-3) / MAGNUS_KPA)
    return MAGNUS_C * g / (MAGNUS_SLOPE - g)


def _humid_heat_j_per_kg(air_c: Numbers, vapour_kpa: Numbers) -> Numbers:
    ratio = VAPOUR_TO_AIR * vapour_kpa / (STANDARD_KPA - vapour_kpa)
    return _AIR_J_PER_KG_K * air_c + ratio * (_VAPOUR_J_PER_KG + _VAPOUR_J_PER_KG_K * air_c)


def open_loss(fluxes: Fluxes, hour: int, temperature_c: float) -> tuple[float, float]:
    """What an ideal open surface loses [W/m²], and its slope [W/(m² K)], at a water temperature [°C]."""
    saturation = MAGNUS_KPA * exp(MAGNUS_SLOPE * temperature_c / (temperature_c + MAGNUS_C))
    slope = saturation * MAGNUS_SLOPE * MAGNUS_C / (temperature_c + MAGNUS_C) ** 2
    kelvin = temperature_c + ZERO_CELSIUS_K
    evaporation, convection = fluxes.evaporation_w_per_m2_kpa[hour], fluxes.convection_w_per_m2_k[hour]
    loss = (
        evaporation * (saturation - fluxes.vapour_kpa[hour])
        + convection * (temperature_c - fluxes.air_c[hour])
        + _EMITTED * kelvin**4
        - fluxes.sky_w_per_m2[hour]
    )
    return float(loss), float(evaporation * slope + convection + 4 * _EMITTED * kelvin**3)


def bubbled_loss(fluxes: Fluxes, hour: int, temperature_c: float, kg_per_s: float) -> tuple[float, float]:
    """What air that bubbles through the water takes with it [W], and its slope [W/K]: it leaves saturated, as warm."""
    if kg_per_s == 0.0:
        return 0.0, 0.0
    saturation = MAGNUS_KPA * exp(MAGNUS_SLOPE * temperature_c / (temperature_c + MAGNUS_C))
    ratio = VAPOUR_TO_AIR * saturation / (STANDARD_KPA - saturation)
    ratio_slope = ratio * MAGNUS_SLOPE * MAGNUS_C / (temperature_c + MAGNUS_C) ** 2
    vapour_j_per_kg = _VAPOUR_J_PER_KG + _VAPOUR_J_PER_KG_K * temperature_c
    taken = _AIR_J_PER_KG_K * temperature_c + ratio * vapour_j_per_kg - float(fluxes.air_heat_j_per_kg[hour])
    return kg_per_s * taken, kg_per_s * (_AIR_J_PER_KG_K + ratio * _VAPOUR_J_PER_KG_K + ratio_slope * vapour_j_per_kg)


def net_gain(
    model: HeatModel, fluxes: Fluxes, hour: int, temperature_c: float, covered_fraction: float
) -> tuple[float, float]:
    """What the water gains without a heater [W] at a temperature [°C], and how fast that falls with it [W/K]."""
    bubbled, slope = bubbled_loss(fluxes, hour, temperature_c, model.dry_air_kg_per_s)
    gain = model.gain_w - bubbled + model.inflow_w_per_k * (model.inflow_c - temperature_c)
    slope += model.inflow_w_per_k
    open_fraction = 1.0 - covered_fraction
    sun_m2 = covered_fraction * model.sun_covered_m2 + open_fraction * model.sun_open_m2
    gain += sun_m2 * float(fluxes.sun_w_per_m2[hour])
    if covered_fraction > 0:
        around_c = surroundings_c(model, float(fluxes.air_c[hour]))
        gain -= covered_fraction * model.ua_w_per_k * (temperature_c - around_c)
        slope += covered_fraction * model.ua_w_per_k
    if open_fraction > 0:
        lost, lost_slope = open_loss(fluxes, hour, temperature_c)
        bare_m2 = open_fraction * model.open_multiplier * model.surface_m2
        gain -= bare_m2 * lost
        slope += bare_m2 * lost_slope
    return gain, slope


def surroundings_c(model: HeatModel, air_c: float) -> float:
    """What a covered pond loses its heat to [°C]: air a little cooled by the sky, and soil."""
    return (1 - model.ground_fraction) * (air_c - SKY_COOLING_K) + model.ground_fraction * model.ground_c


class Run(Struct, frozen=True):
    """Water temperature [°C] at the end of each hour, and the heat given in it [W]."""

    temperature_c: list[float]
    heat_w: list[float]


def simulate(
    model: HeatModel,
    fluxes: Fluxes,
    covered: Sequence[float],
    start_c: float,
    setpoint_c: Sequence[float] | None = None,
    power_w: float = 0.0,
    step_h: float = 1.0,
) -> Run:
    """The water's temperature through the hours.

    Args:
        model: The pond.
        fluxes: The weather, worked out by `fluxes_of`.
        covered: Share of the surface under cover in each hour [0 to 1].
        start_c: Temperature at the beginning [°C].
        setpoint_c: What an ideal thermostat holds in each hour [°C], NaN for off; None for no heater.
        power_w: The most the heater gives [W].
        step_h: How long a step is [h], where the weather is told by another than the hour.
    """
    step_s = step_h * SECONDS_PER_HOUR
    temperatures: list[float] = []
    heats: list[float] = []
    temperature_c = start_c
    for hour, covered_fraction in enumerate(covered):
        gain_w, slope = net_gain(model, fluxes, hour, temperature_c, covered_fraction)
        held_s = _held_s(slope / model.capacity_j_per_k, step_s)
        next_c = temperature_c + gain_w * held_s / model.capacity_j_per_k
        heat_w = 0.0
        if setpoint_c is not None and next_c < setpoint_c[hour]:
            heat_w = min(power_w, (setpoint_c[hour] - next_c) * model.capacity_j_per_k / held_s)
            next_c += heat_w * held_s / model.capacity_j_per_k
        temperature_c = next_c
        temperatures.append(temperature_c)
        heats.append(heat_w)
    return Run(temperatures, heats)


def _held_s(rate_per_s: float, step_s: float) -> float:
    """(1 - exp(-rate t)) / rate over a step [s]: how long a steady gain counts."""
    return -expm1(-rate_per_s * step_s) / rate_per_s if rate_per_s > 1e-12 else step_s


def course_of(
    model: HeatModel, fluxes: Fluxes, first: int, starts_at: datetime, covered: Sequence[float], around_c: float
) -> Course:
    """The same as straight lines in each hour about a temperature [°C], for a plan to search in.

    `first`: the weather's hour in which `starts_at` lies; `covered` tells how many hours are wanted.
    """
    gains: list[float] = []
    losses: list[float] = []
    for ahead, covered_fraction in enumerate(covered):
        gain_w, slope = net_gain(model, fluxes, first + ahead, around_c, covered_fraction)
        gains.append(gain_w + slope * around_c)
        losses.append(slope)
    return Course(
        starts_at=starts_at,
        capacity_j_per_k=model.capacity_j_per_k,
        gain_w=tuple(gains),
        loss_w_per_k=tuple(losses),
    )
