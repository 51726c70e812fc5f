"""The cheapest settings a keeper can make: candidates are followed through the hours ahead, and the best one taken.

With a time switch there is one setting for each time it lets the heater on; by hand two a day, one from the evening and
one from the morning. The keeper's habit is always among them. Settings change at the beginning of a stretch; at each
beginning every schedule so far is tried with every setting, and when that grows too many, the best of each temperature
go on: small searches are complete. Schedules easier to follow win unless another is cheaper by more than `ease`.
"""

from collections.abc import Sequence
from itertools import product
from math import ceil, floor
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from evenwater.domain.kit import Heater
from evenwater.domain.units import SECONDS_PER_DAY
from evenwater.domain.warmth.heater_ahead import Ahead, Floats
from evenwater.domain.warmth.heater_worth import Limits, Worth, follow_many, joined, worth_of
from evenwater.domain.warmth.thermostat import OFF, Followed, Many, step_many

Rows = npt.NDArray[np.intp]

_FEW, _MANY = 120, 240
"""Schedules followed at once: few where there are many stretches, or where a first search has gone before."""
_MOST_WINDOWS: Final = 4
_MOST_LEVELS: Final = 7
_EASE: Final = 0.01
_CLOSE: Final = 1e-9


class Stretch(Struct, frozen=True):
    """Steps `first` to before `end` with one setting. `kind` 1 is the day of a keeper who sets by hand, else 0."""

    first: int
    end: int
    kind: int = 0


class Tried(Struct, frozen=True):
    """One schedule: a setting [°C] for each stretch (OFF where none), and what came of it."""

    settings_c: tuple[float, ...]
    paid: float
    score: float
    kwh: float
    lowest_c: float
    lowest_step: int
    mean_c: float
    end_c: float
    swing_k: float
    broken: float
    ends_c: tuple[float, ...]
    heat_kwh: tuple[float, ...]

    @property
    def holds(self) -> bool:
        """Whether every limit is kept."""
        return self.broken == 0.0


class Found(Struct, frozen=True):
    """The best schedule, the keeper's habit, and the stretches both are written in."""

    stretches: tuple[Stretch, ...]
    best: Tried
    habit: Tried


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
    for first, end in _runs(ahead.lets_heat):
        night = [_part(ahead, step, zone, evening_hour, evening_hour + 12) for step in range(first, end)]
        turns = [first + at for at in range(1, end - first) if end - first > day and night[at] < night[at - 1]]
        found += [Stretch(a, b) for a, b in _between([first, *turns], end)]
    return tuple(found)


def _between(begins: Sequence[int], end: int) -> list[tuple[int, int]]:
    return list(zip(begins, [*begins[1:], end], strict=True))


def _runs(flags: Sequence[bool]) -> list[tuple[int, int]]:
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


def search(
    ahead: Ahead,
    heater: Heater,
    start_c: float,
    limits: Limits,
    target_c: float,
    stretches: tuple[Stretch, ...],
    ease: float = _EASE,
) -> Found:
    """The best of the settings that can be made. `target_c` is what the habit sets, at all times it can.

    `ease`: the share of what is paid that a schedule easier to follow may be dearer by.
    """
    here = _Search(ahead, heater, start_c, limits, stretches)
    levels = levels_between(min(limits.floor_c, start_c), limits.highest_setting_c, heater.step_c)
    stride = ceil(len(levels) / _MOST_LEVELS)
    options = [[*levels[::-stride], OFF]] * len(stretches)
    habit = here.follow(np.full((1, len(stretches)), nearest_level(target_c, heater.step_c)))[0]
    width = _MANY if len(stretches) <= _MOST_WINDOWS else _FEW
    even, free = here.best_even(options), here.best(options, width)
    if stride > 1:
        even = min(even, here.best_even(_near(levels, even.settings_c, stride)), key=_order)
        free = min(free, here.best(_near(levels, free.settings_c, stride), _FEW), key=_order)
    easiest_first = [even, free]
    if all(setting <= limits.highest_setting_c + _CLOSE for setting in habit.settings_c):
        easiest_first.insert(0, habit)
    best = min(easiest_first, key=_order)
    enough = best.score + ease * abs(best.paid) + _CLOSE
    easiest = next(one for one in easiest_first if one.score <= enough and _order(one)[0] == _order(best)[0])
    return Found(stretches, easiest, habit)


def _order(tried: Tried) -> tuple[float, float]:
    return round(tried.broken, 3), tried.score


def _near(levels: Sequence[float], settings_c: Sequence[float], stride: int) -> list[list[float]]:
    """The settings that were left out about those that were best."""
    places = [levels.index(setting) if setting in levels else None for setting in settings_c]
    return [[OFF] if at is None else list(levels[max(0, at - stride + 1) : at + stride]) for at in places]


