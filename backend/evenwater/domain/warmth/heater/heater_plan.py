"""Settings for the heater over the next two or three days: the least cost that keeps the water as its keeper wants it.

A saving is never told without the temperature it costs. Prices of the cheap window do most of the work by themselves;
what a plan can add at the same warmth is little, and what it saves beyond comes from cooler water.
"""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.errors import Contradiction, require_between
from evenwater.domain.kit import Heater
from evenwater.domain.units import SECONDS_PER_DAY, SECONDS_PER_HOUR
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ahead import Ahead, look_ahead
from evenwater.domain.warmth.heater.heater_ideal import Ideal, ideal
from evenwater.domain.warmth.heater.heater_longer import heat_longer
from evenwater.domain.warmth.heater.heater_offer import Habit, HeaterPlan, Saving, Window, Wish
from evenwater.domain.warmth.heater.heater_search import Found, Tried, search, tried
from evenwater.domain.warmth.heater.heater_stretches import Stretch, stretches_of
from evenwater.domain.warmth.heater.heater_words import LEAST_K, Spoken, problems_of, sentences_of, workings_of
from evenwater.domain.warmth.heater.heater_worth import Limits, credit_per_k, follow_alone
from evenwater.domain.warmth.heater.thermostat import OFF, follow

FLOOR_MARGIN_K = 0.12
"""How far above the band's lower end the plan stays, since forecasts err [K]. Our own simulations: 0.1 to 0.15."""
_HOURS, _AIR_C, _WATER_C, _PRICE = (6.0, 168.0), (-60.0, 60.0), (-2.0, 45.0), (-100.0, 1000.0)
_GAIN_W, _LOSS_W_PER_K, _CAPACITY = (-1e7, 1e7), (0.0, 1e6), (1e4, 1e13)
_WORTH_LONGER_KH = 0.5
_CLOSE = 1e-6
_MOST_W, _HALVINGS = 100_000.0, 12


class _Made(Struct, frozen=True):
    """A plan before it is put into words: the steps it was made for, its schedule and what it is held against."""

    ahead: Ahead
    stretches: tuple[Stretch, ...]
    best: Tried
    habit: Tried
    bound: Ideal
    beyond_switch: bool
    gap_fraction: float | None


def plan_heater(
    course: Course,
    heater: Heater | None,
    prices: Sequence[float],
    air_c: Sequence[float],
    cheap: Sequence[bool],
    start_c: float,
    wish: Wish,
    spoken: Spoken,
) -> HeaterPlan | None:
    """The plan from the course's beginning on; None where there is no heater.

    Args:
        course: What the water does without it, by the hour, 6 to 168 hours.
        prices: Price per kWh for each hour, or for each part of an hour.
        air_c: Air temperature for each hour [°C], for the COP of a heat pump.
        cheap: For each price, whether it falls into the cheapest window: all of them at a flat rate.
        start_c: Water temperature at the beginning [°C].

    Raises:
        Contradiction: The lengths do not fit, or the band is upside down.
        OutOfRange: A number is out of range or NaN.

    Source:
        Our own method; it is checked against every setting tried, against linear programming, and against a fine
        integration of the thermostat.
    """
    if heater is None:
        return None
    _check(course, air_c, prices, start_c, wish)
    ahead = look_ahead(course, heater, prices, air_c, cheap)
    limits = Limits(
        floor_c=min(wish.low_c + FLOOR_MARGIN_K, wish.high_c),
        highest_setting_c=wish.high_c,
        swing_k=wish.change_limit_c_per_day,
    )
    stretches = stretches_of(ahead, heater, spoken.zone, wish.evening_hour, wish.morning_hour)
    found = search(ahead, heater, start_c, limits, wish.habit_c, stretches)
    bound = ideal(ahead, heater, start_c, limits)
    made = _make(ahead, heater, start_c, wish, limits, found, bound)
    plan = _plan(made, heater, start_c, wish, limits)
    more_w = None if plan.keeps_band else _more_power_w(made, heater, start_c, wish)
    return replace(
        plan,
        says=sentences_of(plan, spoken),
        problems=problems_of(plan, heater, start_c, wish, more_w, spoken),
        workings=workings_of(plan, heater, start_c, wish, made.ahead, limits.floor_c),
    )


def _check(course: Course, air_c: Sequence[float], prices: Sequence[float], start_c: float, wish: Wish) -> None:
    require_between("hours", len(course.gain_w), *_HOURS, "h")
    require_between("capacity_j_per_k", course.capacity_j_per_k, *_CAPACITY, "J/K")
    require_between("start_c", start_c, *_WATER_C, "°C")
    for name, values, (low, high), unit in (
        ("gain_w", course.gain_w, _GAIN_W, "W"),
        ("loss_w_per_k", course.loss_w_per_k, _LOSS_W_PER_K, "W/K"),
        ("air_c", air_c, _AIR_C, "°C"),
        ("price_per_kwh", prices, _PRICE, ""),
        ("band", (wish.low_c, wish.high_c, wish.habit_c), _WATER_C, "°C"),
    ):
        for value in values:
            require_between(name, value, low, high, unit)
    if wish.low_c > wish.high_c:
        raise Contradiction(
            f"the band begins at {wish.low_c:g} °C and ends at {wish.high_c:g} °C",
            where="band",
            right="a lower end that is not above the upper one",
        )


