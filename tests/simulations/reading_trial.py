"""Readings of ponds that nothing was done to, or whose level stepped, with what a pond does by itself."""

from collections.abc import Callable, Iterator
from datetime import date, timedelta

import numpy as np

from evenwater.domain.learn.reading_effect import MOST_DAYS, SURE, WINDOW_DAYS
from evenwater.domain.learn.shift import FEWEST_DAYS, Shift, shift_of

Course = Callable[[np.random.Generator, int], np.ndarray]
START = date(2026, 1, 1)
CHANGE = 100


def resembling(share: float) -> Course:
    """Standard deviation 1; each day by so much like the day before."""

    def course(chance: np.random.Generator, days: int) -> np.ndarray:
        values = np.empty(days)
        values[0] = chance.normal()
        for day in range(1, days):
            values[day] = share * values[day - 1] + np.sqrt(1.0 - share**2) * chance.normal()
        return values

    return course


def in_season(chance: np.random.Generator, days: int) -> np.ndarray:
    """A year's course of 3 either way, scatter 0.5: water temperature without a heater, about."""
    return 3.0 * np.sin(2 * np.pi * (np.arange(days) + chance.uniform(0, 365)) / 365) + 0.5 * chance.normal(size=days)


def drifting(chance: np.random.Generator, days: int) -> np.ndarray:
    """A standard deviation a month, steadily: nitrate, about."""
    return np.arange(days) / 30.0 + chance.normal(size=days)


def by_half_steps(chance: np.random.Generator, days: int) -> np.ndarray:
    """Unrelated days, read by a kit whose step is as large as what they scatter."""
    return np.round(chance.normal(size=days))


COURSES: dict[str, Course] = {
    "unrelated days": resembling(0.0),
    "half like the day before": resembling(0.5),
    "nearly like the day before": resembling(0.8),
    "a year's course": in_season,
    "a steady drift": drifting,
    "a coarse kit": by_half_steps,
}


def looks(course: Course, chance: np.random.Generator, every_days: int, step: float) -> Iterator[Shift]:
    """What is worked out after each reading since the change."""
    before, after = _read(course, chance, every_days, step)
    for count in range(FEWEST_DAYS, len(after) + 1):
        found = shift_of(dict(before), dict(after[:count]), SURE)
        assert found is not None
        yield found


def last_look(course: Course, chance: np.random.Generator, every_days: int, step: float) -> Shift:
    """What is worked out at the end."""
    before, after = _read(course, chance, every_days, step)
    found = shift_of(dict(before), dict(after), SURE)
    assert found is not None
    return found


def _read(
    course: Course, chance: np.random.Generator, every_days: int, step: float
) -> tuple[list[tuple[date, float]], list[tuple[date, float]]]:
    values = course(chance, CHANGE + WINDOW_DAYS)
    values[CHANGE:] += step
    read = [(day, (START + timedelta(days=day), float(values[day]))) for day in range(len(values))]
    read = [one for one in read if chance.random() < 1.0 / every_days]
    before = [one for day, one in read if CHANGE - WINDOW_DAYS <= day < CHANGE][-MOST_DAYS:]
    return before, [one for day, one in read if day > CHANGE][:MOST_DAYS]


def claims(found: Shift) -> bool:
    return found.low > 0.0 or found.high < 0.0
