"""A winter before it happens: what the heater will take day by day, on a usual year and on a cold one."""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

import numpy as np
from msgspec import Struct

from evenwater.domain.entries import zone_named
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.heat.climate import HALF_DAILY_SPAN_K, local_shift_k, usual_air_c
from evenwater.domain.warmth.heat.heat_balance import Fluxes, Numbers, Weather, fluxes_of, simulate
from evenwater.domain.warmth.heat_log import may_run
from evenwater.domain.warmth.heater.heater_ahead import cop_at
from evenwater.domain.warmth.heater.tariff import hourly_prices
from evenwater.domain.warmth.pond_air import usual_sun

HOUR = timedelta(hours=1)
_OPENS, _CLOSES = 9, 17  # the hours a cover is usually off
_CLOUD = 0.6
_STEP_H = 3  # three times as fast as by the hour, and about 6 % dearer: less than a year differs from the usual
_PER_DAY = 24 // _STEP_H


class Winter(Struct, frozen=True):
    """The hours to come: weather of a usual year, prices, and how much of each hour the heater may run."""

    starts_at: datetime
    days: tuple[date, ...]
    fluxes: Fluxes
    covered: tuple[float, ...]
    allowed: Numbers
    prices: Numbers
    cops: Numbers


class WinterRun(Struct, frozen=True):
    """What holding a temperature takes: by day [kWh of electricity], [currency], and the warmest water [°C]."""

    kwh: Numbers
    cost: Numbers
    highest_c: Numbers


def winter_of(heat: Heat, today: date, until: date, colder_k: float = 0.0) -> Winter:
    """The days from tomorrow to a date as they usually are here, by latitude and by the pond's own air so far.

    Raises:
        OutOfRange: over ten years.
    """
    pond, zone = heat.pond, zone_named(heat.pond.zone)
    days = tuple(today + timedelta(days=one) for one in range(1, max(2, (until - today).days + 1)))
    starts_at = datetime.combine(days[0], time(0), zone).astimezone(heat.since.tzinfo)
    steps = _PER_DAY * len(days)
    shift_k = local_shift_k(daily_air(heat), pond.latitude) - colder_k
    means = np.repeat([usual_air_c(on, pond.latitude) + shift_k for on in days], _PER_DAY)
    clock = (np.arange(steps) % _PER_DAY + 0.5) * _STEP_H
    air_c = means + HALF_DAILY_SPAN_K * np.cos((clock - 15) / 24 * 2 * np.pi)
    weather = Weather(
        starts_at=starts_at,
        air_c=air_c,
        humidity_fraction=np.full(steps, 0.85),
        wind_m_per_s=np.full(steps, 0.8),
        cloud_fraction=np.full(steps, _CLOUD),
        sun_w_per_m2=_by_step(usual_sun(pond, starts_at, np.full(24 * len(days), _CLOUD), every=7)),
    )
    full = pond.cover.covered_fraction if pond.cover else 1.0
    tariff, heater = pond.tariff, heat.heater
    allowed, prices = np.ones(24 * len(days)), np.zeros(24 * len(days))
    if tariff is not None:
        prices = np.array(hourly_prices(tariff, zone, starts_at, len(prices)))
    if heater is not None:
        allowed = may_run(pond, heater, starts_at, len(allowed))
    # What a kWh costs in a step is its price in those of its hours in which the heater may run.
    paid = _by_step(prices * allowed) / np.maximum(_by_step(allowed), 1e-9)
    prices = np.where(_by_step(allowed) > 0, paid, _by_step(prices))
    return Winter(
        starts_at,
        days,
        fluxes_of(weather),
        tuple(_by_step(np.array([0.0 if _OPENS <= hour % 24 < _CLOSES else full for hour in range(24 * len(days))]))),
        _by_step(allowed),
        prices,
        cop_at(heater, air_c) if heater else np.ones(steps),
    )


def run_winter(heat: Heat, winter: Winter, start_c: float, settings_c: Sequence[float]) -> WinterRun:
    """What the heater takes when it is set so on each day."""
    setpoints = np.where(winter.allowed > 0.5, np.repeat(np.array(settings_c, dtype=np.float64), _PER_DAY), np.nan)
    power_w = heat.heater.power_w if heat.heater else 0.0
    run = simulate(heat.model, winter.fluxes, winter.covered, start_c, setpoints.tolist(), power_w, _STEP_H)
    kwh = np.array(run.heat_w) * _STEP_H / 1000 / winter.cops
    days = len(winter.days)
    return WinterRun(
        kwh.reshape(days, _PER_DAY).sum(1),
        (kwh * winter.prices).reshape(days, _PER_DAY).sum(1),
        np.array(run.temperature_c).reshape(days, _PER_DAY).max(1),
    )


def _by_step(hours: Numbers) -> Numbers:
    """Means of so many hours [the same unit]."""
    return hours.reshape(-1, _STEP_H).mean(1)


def daily_air(heat: Heat) -> list[tuple[date, float]]:
    """Mean air of each day that has been, as far as it is known [°C]."""
    zone = zone_named(heat.pond.zone)
    by_day: dict[date, list[float]] = {}
    for hour in range(min(int(heat.now_h), len(heat.air.weather))):
        air_c = float(heat.air.weather.air_c[hour])
        if air_c == air_c:
            by_day.setdefault(heat.at(hour).astimezone(zone).date(), []).append(air_c)
    return [(on, sum(airs) / len(airs)) for on, airs in by_day.items() if len(airs) >= 12]