def _make(
    ahead: Ahead, heater: Heater, start_c: float, wish: Wish, limits: Limits, found: Found, bound: Ideal
) -> _Made:
    """The search's settings, or hours beyond the time switch where those alone, or they better, keep the band."""
    plain = _Made(ahead, found.stretches, found.best, found.habit, bound, False, None)
    if _keeps(found.best, wish) or found.best.broken - bound.broken < _WORTH_LONGER_KH:
        return plain
    longer = heat_longer(ahead, heater, start_c, limits, bound)
    if found.best.broken - longer.best.broken < _WORTH_LONGER_KH:
        return plain
    return _Made(longer.ahead, longer.stretches, longer.best, found.habit, bound, True, longer.gap_fraction)


def _keeps(one: Tried, wish: Wish) -> bool:
    """Whether the water stays in the band and changes slowly enough, but for what nobody would notice."""
    return one.lowest_c >= wish.low_c - LEAST_K and one.swing_k <= wish.change_limit_c_per_day + LEAST_K


def _plan(made: _Made, heater: Heater, start_c: float, wish: Wish, limits: Limits) -> HeaterPlan:
    ahead, best, habit = made.ahead, made.best, made.habit
    steps = len(ahead.gain_w)
    per_hour = round(SECONDS_PER_HOUR / ahead.step_s)
    less = _one_degree_less(made, heater, start_c, limits)
    bounded = made.bound.holds and best.holds
    return HeaterPlan(
        begins_at=ahead.starts_at,
        ends_at=ahead.moment(steps),
        windows=_windows(made),
        keeps_band=_keeps(best, wish),
        beyond_switch=made.beyond_switch,
        kwh=best.kwh,
        cost=best.paid,
        lowest_c=best.lowest_c,
        lowest_at=ahead.moment(best.lowest_step + 1),
        mean_c=best.mean_c,
        end_c=best.end_c,
        swing_k=best.swing_k,
        water_c=best.ends_c[per_hour - 1 :: per_hour],
        habit=Habit(wish.habit_c, habit.kwh, habit.paid, habit.lowest_c, habit.mean_c, habit.end_c),
        against_habit=_saving(ahead, best, habit),
        one_degree_less=_saving(ahead, less, best),
        ideal_cost=made.bound.score + credit_per_k(ahead) * (best.end_c - start_c) if bounded else None,
        gap_fraction=made.gap_fraction,
        says=(),
        problems=(),
        workings=None,
    )


def _windows(made: _Made) -> tuple[Window, ...]:
    """The stretches as windows; neighbours with the same setting are one."""
    ahead, best = made.ahead, made.best
    kwh = np.array(best.heat_kwh) / np.array(ahead.cop)
    cost = kwh * np.array(ahead.price_per_kwh)
    merged: list[tuple[int, int, float]] = []
    for stretch, setting in zip(made.stretches, best.settings_c, strict=True):
        if merged and merged[-1][1] == stretch.first and merged[-1][2] == setting:
            merged[-1] = (merged[-1][0], stretch.end, setting)
        else:
            merged.append((stretch.first, stretch.end, setting))
    return tuple(
        Window(
            begins_at=ahead.moment(first),
            ends_at=ahead.moment(end),
            setting_c=None if setting == OFF else setting,
            kwh=float(kwh[first:end].sum()),
            cost=float(cost[first:end].sum()),
        )
        for first, end, setting in merged
    )


def _by_step(made: _Made, lower_k: float = 0.0) -> list[float]:
    """The plan's setting in each step [°C], perhaps lowered."""
    settings = [OFF] * len(made.ahead.gain_w)
    for stretch, setting in zip(made.stretches, made.best.settings_c, strict=True):
        settings[stretch.first : stretch.end] = [setting if setting == OFF else setting - lower_k] * (
            stretch.end - stretch.first
        )
    return settings


def _one_degree_less(made: _Made, heater: Heater, start_c: float, limits: Limits) -> Tried:
    """What would come of every setting a degree lower."""
    settings = _by_step(made, 1.0)
    came = follow_alone(made.ahead, heater, settings, start_c)
    return tried(made.ahead, start_c, limits, np.array([settings]), came, [0])[0]


def _saving(ahead: Ahead, cooler: Tried, warmer: Tried) -> Saving:
    nights = len(ahead.gain_w) * ahead.step_s / SECONDS_PER_DAY
    return Saving(
        money_per_night=(warmer.score - cooler.score) / nights,
        cooler_mean_c=warmer.mean_c - cooler.mean_c,
        cooler_end_c=warmer.end_c - cooler.end_c,
    )


def _more_power_w(made: _Made, heater: Heater, start_c: float, wish: Wish) -> float | None:
    """How much more heat would have held the band in the same hours [W]; None where no power would.

    The heater is set to the band's upper end at all times it may heat; water already below the band is left out of it.
    """
    hottest = [wish.high_c] * len(made.ahead.gain_w)

    def holds(power_w: float) -> bool:
        came = follow(made.ahead, replace(heater, power_w=power_w), hottest, max(start_c, wish.low_c))
        return bool(came.lows_c.min() >= wish.low_c - _CLOSE)

    if holds(heater.power_w) or not holds(_MOST_W):
        return None
    enough, short = _MOST_W, heater.power_w
    for _ in range(_HALVINGS):
        middle = (enough + short) / 2
        enough, short = (middle, short) if holds(middle) else (enough, middle)
    return enough - heater.power_w
