"""What the water's temperature does hour by hour when left alone, and with heat given: linear in each hour."""

from datetime import datetime
from math import expm1

from msgspec import Struct

from evenwater.domain.units import SECONDS_PER_HOUR


class Course(Struct, frozen=True, kw_only=True):
    """Hours from `starts_at` (UTC, a whole hour): C dT/dt = gain - loss T + heat.

    `capacity_j_per_k` [J/K]; `gain_w` [W] is everything that does not hang on the water's temperature T [°C],
    `loss_w_per_k` [W/K] what does.
    """

    starts_at: datetime
    capacity_j_per_k: float
    gain_w: tuple[float, ...]
    loss_w_per_k: tuple[float, ...]


def after_hour_c(course: Course, hour: int, temperature_c: float, heat_w: float = 0.0) -> float:
    """Water temperature [°C] at the end of an hour with steady heat [W], exactly."""
    return after_s(course, hour, temperature_c, heat_w, SECONDS_PER_HOUR)


def after_s(course: Course, hour: int, temperature_c: float, heat_w: float, step_s: float) -> float:
    """The same after a part of an hour [s]."""
    loss = course.loss_w_per_k[hour]
    net_w = course.gain_w[hour] + heat_w - loss * temperature_c
    rate = loss / course.capacity_j_per_k
    # (1 - exp(-rate t)) / rate, which is t where nothing is lost.
    held_s = -expm1(-rate * step_s) / rate if rate > 0 else step_s
    return temperature_c + net_w * held_s / course.capacity_j_per_k
