"""What the learner makes of simulated ponds: told as a keeper would, two readings a day, air from a distant station."""

from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from heat_truth import CP_J_PER_L, STEPS_PER_HOUR, Ponds, Told, ponds, run
from real_weather import HOURS, year

from evenwater.domain.warmth.heat.heat_balance import Fluxes, HeatModel, Weather, fluxes_of
from evenwater.domain.warmth.loss_filter import READING_SD_K, Belief, Known, LossFilter, begin, loss_w_per_k

BEGAN = datetime(2025, 1, 1, 12, tzinfo=UTC)
EVENING_H, MORNING_H = 6.0, 20.0  # after noon


@dataclass
class Outcome:
    """One pond: its true loss per degree, what was believed before and after, and what dawns were expected."""

    truth: float
    prior: float
    believed: tuple[float, float] | None
    difference_k: float
    month: int
    volume_l: float
    opaque: bool
    heated: bool
    metered: bool
    dawns: list[tuple[float, float, float, float, float]]
    """Each dawn: mean and sd expected, truth, the evening before as read, mean air of that night."""


def trial(seed: int, count: int, days: int, metered: bool) -> list[Outcome]:
    """So many ponds learned for so many days."""
    chance = np.random.default_rng(seed)
    many = ponds(count, chance)
    told = run(many, days, chance)
    return [_learned(many, told, one, days, metered, chance) for one in range(count)]


def _learned(many: Ponds, told: Told, one: int, days: int, metered: bool, chance: np.random.Generator) -> Outcome:
    fluxes = _station(many, one, days * 24, chance)
    readings, truths = _read(told, one, days, chance)
    prior = _told(many, told, one, chance)
    known = _written(many, told, one, days, metered, readings)
    start = begin(prior, readings[0][1], READING_SD_K, readings[0][0])
    belief = LossFilter(start, fluxes, known).run(days * 24.0)
    return Outcome(
        truth=float(told.ua_w_per_k[one]),
        prior=prior.ua_w_per_k,
        believed=loss_w_per_k(belief),
        difference_k=float(told.difference_k[one]),
        month=int(many.start_hour[one] // 730),
        volume_l=float(many.volume_l[one]),
        opaque=bool(many.clear[one] == 0),
        heated=bool(many.setpoint_c[one] > 0),
        metered=metered,
        dawns=_dawns(belief, truths, readings, fluxes),
    )


def _station(many: Ponds, one: int, hours: int, chance: np.random.Generator) -> Fluxes:
    """The weather as a station kilometres away tells it: air off by 1.3 K for hours on end."""
    at = (many.start_hour[one] + 12 + np.arange(hours)) % HOURS
    kept = np.exp(-1 / 8)
    off, error = np.empty(hours), chance.normal(0, 1.33)
    for hour in range(hours):
        error = kept * error + chance.normal(0, 1.33 * np.sqrt(1 - kept**2))
        off[hour] = error
    real = year()
    return fluxes_of(
        Weather(
            starts_at=BEGAN,
            air_c=real["air_c"][at] + off,
            humidity_fraction=np.clip(real["humidity_fraction"][at] + chance.normal(0, 0.05, hours), 0.2, 1),
            wind_m_per_s=0.3 * real["wind_m_per_s"][at],
            cloud_fraction=real["cloud_fraction"][at],
            sun_w_per_m2=real["sun"][at] * chance.uniform(0.8, 1.2, hours),
        )
    )


def _read(
    told: Told, one: int, days: int, chance: np.random.Generator
) -> tuple[list[tuple[float, float, float]], list[float]]:
    """Two readings a day, evening and morning, to a tenth; and what it truly was."""
    readings, truths = [], []
    for day in range(days):
        for hour in (EVENING_H, MORNING_H):
            at_h = day * 24 + hour + chance.uniform(-0.6, 0.6)
            truth = float(told.water_c[int(at_h * STEPS_PER_HOUR), one])
            readings.append((at_h, round(truth + chance.normal(0, 0.1), 1), READING_SD_K))
            truths.append(truth)
    return readings, truths


def _told(many: Ponds, told: Told, one: int, chance: np.random.Generator) -> HeatModel:
    """The pond as its keeper would tell it, with the errors such figures have."""

    def off(sd: float) -> float:
        return float(np.exp(chance.normal(0, sd)))

    surface = float(many.surface_m2[one])
    clear = many.clear[one] * 0.9 if many.clear[one] else 0.06
    return HeatModel(
        capacity_j_per_k=float(many.volume_l[one]) * CP_J_PER_L * off(0.05),
        surface_m2=surface,
        ua_w_per_k=float(told.ua_w_per_k[one]) * off(0.45),
        open_multiplier=0.9,
        sun_covered_m2=surface * float(clear) * off(0.3),
        sun_open_m2=surface * 0.88,
        ground_fraction=0.25,
        ground_c=11.0,
        inflow_w_per_k=float(many.inflow_l_per_day[one]) * CP_J_PER_L / 86_400 * off(0.15),
        inflow_c=float(many.tap_c[one]) + chance.normal(0, 0.7),
        gain_w=float(many.pumps_w[one]) * off(0.15),
    )


def _written(
    many: Ponds, told: Told, one: int, days: int, metered: bool, readings: list[tuple[float, float, float]]
) -> Known:
    """Covers when they were moved; the heater by its meter, read daily, or by its setting alone."""
    covered = told.covered[:, one]
    moves = np.flatnonzero(np.diff(covered)) + 1
    covers: list[tuple[float, float | None]] = [(0.0, float(covered[0]))]
    covers += [(step / STEPS_PER_HOUR, float(covered[step])) for step in moves]
    hours = days * 24
    clock = (12 + np.arange(hours)) % 24
    cheap = np.where((clock >= 1) & (clock < 7), 1.0, np.where((clock == 0) | (clock == 7), 0.5, 0.0))
    heat = np.full(hours, np.nan)
    if metered:
        daily = told.heat_w[:, one].reshape(days, -1).mean(1)  # noon to noon
        heat = np.repeat(daily, 24) * 24 * cheap / 7.0
    setpoint = np.where(cheap > 0, many.setpoint_c[one], np.nan)
    return Known(covers=covers, readings=readings, heat_w=heat, setpoint_c=setpoint, power_w=float(many.heater_w[one]))


def _dawns(
    belief: Belief, truths: list[float], readings: list[tuple[float, float, float]], fluxes: Fluxes
) -> list[tuple[float, float, float, float, float]]:
    """Mornings' forecasts: what was expected on the evening before, with the night's air as the station tells it."""
    found = []
    for one in belief.foretold:
        place = next(i for i, reading in enumerate(readings) if reading[0] == one.at_h)
        if place % 2 == 1:
            evening = readings[place - 1]
            air = float(fluxes.air_c[int(evening[0]) : int(one.at_h)].mean())
            spread = np.sqrt(max(one.sd_k**2 - READING_SD_K**2, 1e-6))
            found.append((one.mean_c, float(spread), truths[place], evening[1], air))
    return found
