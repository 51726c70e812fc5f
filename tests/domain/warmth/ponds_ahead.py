"""Ponds, heaters and prices for the tests of the heater plan, drawn by chance."""

import random
from datetime import UTC, datetime

from evenwater.domain.kit import Heater
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ahead import Ahead, look_ahead

START = datetime(2026, 1, 15, 18, tzinfo=UTC)
J_PER_K_PER_L = 4187.0


def course_of(draw: random.Random, hours: int = 72, litres: float | None = None, loss: float | None = None) -> Course:
    """A pond of 2 to 40 m³ that loses 8 to 60 W/K to air about some degrees, days warmer than nights."""
    litres = litres or draw.uniform(2_000, 40_000)
    loss = loss or draw.uniform(8, 60)
    mean, swing = draw.uniform(-6, 10), draw.uniform(0, 6)
    air = [mean + swing * ((hour + 12) % 24 / 12 - 1) + draw.gauss(0, 1) for hour in range(hours)]
    return Course(
        starts_at=START,
        capacity_j_per_k=litres * J_PER_K_PER_L,
        gain_w=tuple(100.0 + loss * degrees for degrees in air),
        loss_w_per_k=tuple(loss * draw.uniform(0.9, 1.1) for _ in air),
    )


def cheap_by_night(hours: int = 72, begins: int = 0, ends: int = 7) -> tuple[bool, ...]:
    """From midnight to seven, UTC."""
    return tuple(begins <= (START.hour + hour) % 24 < ends for hour in range(hours))


def ahead_of(course: Course, heater: Heater, cheap: tuple[bool, ...] | None = None, air_c: float = 5.0) -> Ahead:
    """Prices 0.1 in the cheap hours, 0.3 in the others."""
    hours = len(course.gain_w)
    flags = cheap_by_night(hours) if cheap is None else cheap
    return look_ahead(course, heater, [0.1 if flag else 0.3 for flag in flags], [air_c] * hours, flags)


def heater_of(draw: random.Random, **fields: object) -> Heater:
    """1 to 9 kW, with or without a differential and a time switch."""
    usual = {
        "power_w": draw.uniform(1000, 9000),
        "differential_c": draw.choice((0.0, 0.1, 0.3, 1.0)),
        "time_switch": draw.random() < 0.5,
    }
    return Heater(**(usual | fields))  # type: ignore[arg-type]
