"""The least that any heating could cost, by linear programme, and hours to heat in by a mixed-integer one.

The bound heats by any amount in any step, time switch or not, from the same start, to the same worth of stored heat,
within the same limits. It is a true bound: heat counts as if it came at the moment of its step that suits best, limits
are kept at the ends of steps alone, and the swing is looked at between some pairs of hours alone. The hours come from
the same programme with heating on or off: at most one start in a day, so two changes, and no shorter than the minimum
run; for cold spells, and heaters too small for the window.
"""

from typing import Any, Final

import numpy as np
from msgspec import Struct

from evenwater.domain.kit import Heater
from evenwater.domain.units import J_PER_KWH, SECONDS_PER_DAY, SECONDS_PER_HOUR
from evenwater.domain.warmth.heater.heater_ahead import Ahead, Floats
from evenwater.domain.warmth.heater.heater_worth import FAST_PER_COLD, Limits, credit_per_k

_GOOD_GAP: Final = 0.01
_BLOCK_HOURS: Final = 2
_KEPT_KH: Final = 1e-3
_LEAST_MONEY: Final = 1e-6
_HARD: Final = 30.0
"""A degree hour that breaks a limit, in the most that it could cost to make good: enough to come before all money."""


class Ideal(Struct, frozen=True):
    """The ideal heating: `score` as of a schedule's worth, [K h] by which it breaks the limits, heat in each step.

    `gap_fraction`: how far what was found may be from the best there is; 0 of the linear programme.
    """

    score: float
    paid: float
    broken: float
    heat_kwh: tuple[float, ...]
    ends_c: tuple[float, ...]
    gap_fraction: float = 0.0

    @property
    def holds(self) -> bool:
        """Whether every limit is kept."""
        return self.broken <= _KEPT_KH


def ideal(ahead: Ahead, heater: Heater, start_c: float, limits: Limits) -> Ideal:
    """The bound: no schedule that keeps these limits has a lower score, where this one keeps them."""
    from scipy.optimize import linprog  # pyright: ignore[reportMissingTypeStubs, reportUnknownVariableType] # scipy has no types

    asked = _Programme(ahead, heater, start_c, limits, pair_hours=3)
    found: Any = linprog(
        asked.cost,
        A_ub=asked.below.matrix(asked.size),
        b_ub=asked.below.right,
        A_eq=asked.equal.matrix(asked.size),
        b_eq=asked.equal.right,
        bounds=np.column_stack([asked.low, asked.high]),
        method="highs",
    )
    return asked.told(found.x)


def hours_to_heat(ahead: Ahead, heater: Heater, start_c: float, limits: Limits, within_s: float) -> Ideal | None:
    """Heat in stretches that can be switched by hand; None where none was found within a time [s]."""
    from scipy.optimize import LinearConstraint, milp  # pyright: ignore[reportMissingTypeStubs, reportUnknownVariableType] # as above

    asked = _Programme(ahead, heater, start_c, limits, pair_hours=6)
    whole = asked.add_switching()
    found: Any = milp(
        asked.cost,
        integrality=whole,
        bounds=(asked.low, asked.high),  # pyright: ignore[reportArgumentType] # scipy takes a pair of arrays too
        constraints=[
            LinearConstraint(asked.below.matrix(asked.size), -np.inf, asked.below.right),
            LinearConstraint(asked.equal.matrix(asked.size), asked.equal.right, asked.equal.right),
        ],
        options={"time_limit": within_s, "mip_rel_gap": _GOOD_GAP},
    )
    if found.x is None:
        return None
    unsure = abs(float(found.fun) - float(found.mip_dual_bound))
    return asked.told(found.x, unsure / max(abs(float(found.fun)), _LEAST_MONEY))


