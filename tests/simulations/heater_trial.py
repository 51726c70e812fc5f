"""Ponds through real winters: heated by habit, or by a plan made anew each evening from a forecast that errs."""

import random
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import exp, sqrt

import numpy as np
from msgspec.structs import replace
from real_weather import HOURS, year

from evenwater.domain.kit import Heater
from evenwater.domain.units import J_PER_KWH
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ahead import Ahead, look_ahead
from evenwater.domain.warmth.heater.heater_offer import HeaterPlan, Wish
from evenwater.domain.warmth.heater.heater_plan import plan_heater
from evenwater.domain.warmth.heater.heater_words import Spoken
from evenwater.domain.warmth.heater.thermostat import OFF, Many, step_many

DAYS, AHEAD_H, EVENING = 30, 72, 18
CHEAP, DEAR = 0.12, 0.30
AIR_ERROR_K, AIR_ERROR_H, LOSS_ERROR = 1.3, 8.0, 0.10
_TMY_START = datetime(2026, 1, 1, tzinfo=UTC)
_SPOKEN = Spoken("UTC")


@dataclass(frozen=True)
class Pond:
    """A pond as it is: heat it holds and loses, its sun and its pumps, its heater, the month it is in."""

    capacity_j_per_k: float
    loss_w_per_k: float
    sun_m2: float
    pumps_w: float
    heater: Heater
    target_c: float
    first_hour: int  # of the weather year, at EVENING

    def weather(self, name: str, hour: int, hours: int) -> np.ndarray:
        return np.take(year()[name], range(self.first_hour + hour, self.first_hour + hour + hours), mode="wrap")

    def course(self, hour: int, hours: int, air_c: np.ndarray | None = None, loss_factor: float = 1.0) -> Course:
        """The truth; or with another air and another loss, what is believed."""
        air_c = self.weather("air_c", hour, hours) if air_c is None else air_c
        loss = self.loss_w_per_k * loss_factor
        gain_w = loss * air_c + self.sun_m2 * self.weather("sun", hour, hours) + self.pumps_w
        return Course(
            starts_at=_TMY_START + timedelta(hours=self.first_hour + hour),
            capacity_j_per_k=self.capacity_j_per_k,
            gain_w=tuple(gain_w.tolist()),
            loss_w_per_k=(loss,) * hours,
        )

    def ahead(self, course: Course) -> Ahead:
        hours = len(course.gain_w)
        cheap = cheap_hours(course.starts_at, hours)
        return look_ahead(course, self.heater, prices(cheap), [5.0] * hours, cheap)


def cheap_hours(starts_at: datetime, hours: int) -> list[bool]:
    return [(starts_at + timedelta(hours=hour)).hour < 7 for hour in range(hours)]


def prices(cheap: list[bool]) -> list[float]:
    return [CHEAP if flag else DEAR for flag in cheap]


def drawn_pond(draw: random.Random, time_switch: bool = True) -> Pond:
    """5 to 40 m³, a time constant of one to four weeks, a heater that fills its window by half in a usual winter."""
    litres = draw.uniform(5_000, 40_000)
    capacity = litres * 4187.0
    loss = capacity / (draw.uniform(7, 28) * 86_400)
    target = draw.choice((16.0, 18.0, 20.0))
    need_w = loss * (target - 3.0)
    heater = Heater(
        power_w=need_w * 24 / 7 * draw.uniform(1.3, 3.0) if time_switch else need_w * draw.uniform(1.5, 4.0),
        differential_c=draw.choice((0.1, 0.2, 0.3)),
        step_c=draw.choice((0.1, 0.5, 0.5)),
        time_switch=time_switch,
    )
    day = draw.choice([*range(70), *range(310, 365)])
    sun = draw.uniform(0.0, 0.15) * litres / 1500
    return Pond(capacity, loss, sun, draw.uniform(30, 150), heater, target, (day * 24 + EVENING) % HOURS)


