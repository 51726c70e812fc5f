"""The ideal heating is a true bound, and its hours can be switched by hand."""

import random

import numpy as np
import pytest
from domain.warmth.ponds_ahead import START, ahead_of, cheap_by_night, course_of, heater_of

from evenwater.domain.kit import Heater
from evenwater.domain.units import J_PER_KWH
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ahead import Ahead, look_ahead
from evenwater.domain.warmth.heater.heater_ideal import hours_to_heat, ideal
from evenwater.domain.warmth.heater.heater_search import search
from evenwater.domain.warmth.heater.heater_stretches import stretches_of
from evenwater.domain.warmth.heater.heater_worth import Limits, follow_many, worth_of
from evenwater.domain.warmth.heater.thermostat import OFF

LIMITS = Limits(floor_c=18.1, highest_setting_c=20.0, swing_k=1.0)


def price_by_chance(draw: random.Random, course: Course, heater: Heater, low: float) -> Ahead:
    """A price of its own in every hour, the cheapest third of them cheap."""
    prices = [draw.uniform(low, 0.5) for _ in course.gain_w]
    mark = sorted(prices)[len(prices) // 3]
    return look_ahead(course, heater, prices, [5.0] * len(prices), [price <= mark for price in prices])


@pytest.mark.parametrize("lowest_price", [0.05, -0.2])
def test_no_schedule_that_keeps_the_limits_costs_less(lowest_price):
    """Hundreds of random schedules for each pond: settings, hours and prices by chance, negative prices too."""
    draw, seen = random.Random(f"bound/{lowest_price}"), 0
    for _ in range(25):
        heater = heater_of(draw, time_switch=False, min_run_min=draw.choice((0.0, 45.0)))
        ahead = price_by_chance(draw, course_of(draw), heater, lowest_price)
        start = draw.uniform(18.0, 19.5)
        limits = Limits(floor_c=17.0, highest_setting_c=20.0, swing_k=draw.choice((1.0, 2.5)))
        levels = [OFF, 17.0, 17.5, 18.0, 18.5, 19.0, 19.5, 20.0]
        schedules = np.array([[draw.choice(levels) for _ in range(24)] for _ in range(100)]).repeat(3, axis=1)
        flat = np.array([[level] * 72 for level in levels])
        worth = worth_of(ahead, start, limits, follow_many(ahead, heater, np.vstack([schedules, flat]), start))
        bound = ideal(ahead, heater, start, limits)
        kept = worth.score[worth.broken == 0]
        seen += len(kept)
        if len(kept):
            assert bound.holds
            assert bound.score <= kept.min() + 1e-6
    assert seen > 100


def test_the_plan_found_by_search_is_no_cheaper_than_the_bound():
    draw, gaps = random.Random(2), []
    for _ in range(20):
        heater = heater_of(draw, power_w=6000.0)
        ahead = ahead_of(course_of(draw), heater)
        best = search(ahead, heater, 18.8, LIMITS, 19.0, stretches_of(ahead, heater, "UTC", 22, 7)).best
        bound = ideal(ahead, heater, 18.8, LIMITS)
        if best.holds:
            assert bound.score <= best.score + 1e-6
            gaps.append((best.score - bound.score) / best.score)
    assert len(gaps) >= 10


def test_a_case_that_can_be_reckoned_by_hand():
    """Nothing lost, two kilowatt hours needed, one cheap hour of 1.5 kW: the rest in the next cheapest."""
    course = Course(starts_at=START, capacity_j_per_k=J_PER_KWH, gain_w=(-500.0,) * 4, loss_w_per_k=(0.0,) * 4)
    heater = Heater(power_w=1500.0, time_switch=False)
    ahead = look_ahead(course, heater, [0.4, 0.1, 0.2, 0.3], [5.0] * 4, [False, True, False, False])
    limits = Limits(floor_c=17.0, highest_setting_c=25.0, swing_k=9.0, end_c=18.0)
    found = ideal(ahead, heater, 18.0, limits)
    assert found.heat_kwh == pytest.approx([0.0, 1.5, 0.5, 0.0], abs=1e-6)
    assert found.paid == pytest.approx(0.1 * 1.5 + 0.2 * 0.5)
    assert found.score == pytest.approx(found.paid)


def test_a_weak_heater_is_told_how_far_it_gets_and_never_that_there_is_no_answer():
    draw = random.Random(4)
    for _ in range(10):
        heater = heater_of(draw, power_w=50.0)
        ahead = ahead_of(course_of(draw, loss=60.0), heater)
        found = ideal(ahead, heater, 17.0, LIMITS)
        assert not found.holds
        assert len(found.ends_c) == 72


def test_the_hours_are_switched_twice_a_day_at_most_and_keep_the_minimum_run():
    draw, seen = random.Random(7), 0
    for number in range(6):
        heater = heater_of(draw, kind="heat_pump", power_w=draw.uniform(1500, 4000), min_run_min=120.0)
        ahead = ahead_of(course_of(draw, litres=15_000, loss=50), heater)
        found = hours_to_heat(ahead, heater, 19.0, LIMITS, 5.0)
        assert found is not None
        assert found.gap_fraction <= 0.01
        on = np.array(found.heat_kwh) > 1e-6
        starts = np.flatnonzero(np.diff(np.concatenate([[0], on])) == 1)
        assert all(sum(at <= start < at + 24 for start in starts) <= 1 for at in range(49))
        assert ideal(ahead, heater, 19.0, LIMITS).score <= found.score + 1e-6, number
        seen += len(starts)
    assert seen > 0


def test_the_hours_are_the_best_of_all_where_all_can_be_tried():
    """Six hours, on from an even one for as long as is needed; an end that asks for four kilowatt hours."""
    course = Course(starts_at=START, capacity_j_per_k=J_PER_KWH, gain_w=(-400.0,) * 6, loss_w_per_k=(0.0,) * 6)
    heater = Heater(power_w=1000.0, time_switch=False)
    prices = [0.3, 0.1, 0.25, 0.12, 0.4, 0.05]
    ahead = look_ahead(course, heater, prices, [5.0] * 6, [price < 0.2 for price in prices])
    limits = Limits(floor_c=17.0, highest_setting_c=30.0, swing_k=9.0, end_c=19.6)
    found = hours_to_heat(ahead, heater, 18.0, limits, 5.0)
    assert found is not None

    needed = [[begins <= hour < begins + 4 for hour in range(6)] for begins in (0, 2)]
    cheapest = min(sum(price * hour for price, hour in zip(prices, on, strict=True)) for on in needed)
    assert found.paid == pytest.approx(cheapest)


def test_a_cold_spell_is_met_ahead_of_it():
    """A heater that cannot hold the floor through the cold day alone heats before, dear hours too, and holds it."""
    air = [5.0] * 30 + [-25.0] * 30 + [5.0] * 12
    course = Course(
        starts_at=START,
        capacity_j_per_k=4e7,
        gain_w=tuple(40.0 * degrees for degrees in air),
        loss_w_per_k=(40.0,) * 72,
    )
    heater = Heater(power_w=1500.0, time_switch=False)
    ahead = ahead_of(course, heater, cheap_by_night())
    limits = Limits(floor_c=18.0, highest_setting_c=20.0, swing_k=2.0)
    assert max(40.0 * (18.0 - degrees) for degrees in air) > heater.power_w
    found = ideal(ahead, heater, 18.4, limits)
    assert found.holds
    # 30 h lack 1.72 - 1.5 kW, which is 0.594 K of 4e7 J/K; heat that is stored early loses a little on the way.
    assert 18.59 < found.ends_c[29] < 18.7