class _Search:
    """One pond, one night's question."""

    def __init__(
        self, ahead: Ahead, heater: Heater, start_c: float, limits: Limits, stretches: tuple[Stretch, ...]
    ) -> None:
        self.ahead, self.heater, self.start_c, self.limits = ahead, heater, start_c, limits
        self.stretches, self.steps = stretches, len(ahead.gain_w)

    def follow(self, chosen: Floats) -> list[Tried]:
        """Schedules given by their settings [schedule, stretch], each in full."""
        came = follow_many(self.ahead, self.heater, self._by_step(chosen), self.start_c)
        return self._tried(chosen, came, range(len(chosen)))

    def best_even(self, options: Sequence[Sequence[float]]) -> Tried:
        """The best of those that are the same every day; options [stretch] of a kind are alike."""
        kinds = [one.kind for one in self.stretches]
        of_kind = {kind: tuple(options[at]) for at, kind in enumerate(kinds)}
        rows = [dict(zip(of_kind, settings, strict=True)) for settings in product(*of_kind.values())]
        chosen = np.array([[row[kind] for kind in kinds] for row in rows], dtype=np.float64).reshape(len(rows), -1)
        came = follow_many(self.ahead, self.heater, self._by_step(chosen), self.start_c)
        return self._tried(chosen, came, self._worth(came).order()[:1])[0]

    def best(self, options: Sequence[Sequence[float]], width: int) -> Tried:
        """The best of any: branches at each stretch, and prunes to `width`."""
        many = Many(np.array([self.start_c]), np.zeros(1, dtype=np.bool_), np.zeros(1))
        chosen, told = np.empty((1, 0)), list[Followed]()
        for stretch, settings in zip(self.stretches, options, strict=True):
            many = self._run(many, told, stretch.first, np.full(len(chosen), OFF))
            rows = self._kept(told, len(chosen), width // len(settings)).repeat(len(settings))
            many, told = many.chosen(rows), [_chosen(one, rows) for one in told]
            setting = np.tile(np.array(settings, dtype=np.float64), len(rows) // len(settings))
            chosen = np.column_stack([chosen[rows], setting])
            many = self._run(many, told, stretch.end, setting)
        self._run(many, told, self.steps, np.full(len(chosen), OFF))
        came = joined(told)
        return self._tried(chosen, came, self._worth(came).order()[:1])[0]

    def _run(self, many: Many, told: list[Followed], until: int, setting_c: Floats) -> Many:
        for step in range(len(told), until):
            many, came = step_many(self.ahead, self.heater, step, many, setting_c)
            told.append(came)
        return many

    def _kept(self, told: Sequence[Followed], count: int, room: int) -> Rows:
        """Those that go on: all while there is room, else the best of each temperature, then the best of the rest."""
        if count <= room or not told:
            return np.arange(count)
        worth = self._worth(joined(told))
        order = np.array(worth.order())
        water = worth.end_c[order]
        span = max(float(np.ptp(water)), _CLOSE)
        place = np.minimum((water - water.min()) / span * (room // 2), room // 2 - 1).astype(np.int64)
        first = np.unique(place, return_index=True)[1]
        rest = np.setdiff1d(np.arange(count), first)
        return order[np.concatenate([first, rest])[:room]]

    def _worth(self, came: Followed) -> Worth:
        return worth_of(self.ahead, self.start_c, self.limits, came)

    def _by_step(self, chosen: Floats) -> Floats:
        settings = np.full((len(chosen), self.steps), OFF)
        for at, stretch in enumerate(self.stretches):
            settings[:, stretch.first : stretch.end] = chosen[:, at : at + 1]
        return settings

    def _tried(self, chosen: Floats, came: Followed, rows: Sequence[int]) -> list[Tried]:
        worth = self._worth(came)
        return [
            Tried(
                settings_c=tuple(chosen[row].tolist()),
                paid=float(worth.paid[row]),
                score=float(worth.score[row]),
                kwh=float(worth.kwh[row]),
                lowest_c=float(worth.lowest_c[row]),
                lowest_step=int(came.lows_c[row].argmin()),
                mean_c=float(worth.mean_c[row]),
                end_c=float(worth.end_c[row]),
                swing_k=float(worth.swing_k[row]),
                broken=float(worth.broken[row]),
                ends_c=tuple(came.ends_c[row].tolist()),
                heat_kwh=tuple(came.heat_kwh[row].tolist()),
            )
            for row in rows
        ]


def _chosen(came: Followed, rows: Rows) -> Followed:
    return Followed(came.ends_c[rows], came.lows_c[rows], came.highs_c[rows], came.heat_kwh[rows])
