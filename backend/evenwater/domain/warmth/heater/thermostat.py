"""A heater under its thermostat: what the water does, and what it draws, for one schedule of settings or for many.

It turns on when the water is `differential_c` below its setting and off at the setting; a heat pump stays on for its
minimum run. A time switch lets it heat in some steps alone, and the thermostat remembers over the closed ones whether
it was calling for heat. Between two switchings the water follows `Course` exactly, so the times of switching are exact
too. Where it would switch more than `_MOST_TURNS` times within a step (a differential of nothing, a strong heater in a
bowl), the rest of the step is held at the temperature reached, with the mean heat that takes.

`follow` is for one schedule and reads best; `step_many` is the same in numpy, for hundreds at once.
"""

from collections.abc import Sequence
from math import expm1, inf, log1p
from typing import Final

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from evenwater.domain.kit import Heater
from evenwater.domain.units import J_PER_KWH
from evenwater.domain.warmth.heater.heater_ahead import Ahead, Bools, Floats

OFF: Final = -1e6
"""A setting [°C] at which nothing ever heats; finite, so that arrays hold no infinity."""
_MOST_TURNS: Final = 8
_NEVER: Final = 1.0 - 1e-15
_LEAST_W: Final = 1e-9


class Followed(Struct, frozen=True):
    """What came of schedules, an array of [schedule, step] or of [step] each.

    `ends_c` at the end of a step, `lows_c` and `highs_c` within it [°C], `heat_kwh` into the water in it.
    """

    ends_c: Floats
    lows_c: Floats
    highs_c: Floats
    heat_kwh: Floats


class Many(Struct):
    """Where each of many schedules stands: temperature [°C], whether its thermostat calls, how long it has run [s]."""

    temperature_c: Floats
    calls: Bools
    run_s: Floats

    def chosen(self, rows: npt.NDArray[np.intp]) -> "Many":
        """Some of them, or some of them many times over."""
        return Many(self.temperature_c[rows], self.calls[rows], self.run_s[rows])


def follow(
    ahead: Ahead, heater: Heater, settings_c: Sequence[float], start_c: float, calls: bool = False, run_s: float = 0.0
) -> Followed:
    """One schedule, a setting [°C] for each step, from a temperature on."""
    water, rows = start_c, list[tuple[float, float, float, float]]()
    for step, setting in enumerate(settings_c):
        if ahead.lets_heat[step]:
            water, calls, run_s, row = _heated_step(ahead, heater, step, setting, water, calls, run_s)
        else:
            ended = _after(ahead, step, water, 0.0, ahead.step_s)
            water, run_s, row = ended, 0.0, (ended, min(water, ended), max(water, ended), 0.0)
        rows.append(row)
    table = np.array(rows, dtype=np.float64).reshape(-1, 4)
    return Followed(table[:, 0], table[:, 1], table[:, 2], table[:, 3] * (heater.power_w / J_PER_KWH))


def _heated_step(
    ahead: Ahead, heater: Heater, step: int, setting_c: float, water: float, calls: bool, run_s: float
) -> tuple[float, bool, float, tuple[float, float, float, float]]:
    """A step in which it may heat: (temperature, calling, running for, (end, low, high, heated for))."""
    least_s, on_at = heater.min_run_min * 60.0, setting_c - heater.differential_c
    on = water <= on_at or (calls and setting_c > OFF and (water < setting_c or 0 < run_s < least_s))
    run_s = run_s if on else 0.0
    left, heated, low, high = ahead.step_s, 0.0, water, water
    for _ in range(_MOST_TURNS):
        heat_w = heater.power_w if on else 0.0
        turn = _turn_s(ahead, step, water, heat_w, setting_c if on else on_at, on)
        if on:
            turn = max(turn, least_s - run_s)
        spent = min(turn, left)
        water = _after(ahead, step, water, heat_w, spent)
        low, high, left = min(low, water), max(high, water), left - spent
        heated, run_s = (heated + spent, run_s + spent) if on else (heated, 0.0)
        if left <= 0.0:
            break
        on, run_s = not on, 0.0
    if left > 0.0:
        held_w = min(max(ahead.loss_w_per_k[step] * water - ahead.gain_w[step], 0.0), heater.power_w)
        water = _after(ahead, step, water, held_w, left)
        heated += left * held_w / heater.power_w
    return water, on, run_s, (water, min(low, water), max(high, water), heated)


def _turn_s(ahead: Ahead, step: int, water: float, heat_w: float, goal_c: float, on: bool) -> float:
    """Until the thermostat turns [s]; infinite where it never would."""
    gap = goal_c - water
    if (gap <= 0) == on or gap == 0:
        return 0.0
    loss = ahead.loss_w_per_k[step]
    net_w = ahead.gain_w[step] + heat_w - loss * water
    if abs(net_w) < _LEAST_W or (net_w > 0) != on:
        return inf
    if loss <= 0:
        return gap * ahead.capacity_j_per_k / net_w
    return -log1p(-min(gap * loss / net_w, _NEVER)) * ahead.capacity_j_per_k / loss


def _after(ahead: Ahead, step: int, water: float, heat_w: float, step_s: float) -> float:
    loss = ahead.loss_w_per_k[step]
    rate = loss / ahead.capacity_j_per_k
    held_s = -expm1(-rate * step_s) / rate if rate > 0 else step_s
    return water + (ahead.gain_w[step] + heat_w - loss * water) * held_s / ahead.capacity_j_per_k


