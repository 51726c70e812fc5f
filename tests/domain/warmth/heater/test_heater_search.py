"""The search finds what trying every setting finds, and keeps to what a keeper can do."""

import itertools
import random

import numpy as np
import pytest
from domain.warmth.ponds_ahead import START, ahead_of, course_of, heater_of

from evenwater.domain.kit import Heater
from evenwater.domain.units import J_PER_KWH
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ahead import Ahead
from evenwater.domain.warmth.heater.heater_search import search
from evenwater.domain.warmth.heater.heater_stretches import Stretch, stretches_of
from evenwater.domain.warmth.heater.heater_worth import Limits, follow_many, worth_of
from evenwater.domain.warmth.heater.thermostat import OFF, follow


def stretches(ahead: Ahead, heater: Heater, zone: str = "UTC") -> tuple[Stretch, ...]:
    return stretches_of(ahead, heater, zone, 22, 7)


def by_trying_all(ahead, heater, start_c, limits, pieces, levels) -> tuple[float, float]:
    """(broken, score) of the best of all schedules, each followed alone and judged by plain sums."""
    return min(
        _judged(ahead, heater, start_c, limits, pieces, settings)
        for settings in itertools.product([*levels, OFF], repeat=len(pieces))
    )


def _judged(ahead, heater, start_c, limits, pieces, settings) -> tuple[float, float]:
    by_step = [OFF] * len(ahead.gain_w)
    for piece, setting in zip(pieces, settings, strict=True):
        by_step[piece.first : piece.end] = [setting] * (piece.end - piece.first)
    came = follow(ahead, heater, by_step, start_c)
    hours = ahead.step_s / 3600
    cold = sum(max(0.0, limits.floor_c - low) * hours for low in came.lows_c)
    day = round(24 / hours)
    spans = range(max(1, len(by_step) - day + 1))
    swing = max(max(came.highs_c[at : at + day]) - min(came.lows_c[at : at + day]) for at in spans)
    broken = cold + max(0.0, swing - limits.swing_k) * len(by_step) * hours * 4
    if limits.end_c is not None:
        broken += max(0.0, limits.end_c - came.ends_c[-1]) * len(by_step) * hours
    prices = [price / cop for price, cop in zip(ahead.price_per_kwh, ahead.cop, strict=True)]
    cheap = [price for price, flag in zip(prices, ahead.cheap, strict=True) if flag]
    paid = sum(price * heat for price, heat in zip(prices, came.heat_kwh, strict=True))
    stored = (came.ends_c[-1] - start_c) * ahead.capacity_j_per_k / J_PER_KWH * sum(cheap) / len(cheap)
    return round(broken, 3), paid - stored


@pytest.mark.parametrize("time_switch", [True, False])
def test_it_finds_what_trying_every_setting_finds(time_switch):
    draw = random.Random(f"all/{time_switch}")
    for _ in range(8):
        heater = heater_of(draw, time_switch=time_switch)
        ahead = ahead_of(course_of(draw, hours=72 if time_switch else 36), heater)
        pieces = stretches(ahead, heater)
        assert len(pieces) in (2, 3, 4)
        start = draw.uniform(17.5, 19.5)
        limits = Limits(floor_c=17.1, highest_setting_c=19.0, swing_k=draw.choice((0.6, 1.0, 2.0)))
        levels = [one for one in np.arange(30, 39) * 0.5 if min(17.1, start) <= one <= 19.0]
        found = search(ahead, heater, start, limits, 18.0, pieces, ease=0.0).best
        broken, score = by_trying_all(ahead, heater, start, limits, pieces, levels)
        assert round(found.broken, 3) == broken
        assert found.score == pytest.approx(score, abs=2e-4 if broken else 1e-9)


