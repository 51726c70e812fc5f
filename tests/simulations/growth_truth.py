"""Fish that grow by a truth finer than the learner's: seasons by warmth, good and bad years, tapes that slip."""

from datetime import date, timedelta
from math import cos, exp, log, pi

import numpy as np
from msgspec import Struct

from evenwater.domain.fish.growth import GROWS_ABOVE_C, Point

BORN = date(2015, 6, 1)


class TrueFish(Struct, frozen=True):
    """What is true of a fish, and what was measured of it, in years of its own water."""

    l_inf_cm: float
    k_per_year: float
    points: tuple[Point, ...]
    next_years: float
    next_cm: float


def water_c(on: date, heated: bool) -> float:
    """A heated pond's winter is short and mild."""
    swing = 7.0 if heated else 9.0
    level = 15.0 - swing * cos(2 * pi * (on.timetuple().tm_yday - 30) / 365.25)
    return max(level, 12.0) if heated else max(level, 3.5)


def grown_fish(chance: np.random.Generator) -> TrueFish:
    """A fish measured four to twelve times, twice or three times every two years."""
    l_inf, k = float(np.clip(chance.normal(70, 13), 42, 100)), exp(chance.normal(log(0.24), 0.5))
    length, heated = l_inf * chance.uniform(0.15, 0.7), bool(chance.integers(2))
    many = int(chance.integers(4, 13))
    days = np.cumsum(chance.uniform(130, 300, many + 1)).astype(int)
    asked, warmth, rates = set(days.tolist()), 0.0, {}
    spans: list[tuple[int, float, float]] = []
    per_year = sum(max(0.0, water_c(BORN + timedelta(days=day), heated) - GROWS_ABOVE_C) for day in range(1461)) / 4
    for day in range(int(days[-1]) + 1):
        on = BORN + timedelta(days=day)
        warm = max(0.0, water_c(on, heated) - GROWS_ABOVE_C) / per_year
        rate = rates.setdefault(on.year, 1.0 + chance.normal(0, 0.15)) * k
        length += (l_inf - length) * (1.0 - exp(-rate * warm))
        warmth += warm
        if day in asked:
            spans.append((day, warmth, length))
    first = spans[0][1]
    sds = [(0.4**2 + (0.01 * cm) ** 2) ** 0.5 for *_, cm in spans]
    told = [Point(years - first, cm + chance.normal(0, sd), sd) for (_, years, cm), sd in zip(spans, sds, strict=True)]
    return TrueFish(l_inf, k, tuple(told[:-1]), told[-1].years, told[-1].total_cm)
