"""What a schedule of heat is worth: what it costs, and how far it leaves what the keeper wants.

Stored heat counts: what the water holds at the end beyond the beginning is credited at the price of the cheap window,
or letting the pond drain would pass for a saving. A schedule that breaks a limit comes after every one that breaks
less, whatever it costs.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct

from evenwater.domain.kit import Heater
from evenwater.domain.units import J_PER_KWH, SECONDS_PER_DAY, SECONDS_PER_HOUR
from evenwater.domain.warmth.heater.heater_ahead import Ahead, Floats
from evenwater.domain.warmth.heater.thermostat import Followed, Many, follow, step_many

FAST_PER_COLD: Final = 4.0
"""Degrees too cold all the time that a degree too fast in a day counts for. Our own rule, between two bounds.

Above 1.5 a pond far below its band is warmed at the limit and no faster: at a rate L from D below, 72 h lack
72 D - 108 L [K h]. Below about 8 a pond whose nights must swing more than the limit is not left cold for it: its swing
shrinks by no more than an eighth of what it is cooled by.
"""
_AS_NOTHING: Final = 1e-6


class Limits(Struct, frozen=True, kw_only=True):
    """What is to be kept: lowest temperature [°C], largest difference within 24 h [K], perhaps the last temperature.

    `highest_setting_c`: nothing is set above it. What the day does by itself is no fault of a setting.
    """

    floor_c: float
    highest_setting_c: float
    swing_k: float
    end_c: float | None = None


class Worth(Struct, frozen=True):
    """Arrays by schedule: money paid, money less what the stored heat is worth, electricity, temperatures, `broken`.

    `broken` [K h] is 0 where every limit is kept. A degree too cold at the end counts as one all the time, a degree too
    fast in a day as `FAST_PER_COLD`.
    """

    paid: Floats
    score: Floats
    kwh: Floats
    lowest_c: Floats
    mean_c: Floats
    end_c: Floats
    swing_k: Floats
    broken: Floats

    def order(self) -> list[int]:
        """From the best: least broken, then cheapest."""
        return np.lexsort((self.score, np.round(self.broken, 3))).tolist()


def stored_price(ahead: Ahead) -> float:
    """What a kWh of heat is worth that is still in the water at the end: the mean of the cheap steps, never below 0."""
    prices = ahead.heat_price
    cheap = np.array(ahead.cheap)
    return max(0.0, float(prices[cheap].mean() if cheap.any() else prices.min()))


def credit_per_k(ahead: Ahead) -> float:
    """What a degree more at the end is worth."""
    return stored_price(ahead) * ahead.capacity_j_per_k / J_PER_KWH


def worth_of(ahead: Ahead, start_c: float, limits: Limits, came: Followed) -> Worth:
    """What schedules are worth, over as many steps as they were followed."""
    steps = came.ends_c.shape[1]
    # Of all that is ahead, also while a schedule is followed in part: else a fast rise early would seem a small matter.
    hours = len(ahead.gain_w) * ahead.step_s / SECONDS_PER_HOUR
    cold_kh = np.maximum(limits.floor_c - came.lows_c, 0.0).sum(axis=1) * (ahead.step_s / SECONDS_PER_HOUR)
    swing = largest_swing(came, round(SECONDS_PER_DAY / ahead.step_s))
    end = came.ends_c[:, -1]
    broken = cold_kh + np.maximum(swing - limits.swing_k, 0.0) * hours * FAST_PER_COLD
    if limits.end_c is not None and steps == len(ahead.gain_w):
        broken = broken + np.maximum(limits.end_c - end, 0.0) * hours
    paid = came.heat_kwh @ ahead.heat_price[:steps]
    return Worth(
        paid=paid,
        score=paid - credit_per_k(ahead) * (end - start_c),
        kwh=came.heat_kwh @ (1.0 / np.array(ahead.cop[:steps])),
        lowest_c=came.lows_c.min(axis=1),
        mean_c=came.ends_c.mean(axis=1),
        end_c=end,
        swing_k=swing,
        broken=np.where(broken < _AS_NOTHING, 0.0, broken),
    )


def largest_swing(came: Followed, day_steps: int) -> Floats:
    """The largest difference within any 24 h [K], by doubling spans: 1, 2, 4 … steps, then two that overlap."""
    low, high, span = came.lows_c, came.highs_c, 1
    day = min(day_steps, low.shape[1])
    while span < day:
        shift = min(span, day - span)
        low = np.minimum(low[:, :-shift], low[:, shift:])
        high = np.maximum(high[:, :-shift], high[:, shift:])
        span += shift
    return (high - low).max(axis=1)


def follow_many(ahead: Ahead, heater: Heater, settings_c: Floats, start_c: float) -> Followed:
    """Many schedules, an array of settings [schedule, step], from one temperature on."""
    count = len(settings_c)
    many = Many(np.full(count, start_c), np.zeros(count, dtype=np.bool_), np.zeros(count))
    steps: list[Followed] = []
    for step in range(settings_c.shape[1]):
        many, came = step_many(ahead, heater, step, many, settings_c[:, step])
        steps.append(came)
    return joined(steps)


def follow_alone(ahead: Ahead, heater: Heater, settings_c: Sequence[float], start_c: float) -> Followed:
    """One schedule, as arrays of [1, step]; quicker than many of one."""
    came = follow(ahead, heater, settings_c, start_c)
    return Followed(came.ends_c[None, :], came.lows_c[None, :], came.highs_c[None, :], came.heat_kwh[None, :])


def joined(steps: Sequence[Followed]) -> Followed:
    """Step after step of many schedules as arrays of [schedule, step]."""
    return Followed(
        np.stack([one.ends_c for one in steps], axis=1),
        np.stack([one.lows_c for one in steps], axis=1),
        np.stack([one.highs_c for one in steps], axis=1),
        np.stack([one.heat_kwh for one in steps], axis=1),
    )