@dataclass
class Month:
    """What came of a month: money, with the heat left in the water counted at the cheap price; water hour by hour."""

    cost: float
    paid: float
    water_c: np.ndarray
    lows_c: np.ndarray
    longer: int = 0

    @property
    def floor_c(self) -> float:
        return float(self.lows_c.min())

    @property
    def mean_c(self) -> float:
        return float(self.water_c.mean())

    @property
    def swing_k(self) -> float:
        windows = np.lib.stride_tricks.sliding_window_view(self.water_c, 25)
        return float((windows.max(axis=1) - windows.min(axis=1)).max())

    def cold_kh(self, floor_c: float) -> float:
        return float(np.maximum(floor_c - self.lows_c, 0.0).sum())


class Life:
    """The real pond, hour by hour, under whatever is set."""

    def __init__(self, pond: Pond, start_c: float) -> None:
        self.pond, self.start_c = pond, start_c
        self.course = pond.course(0, DAYS * 24)
        self.many = Many(np.array([start_c]), np.zeros(1, dtype=bool), np.zeros(1))
        self.water: list[float] = []
        self.lows: list[float] = []
        self.cost = 0.0

    @property
    def now_c(self) -> float:
        return float(self.many.temperature_c[0])

    def live(self, settings_c: list[float], ahead: Ahead) -> None:
        for setting in settings_c:
            hour = len(self.water)
            self.many, came = step_many(ahead, self.pond.heater, hour, self.many, np.array([setting]))
            self.water.append(float(came.ends_c[0]))
            self.lows.append(float(came.lows_c[0]))
            self.cost += float(came.heat_kwh[0]) * ahead.price_per_kwh[hour]

    def month(self) -> Month:
        stored = (self.now_c - self.start_c) * self.pond.capacity_j_per_k / J_PER_KWH * CHEAP
        return Month(self.cost - stored, self.cost, np.array(self.water), np.array(self.lows))


def by_habit(pond: Pond) -> Month:
    """The thermostat at target at all times it can."""
    life = Life(pond, pond.target_c)
    life.live([pond.target_c] * (DAYS * 24), pond.ahead(life.course))
    return life.month()


def by_plan(pond: Pond, wish: Wish, draw: random.Random) -> Month:
    """A plan each evening, of which the first day is lived."""
    life = Life(pond, pond.target_c)
    switched = pond.ahead(life.course)
    free = replace(switched, lets_heat=(True,) * DAYS * 24)
    loss_factor, longer = exp(draw.gauss(0.0, LOSS_ERROR)), 0
    for day in range(DAYS):
        plan = _believed_plan(pond, life.now_c, day * 24, wish, loss_factor, draw)
        longer += plan.beyond_switch
        life.live(_first_day(plan), free if plan.beyond_switch else switched)
    month = life.month()
    month.longer = longer
    return month


def _believed_plan(
    pond: Pond, water_c: float, hour: int, wish: Wish, loss_factor: float, draw: random.Random
) -> HeaterPlan:
    air_c = pond.weather("air_c", hour, AHEAD_H) + _air_error(draw)
    course = pond.course(hour, AHEAD_H, air_c, loss_factor)
    cheap = cheap_hours(course.starts_at, AHEAD_H)
    read_c = round(water_c, 1)
    plan = plan_heater(course, pond.heater, prices(cheap), air_c.tolist(), cheap, read_c, wish, _SPOKEN)
    assert plan is not None
    return plan


def _air_error(draw: random.Random) -> np.ndarray:
    """AR(1): a service's air at a station some way off."""
    keeps = exp(-1.0 / AIR_ERROR_H)
    error, found = draw.gauss(0.0, AIR_ERROR_K), []
    for _ in range(AHEAD_H):
        found.append(error)
        error = keeps * error + draw.gauss(0.0, AIR_ERROR_K * sqrt(1 - keeps * keeps))
    return np.array(found)


def _first_day(plan: HeaterPlan) -> list[float]:
    settings = [OFF] * 24
    for window in plan.windows:
        first, end = ((at - plan.begins_at) // timedelta(hours=1) for at in (window.begins_at, window.ends_at))
        if first < 24:
            setting = OFF if window.setting_c is None else window.setting_c
            settings[first : min(end, 24)] = [setting] * (min(end, 24) - first)
    return settings