class _Rows:
    """Rows of a sparse matrix, and what stands to their right."""

    def __init__(self) -> None:
        self.rows: list[int] = []
        self.columns: list[int] = []
        self.values: list[float] = []
        self.sides: list[float] = []

    def add(self, parts: dict[int, float], right: float) -> None:
        for column, value in parts.items():
            self.rows.append(len(self.sides))
            self.columns.append(column)
            self.values.append(value)
        self.sides.append(right)

    def matrix(self, columns: int) -> Any:
        from scipy.sparse import csr_array  # pyright: ignore[reportMissingTypeStubs, reportUnknownVariableType] # as above

        return csr_array((self.values, (self.rows, self.columns)), shape=(len(self.sides), columns))

    @property
    def right(self) -> Any:
        return np.array(self.sides)


class _Programme:
    """Variables: each step's heat [kWh], water [°C], what it lacks [K]; swing too many [K], end too cold [K]; a 1."""

    def __init__(self, ahead: Ahead, heater: Heater, start_c: float, limits: Limits, pair_hours: int) -> None:
        self.ahead, self.heater, self.start_c, self.limits = ahead, heater, start_c, limits
        self.steps = steps = len(ahead.gain_w)
        self.swing, self.lack, self.size = 3 * steps, 3 * steps + 1, 3 * steps + 3
        self.step_h = ahead.step_s / SECONDS_PER_HOUR
        self.below, self.equal = _Rows(), _Rows()
        losses = np.array(ahead.loss_w_per_k)
        rates = losses / ahead.capacity_j_per_k
        self.keeps: Floats = np.exp(-rates * ahead.step_s)
        self.held_s: Floats = np.where(
            rates > 0, -np.expm1(-rates * ahead.step_s) / np.maximum(rates, 1e-30), ahead.step_s
        )
        # Where heat costs, it counts as if given at the end of its step; where it is paid for, at the beginning.
        arrives = np.where(ahead.heat_price >= 0, 1.0, self.keeps)
        self.most_kwh: Floats = heater.power_w * ahead.step_s / J_PER_KWH / arrives
        self._bound()
        self._balance(arrives)
        self._keep_swing(pair_hours)

    def _bound(self) -> None:
        steps, limits = self.steps, self.limits
        prices, capacity = self.ahead.heat_price, self.ahead.capacity_j_per_k / J_PER_KWH
        dear = max(float(np.abs(prices).max()), 1e-6) * (capacity + max(self.ahead.loss_w_per_k) * steps / 1000.0)
        hard, hours = _HARD * dear, self.step_h * steps
        credit = credit_per_k(self.ahead)
        # The last stands for the start's own heat, so that the solver's idea of a small gap is one of the score.
        last = [hard * hours * FAST_PER_COLD, hard * hours, credit * self.start_c]
        self.cost: Floats = np.concatenate([prices, np.zeros(steps), np.full(steps, hard * self.step_h), last])
        self.cost[2 * steps - 1] = -credit
        self.low: Floats = np.concatenate([np.zeros(steps), np.full(steps, -np.inf), np.zeros(steps + 2), [1.0]])
        self.high: Floats = np.concatenate([self.most_kwh, self._warmest(), np.full(steps + 2, np.inf), [1.0]])
        for step in range(steps):
            self.below.add({steps + step: -1.0, 2 * steps + step: -1.0}, -limits.floor_c)
        if limits.end_c is not None:
            self.below.add({2 * steps - 1: -1.0, self.lack: -1.0}, -limits.end_c)

    def _warmest(self) -> Floats:
        """What no heating passes: the highest setting, or what the day makes of water that warm."""
        past_it = self.heater.min_run_min * 60.0 * self.heater.power_w / self.ahead.capacity_j_per_k
        least = self.limits.highest_setting_c + past_it
        water, found = max(least, self.start_c), np.empty(self.steps)
        for step in range(self.steps):
            water = max(least, self.keeps[step] * water + self._drift(step))
            found[step] = water
        return found

    def _drift(self, step: int) -> float:
        return self.held_s[step] * self.ahead.gain_w[step] / self.ahead.capacity_j_per_k

    def _balance(self, arrives: Floats) -> None:
        per_kwh = J_PER_KWH / self.ahead.capacity_j_per_k
        for step in range(self.steps):
            parts = {self.steps + step: 1.0, step: -per_kwh * float(arrives[step])}
            right = self._drift(step)
            if step:
                parts[self.steps + step - 1] = -float(self.keeps[step])
            else:
                right += float(self.keeps[0]) * self.start_c
            self.equal.add(parts, right)

    def _keep_swing(self, pair_hours: int) -> None:
        """Between pairs of moments up to a day apart, every few hours; 0 is the start."""
        stride, day = (max(1, round(hours / self.step_h)) for hours in (pair_hours, SECONDS_PER_DAY / SECONDS_PER_HOUR))
        for late in range(stride, self.steps + 1, stride):
            for early in range(max(0, late - day), late, stride):
                for sign in (1.0, -1.0):
                    parts, right = {self.steps + late - 1: sign, self.swing: -1.0}, self.limits.swing_k
                    if early:
                        parts[self.steps + early - 1] = -sign
                    else:
                        right += sign * self.start_c
                    self.below.add(parts, right)

    def add_switching(self) -> Floats:
        """On or off in each block of steps, and a start where it turns on; returns which variables are whole numbers.

        Starts are then whole by themselves. A heater that is on gives all it has, but in the last block before it is
        off: there it may stop early.
        """
        block = max(1, round(_BLOCK_HOURS / self.step_h))
        blocks = -(-self.steps // block)
        on, starts = self.size, self.size + blocks
        day, least = max(1, round(24 / _BLOCK_HOURS)), int(np.ceil(self.heater.min_run_min / 60.0 / _BLOCK_HOURS))
        for step in range(self.steps):
            at, most = step // block, float(self.most_kwh[step])
            self.below.add({step: 1.0, on + at: -most}, 0.0)
            if (step + 1) // block == at and step + 1 < self.steps:
                self.below.add({step + 1: 1.0 / float(self.most_kwh[step + 1]), step: -1.0 / most}, 0.0)
            if at + 1 < blocks:
                self.below.add({on + at: most, on + at + 1: most, step: -1.0}, most)
        for at in range(blocks):
            self.below.add({on + at: 1.0, starts + at: -1.0} | ({on + at - 1: -1.0} if at else {}), 0.0)
            for later in range(at + 1, min(at + least, blocks)):
                self.below.add({starts + at: 1.0, on + later: -1.0}, 0.0)
            if at == 0 or at + day <= blocks:
                self.below.add({starts + one: 1.0 for one in range(at, min(at + day, blocks))}, 1.0)
        self.size += 2 * blocks
        self.cost = np.concatenate([self.cost, np.zeros(2 * blocks)])
        self.low = np.concatenate([self.low, np.zeros(2 * blocks)])
        self.high = np.concatenate([self.high, np.ones(2 * blocks)])
        return np.concatenate([np.zeros(self.size - 2 * blocks), np.ones(blocks), np.zeros(blocks)])

    def told(self, found: Floats, gap_fraction: float = 0.0) -> Ideal:
        """What the solver's numbers mean."""
        steps, hours = self.steps, self.step_h * self.steps
        heat, water, cold = (found[at * steps : (at + 1) * steps] for at in range(3))
        paid = float(heat @ self.ahead.heat_price)
        fast, lack = max(0.0, float(found[self.swing])), max(0.0, float(found[self.lack]))
        return Ideal(
            score=paid - credit_per_k(self.ahead) * float(water[-1] - self.start_c),
            paid=paid,
            broken=float(np.maximum(cold, 0.0).sum()) * self.step_h + (fast * FAST_PER_COLD + lack) * hours,
            heat_kwh=tuple(np.maximum(heat, 0.0).tolist()),
            ends_c=tuple(water.tolist()),
            gap_fraction=gap_fraction,
        )