def step_many(ahead: Ahead, heater: Heater, step: int, many: Many, settings_c: Floats) -> tuple[Many, Followed]:
    """One step of many schedules, each at its own setting [°C]: where they stand after it, and what came of it."""
    before = many.temperature_c
    if not ahead.lets_heat[step]:
        ended = _whole_step(ahead, step, before, 0.0)
        none = np.zeros_like(before)
        return Many(ended, many.calls, none), Followed(
            ended, np.minimum(before, ended), np.maximum(before, ended), none
        )
    least_s, on_at = heater.min_run_min * 60.0, settings_c - heater.differential_c
    staying = before < settings_c
    if least_s > 0:
        staying |= (many.run_s > 0) & (many.run_s < least_s)
    on = (many.calls & staying & (settings_c > OFF)) | (before <= on_at)
    run_s = np.where(on, many.run_s, 0.0)
    heated_s = np.where(on, ahead.step_s, 0.0)
    ended = _whole_step(ahead, step, before, heated_s * (heater.power_w / ahead.step_s))
    low, high = np.minimum(before, ended), np.maximum(before, ended)
    # Between switchings the water goes one way: it passed the point where it turns if it ends beyond.
    turns = np.where(on, (high >= settings_c) & (run_s + ahead.step_s > least_s), low <= on_at)
    ran_s = np.where(on, run_s + ahead.step_s, 0.0)
    if turns.any():
        rows = np.flatnonzero(turns)
        now = _Turning(before[rows], on[rows], run_s[rows], ahead.step_s)
        now.finish(ahead, heater, step, settings_c[rows], on_at[rows])
        ended[rows], low[rows], high[rows], heated_s[rows] = now.water, now.low, now.high, now.heated_s
        on[rows], ran_s[rows] = now.on, now.run_s
    return Many(ended, on, ran_s), Followed(ended, low, high, heated_s * (heater.power_w / J_PER_KWH))


class _Turning:
    """Many schedules within one step, each run to its own next switching."""

    def __init__(self, water: Floats, on: Bools, run_s: Floats, step_s: float) -> None:
        self.water: Floats = water
        self.low: Floats = water
        self.high: Floats = water
        self.on: Bools = on
        self.run_s: Floats = run_s
        self.left_s: Floats = np.full_like(water, step_s)
        self.heated_s: Floats = np.zeros_like(water)

    def finish(self, ahead: Ahead, heater: Heater, step: int, setting_c: Floats, on_at: Floats) -> None:
        """To the end of the step."""
        for _ in range(_MOST_TURNS):
            self._run_until_turned(ahead, heater, step, setting_c, on_at)
            turned = self.left_s > 0
            if not turned.any():
                return
            self.on = self.on ^ turned
            self.run_s = np.where(turned, 0.0, self.run_s)
        self._hold(ahead, heater, step)

    def _run_until_turned(self, ahead: Ahead, heater: Heater, step: int, setting_c: Floats, on_at: Floats) -> None:
        heat_w = np.where(self.on, heater.power_w, 0.0)
        turn = _turn_many(ahead, step, self.water, heat_w, np.where(self.on, setting_c, on_at), self.on)
        if heater.min_run_min > 0:
            turn = np.where(self.on, np.maximum(turn, heater.min_run_min * 60.0 - self.run_s), turn)
        spent = np.minimum(turn, self.left_s)
        self.water = _after_many(ahead, step, self.water, heat_w, spent)
        self.low, self.high = np.minimum(self.low, self.water), np.maximum(self.high, self.water)
        running = np.where(self.on, spent, 0.0)
        self.left_s, self.heated_s = self.left_s - spent, self.heated_s + running
        self.run_s = self.run_s + running

    def _hold(self, ahead: Ahead, heater: Heater, step: int) -> None:
        """The rest of the step at the temperature reached."""
        held_w = np.clip(ahead.loss_w_per_k[step] * self.water - ahead.gain_w[step], 0.0, heater.power_w)
        self.water = _after_many(ahead, step, self.water, held_w, self.left_s)
        self.low, self.high = np.minimum(self.low, self.water), np.maximum(self.high, self.water)
        self.heated_s = self.heated_s + self.left_s * held_w / heater.power_w


def _turn_many(ahead: Ahead, step: int, water: Floats, heat_w: Floats, goal_c: Floats, on: Bools) -> Floats:
    gap, loss = goal_c - water, ahead.loss_w_per_k[step]
    net_w = ahead.gain_w[step] + heat_w - loss * water
    net_w[np.abs(net_w) < _LEAST_W] = _LEAST_W
    turn = gap / net_w
    if loss > 0:
        turn = np.log1p(-np.minimum(turn * loss, _NEVER)) / -loss
    # Where the water runs away from the goal the time is below nothing: that is never, unless it is there already.
    turn[turn < 0] = inf
    turn[np.where(on, gap <= 0, gap >= 0)] = 0.0
    return turn * ahead.capacity_j_per_k


def _after_many(ahead: Ahead, step: int, water: Floats, heat_w: Floats | float, step_s: Floats) -> Floats:
    loss = ahead.loss_w_per_k[step]
    rate = loss / ahead.capacity_j_per_k
    held_s = np.expm1(step_s * -rate) / -rate if rate > 0 else step_s
    return water + (ahead.gain_w[step] + heat_w - loss * water) * held_s / ahead.capacity_j_per_k


def _whole_step(ahead: Ahead, step: int, water: Floats, heat_w: Floats | float) -> Floats:
    """The same for all of a step, which takes one exponential for all."""
    loss = ahead.loss_w_per_k[step]
    rate = loss / ahead.capacity_j_per_k
    per_w = (-expm1(-rate * ahead.step_s) / rate if rate > 0 else ahead.step_s) / ahead.capacity_j_per_k
    return water * (1.0 - loss * per_w) + (heat_w + ahead.gain_w[step]) * per_w
