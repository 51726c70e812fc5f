"""What the air is usually like in the course of a year, where nobody has measured it for one.

Our own rule of thumb for temperate places near sea level: a yearly mean and a swing by latitude, warmest in late July
(north). What the pond's own log shows of the air moves the whole year up or down. Common practice, no source.
"""

import itertools
from collections.abc import Sequence
from datetime import date
from math import cos, pi
from typing import Final

# (latitude, yearly mean [°C], half the difference between the warmest and the coldest day's mean [K]), about sea level.
_PLACES: Final = (
    (0.0, 27.0, 1.0),
    (25.0, 22.0, 6.0),
    (40.0, 13.5, 10.5),
    (52.0, 10.0, 7.5),
    (60.0, 5.5, 10.5),
    (66.0, 1.0, 12.0),
)
_WARMEST_DAY, _YEAR_DAYS = 205, 365.25
COLD_YEAR_K: Final = 2.0
"""How much colder a cold winter is than a usual one [K]. Common practice, no source."""
HALF_DAILY_SPAN_K: Final = 3.5
"""Half the difference between a day's warmest and coldest hour [K]. Common practice, no source."""


def yearly_mean_c(latitude: float | None) -> float:
    """Mean air over the year [°C]; 10 where the place is not known."""
    return 10.0 if latitude is None else _by_latitude(latitude)[0]


def usual_air_c(on: date, latitude: float | None) -> float:
    """Mean air of a usual day [°C] at a latitude [°], -66 to 66."""
    mean_c, swing_k = (10.0, 7.5) if latitude is None else _by_latitude(latitude)
    day = on.timetuple().tm_yday - _WARMEST_DAY
    if latitude is not None and latitude < 0:
        day += _YEAR_DAYS / 2
    return mean_c + swing_k * cos(2 * pi * day / _YEAR_DAYS)


def local_shift_k(days: Sequence[tuple[date, float]], latitude: float | None) -> float:
    """How much warmer it is here than usual at this latitude [K], from daily means of the pond's own air.

    Half of what is seen counts: some of it is this year's weather. Five days at least, else nothing is said.
    """
    if len(days) < 5:
        return 0.0
    return 0.5 * sum(mean_c - usual_air_c(on, latitude) for on, mean_c in days) / len(days)


def _by_latitude(latitude: float) -> tuple[float, float]:
    place = min(abs(latitude), _PLACES[-1][0])
    for (low, low_mean, low_swing), (high, high_mean, high_swing) in itertools.pairwise(_PLACES):
        if place <= high:
            share = (place - low) / (high - low)
            return low_mean + share * (high_mean - low_mean), low_swing + share * (high_swing - low_swing)
    return _PLACES[-1][1:]
