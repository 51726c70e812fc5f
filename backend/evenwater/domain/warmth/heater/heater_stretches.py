"""Where and to what a keeper can set the thermostat: at which moments, in which steps."""

from collections.abc import Sequence
from math import ceil, floor
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
from msgspec import Struct

from evenwater.domain.kit import Heater
from evenwater.domain.units import SECONDS_PER_DAY
from evenwater.domain.warmth.heater.heater_ahead import Ahead

_CLOSE: Final = 1e-9


class Stretch(Struct, frozen=True):
    """Steps `first` to before `end` with one setting. `kind` 1 is the day of a keeper who sets by hand, else 0."""

    first: int
    end: int
    kind: int = 0


def stretches_of(ahead: Ahead, heater: Heater, zone: str, evening_hour: int, morning_hour: int) -> tuple[Stretch, ...]:
    """Where a setting can be changed: with a time switch each of its times (one over 24 h: each evening in it).

    By hand at the evening's and the morning's hour on the pond's own clock; an hour that the clock skips counts as the
    next there is.
    """
    steps = range(len(ahead.gain_w))
    if not heater.time_switch:
        parts = [_part(ahead, step, zone, evening_hour, morning_hour) for step in steps]
        begins = [step for step in steps if step == 0 or parts[step] != parts[step - 1]]
        return tuple(Stretch(a, b, parts[a]) for a, b in _between(begins, len(parts)))
    day = round(SECONDS_PER_DAY / ahead.step_s)
    found: list[Stretch] = []
    for first, end in runs(ahead.lets_heat):
        night = [_part(ahead, step, zone, evening_hour, evening_hour + 12) for step in range(first, end)]
        turns = [first + at for at in range(1, end - first) if end - first > day and night[at] < night[at - 1]]
        found += [Stretch(a, b) for a, b in _between([first, *turns], end)]
    return tuple(found)


def _between(begins: Sequence[int], end: int) -> list[tuple[int, int]]:
    return list(zip(begins, [*begins[1:], end], strict=True))


def runs(flags: Sequence[bool]) -> list[tuple[int, int]]:
    """Where flags stand without a gap: first, and the one after the last."""
    edges = np.flatnonzero(np.diff(np.array([False, *flags, False]).astype(np.int8)))
    return [(int(a), int(b)) for a, b in edges.reshape(-1, 2)]


def _part(ahead: Ahead, step: int, zone: str, evening_hour: int, morning_hour: int) -> int:
    """1 by day, 0 in the night that begins in the evening."""
    hour = ahead.moment(step).astimezone(ZoneInfo(zone)).hour
    return int((hour - morning_hour) % 24 < (evening_hour - morning_hour) % 24)


def levels_between(low_c: float, high_c: float, step_c: float) -> list[float]:
    """What the thermostat can be set to from a temperature to another [°C]; the nearest where none lies between."""
    first, last = ceil(low_c / step_c - _CLOSE), floor(high_c / step_c + _CLOSE)
    if first > last:
        first = last = round((low_c + high_c) / 2 / step_c)
    return [round(step_c * number, 6) for number in range(first, last + 1)]


def nearest_level(setting_c: float, step_c: float) -> float:
    """The nearest the thermostat can be set to [°C]."""
    return round(step_c * round(setting_c / step_c), 6)
