"""The cheapest settings a keeper can make: candidates are followed through the hours ahead, and the best one taken.

With a time switch there is one setting for each time it lets the heater on; by hand two a day, one from the evening and
one from the morning. The keeper's habit is always among them. Settings change at the beginning of a stretch; at each
beginning every schedule so far is tried with every setting, and when that grows too many, the best of each temperature
go on: small searches are complete. Of schedules hardly dearer than the cheapest, the one with the fewest changes wins.
"""

from collections.abc import Sequence
from itertools import pairwise, product
from math import ceil
from typing import Final

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.kit import Heater
from evenwater.domain.warmth.heater.heater_ahead import Ahead, Bools, Floats
from evenwater.domain.warmth.heater.heater_stretches import Stretch, levels_between, nearest_level
from evenwater.domain.warmth.heater.heater_worth import Limits, Worth, follow_alone, follow_many, joined, worth_of
from evenwater.domain.warmth.heater.thermostat import OFF, Followed, Many, step_many

Rows = npt.NDArray[np.intp]

_FEW, _MANY = 120, 240
"""Schedules followed at once: few where there are many stretches, or where a first search has gone before."""
_MOST_WINDOWS: Final = 4
_MOST_LEVELS: Final = 7
_MOST_NEAR: Final = 11
_EASE: Final = 0.01
_CLOSE: Final = 1e-9


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
    here = _Search(ahead, heater, start_c, limits, stretches, ease)
    levels = levels_between(min(limits.floor_c, start_c), limits.highest_setting_c, heater.step_c)
    stride = ceil(len(levels) / _MOST_LEVELS)
    options = [[*levels[::-stride], OFF]] * len(stretches)
    habit = here.alone(nearest_level(target_c, heater.step_c))
    width = _MANY if len(stretches) <= _MOST_WINDOWS else _FEW
    even, free = here.best_even(options), here.best(options, width)
    if stride > 1:
        even = min(even, here.best_even(_near(levels, even.settings_c, stride)), key=rank)
        free = min(free, here.best(_near(levels, free.settings_c, stride), _FEW), key=rank)
    candidates = [even, _plainer(free, stretches)]
    if all(setting <= limits.highest_setting_c + _CLOSE for setting in habit.settings_c):
        candidates.insert(0, habit)
    best = min(candidates, key=rank)
    enough = best.score + ease * abs(best.paid) + _CLOSE
    good = [one for one in candidates if one.score <= enough and rank(one)[0] == rank(best)[0]]
    return Found(stretches, min(good, key=lambda one: changes(one.settings_c)), habit)


def changes(settings_c: Sequence[float]) -> int:
    """How often the keeper has to set another."""
    return sum(one != other for one, other in pairwise(settings_c))


def rank(one: Tried) -> tuple[float, float]:
    """From the best: least broken, then cheapest."""
    return round(one.broken, 3), one.score


def _plainer(one: Tried, stretches: tuple[Stretch, ...]) -> Tried:
    """The same with fewer changes: a stretch that needs no heat needs none at its neighbour's lower setting either."""
    settings = list(one.settings_c)
    idle = [sum(one.heat_kwh[stretch.first : stretch.end]) == 0.0 for stretch in stretches]
    places = range(len(settings))
    for at, beside in (*((at, at - 1) for at in places[1:]), *((at, at + 1) for at in places[-2::-1])):
        if idle[at] and settings[beside] < settings[at]:
            settings[at] = settings[beside]
    return replace(one, settings_c=tuple(settings))


def _near(levels: Sequence[float], settings_c: Sequence[float], stride: int) -> list[list[float]]:
    """The settings that were left out about those that were best; not all of them where they are very many."""
    thin = ceil((2 * stride - 1) / _MOST_NEAR)
    places = [levels.index(setting) if setting in levels else None for setting in settings_c]
    return [[OFF] if at is None else _about(levels, at, stride, thin) for at in places]


def _about(levels: Sequence[float], at: int, stride: int, thin: int) -> list[float]:
    below, above = levels[max(0, at - stride + 1) : at], levels[at : at + stride]
    return [*below[::-thin], *above[::thin]]