def test_where_it_cannot_try_all_it_comes_within_a_percent():
    """Seven stretches of four settings, 16,384 schedules; the search follows 120 at once."""
    draw = random.Random(3)
    for _ in range(2):
        heater = heater_of(draw, time_switch=False, power_w=4000.0, differential_c=0.3)
        ahead = ahead_of(course_of(draw, hours=72, litres=12_000), heater)
        pieces = stretches(ahead, heater)
        limits = Limits(floor_c=18.0, highest_setting_c=19.0, swing_k=1.0)
        found = search(ahead, heater, 18.6, limits, 18.5, pieces, ease=0.0).best
        best = _all_at_once(ahead, heater, 18.6, limits, pieces, [18.0, 18.5, 19.0, OFF])
        assert best <= found.score + 1e-9
        assert found.score <= best + 0.01 * abs(found.paid)


def _all_at_once(ahead, heater, start_c, limits, pieces, levels) -> float:
    chosen = np.array(list(itertools.product(levels, repeat=len(pieces))))
    by_step = np.repeat(chosen, [piece.end - piece.first for piece in pieces], axis=1)
    worth = worth_of(ahead, start_c, limits, follow_many(ahead, heater, by_step, start_c))
    return float(worth.score[worth.broken == 0].min())


def test_no_warmer_habit_is_kept_that_costs_more_than_a_plan_within_the_same_limits():
    """End, floor and swing no worse than the habit's: never dearer, whatever the pond."""
    draw = random.Random(8)
    for _ in range(25):
        heater = heater_of(draw)
        ahead = ahead_of(course_of(draw), heater)
        pieces, start = stretches(ahead, heater), draw.uniform(17, 20)
        wide = Limits(floor_c=-50.0, highest_setting_c=20.0, swing_k=99.0)
        habit = search(ahead, heater, start, wide, 18.5, pieces).habit
        same = Limits(floor_c=habit.lowest_c, highest_setting_c=20.0, swing_k=habit.swing_k, end_c=habit.end_c)
        plan = search(ahead, heater, start, same, 18.5, pieces).best
        assert plan.holds
        assert plan.score <= habit.score + 1e-9
        assert plan.paid <= habit.paid + max(0.0, plan.end_c - habit.end_c) * ahead.capacity_j_per_k / J_PER_KWH


def test_an_easier_schedule_wins_unless_another_is_clearly_cheaper():
    draw = random.Random(11)
    changes = []
    for ease in (0.0, 0.05):
        draw.seed(11)
        count = 0
        for _ in range(12):
            heater = heater_of(draw, time_switch=True, power_w=6000.0)
            ahead = ahead_of(course_of(draw), heater)
            limits = Limits(floor_c=17.1, highest_setting_c=19.0, swing_k=1.5)
            settings = search(ahead, heater, 18.0, limits, 18.0, stretches(ahead, heater), ease).best.settings_c
            count += len(set(settings)) > 1
        changes.append(count)
    assert changes[1] < changes[0]


def test_a_cold_pond_is_warmed_a_degree_a_day_and_not_at_once():
    heater = Heater(power_w=9000.0, time_switch=False, differential_c=0.0)
    course = Course(starts_at=START, capacity_j_per_k=4e7, gain_w=(0.0,) * 72, loss_w_per_k=(30.0,) * 72)
    ahead = ahead_of(course, heater)
    limits = Limits(floor_c=18.1, highest_setting_c=20.0, swing_k=1.0)
    found = search(ahead, heater, 15.0, limits, 19.0, stretches(ahead, heater)).best
    assert found.swing_k <= 1.0 + 1e-9
    assert found.end_c >= 17.9


def test_a_thermostat_of_tenths_is_set_to_a_tenth():
    heater = Heater(power_w=6000.0, step_c=0.1, differential_c=0.1)
    ahead = ahead_of(course_of(random.Random(2), litres=20_000, loss=30), heater)
    limits = Limits(floor_c=17.3, highest_setting_c=20.0, swing_k=1.0)
    fine = search(ahead, heater, 18.2, limits, 19.0, stretches(ahead, heater), ease=0.0).best
    coarse_heater = Heater(power_w=6000.0, step_c=0.5, differential_c=0.1)
    coarse = search(ahead, coarse_heater, 18.2, limits, 19.0, stretches(ahead, heater), ease=0.0).best
    assert fine.holds
    assert fine.score <= coarse.score
    assert all(setting == OFF or round(setting * 10) == pytest.approx(setting * 10) for setting in fine.settings_c)