class _Search:
    """One pond, one night's question."""

    def __init__(
        self,
        ahead: Ahead,
        heater: Heater,
        start_c: float,
        limits: Limits,
        stretches: tuple[Stretch, ...],
        ease: float,
    ) -> None:
        self.ahead, self.heater, self.start_c, self.limits = ahead, heater, start_c, limits
        self.stretches, self.steps, self.ease = stretches, len(ahead.gain_w), ease

    def alone(self, setting_c: float) -> Tried:
        """One setting at all times."""
        chosen = np.full((1, len(self.stretches)), setting_c)
        came = follow_alone(self.ahead, self.heater, self._by_step(chosen)[0].tolist(), self.start_c)
        return tried(self.ahead, self.start_c, self.limits, chosen, came, [0])[0]

    def best_even(self, options: Sequence[Sequence[float]]) -> Tried:
        """The best of those that are the same every day; options [stretch] of a kind are alike."""
        kinds = [one.kind for one in self.stretches]
        of_kind = {kind: tuple(options[at]) for at, kind in enumerate(kinds)}
        rows = [dict(zip(of_kind, settings, strict=True)) for settings in product(*of_kind.values())]
        chosen = np.array([[row[kind] for kind in kinds] for row in rows], dtype=np.float64).reshape(len(rows), -1)
        came = follow_many(self.ahead, self.heater, self._by_step(chosen), self.start_c)
        return self._best_of(chosen, came)

    def best(self, options: Sequence[Sequence[float]], width: int) -> Tried:
        """The best of any: branches at each stretch, and prunes to `width`."""
        many = Many(np.array([self.start_c]), np.zeros(1, dtype=np.bool_), np.zeros(1))
        chosen, told = np.empty((1, 0)), list[Followed]()
        for stretch, settings in zip(self.stretches, options, strict=True):
            many = self._run(many, told, stretch.first, np.full(len(chosen), OFF))
            rows = self._kept(told, chosen, max(2, width // len(settings))).repeat(len(settings))
            many, told = many.chosen(rows), [_chosen(one, rows) for one in told]
            setting = np.tile(np.array(settings, dtype=np.float64), len(rows) // len(settings))
            chosen = np.column_stack([chosen[rows], setting])
            many = self._run(many, told, stretch.end, setting)
        self._run(many, told, self.steps, np.full(len(chosen), OFF))
        came = joined(told)
        return self._best_of(chosen, came)

    def _run(self, many: Many, told: list[Followed], until: int, setting_c: Floats) -> Many:
        for step in range(len(told), until):
            many, came = step_many(self.ahead, self.heater, step, many, setting_c)
            told.append(came)
        return many

    def _kept(self, told: Sequence[Followed], chosen: Floats, room: int) -> Rows:
        """Those that go on: all while there is room, else the best of each temperature, then the best of the rest."""
        count = len(chosen)
        if count <= room or not told:
            return np.arange(count)
        worth = self._worth(joined(told))
        order = np.lexsort((_changes(chosen), np.round(worth.score, 6), np.round(worth.broken, 3)))
        water = worth.end_c[order]
        span = max(float(np.ptp(water)), _CLOSE)
        place = np.minimum((water - water.min()) / span * (room // 2), room // 2 - 1).astype(np.int64)
        first = np.unique(place, return_index=True)[1]
        rest = np.setdiff1d(np.arange(count), first)
        return order[np.concatenate([first, rest])[:room]]

    def _best_of(self, chosen: Floats, came: Followed) -> Tried:
        """The one with the fewest changes of those that are nearly the best."""
        worth = self._worth(came)
        best = worth.order()[0]
        enough = worth.score[best] + self.ease * abs(worth.paid[best]) + _CLOSE
        broken: Floats = np.round(worth.broken, 3)
        good: Bools = (broken == broken[best]) & (worth.score <= enough)
        row = np.lexsort((worth.score, _changes(chosen), ~good))[0]
        return tried(self.ahead, self.start_c, self.limits, chosen, came, [int(row)])[0]

    def _worth(self, came: Followed) -> Worth:
        return worth_of(self.ahead, self.start_c, self.limits, came)

    def _by_step(self, chosen: Floats) -> Floats:
        settings = np.full((len(chosen), self.steps), OFF)
        for at, stretch in enumerate(self.stretches):
            settings[:, stretch.first : stretch.end] = chosen[:, at : at + 1]
        return settings


def tried(
    ahead: Ahead, start_c: float, limits: Limits, chosen: Floats, came: Followed, rows: Sequence[int]
) -> list[Tried]:
    """Some of the schedules that were followed, as records; `chosen` is their settings by stretch."""
    worth = worth_of(ahead, start_c, limits, came)
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


def _changes(chosen: Floats) -> Rows:
    return np.count_nonzero(chosen[:, 1:] != chosen[:, :-1], axis=1)


def _chosen(came: Followed, rows: Rows) -> Followed:
    return Followed(came.ends_c[rows], came.lows_c[rows], came.highs_c[rows], came.heat_kwh[rows])
