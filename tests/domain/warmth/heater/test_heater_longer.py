"""Hours beyond the cheap window: switched twice a day at most, and followed under the thermostat before offered."""

import random

import numpy as np
import pytest
from domain.warmth.ponds_ahead import J_PER_K_PER_L, START, ahead_of

from evenwater.domain.kit import Heater
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ideal import ideal
from evenwater.domain.warmth.heater.heater_longer import heat_longer
from evenwater.domain.warmth.heater.heater_search import search
from evenwater.domain.warmth.heater.heater_stretches import stretches_of
from evenwater.domain.warmth.heater.heater_worth import Limits
from evenwater.domain.warmth.heater.thermostat import OFF, follow

LIMITS = Limits(floor_c=18.1, highest_setting_c=20.0, swing_k=1.0)


def _steady(litres: float, loss: float, air_c: float) -> Course:
    return Course(
        starts_at=START,
        capacity_j_per_k=litres * J_PER_K_PER_L,
        gain_w=(loss * air_c,) * 72,
        loss_w_per_k=(loss,) * 72,
    )


def test_where_the_window_is_too_short_longer_hours_hold_the_floor_that_the_ideal_holds():
    draw, held = random.Random(3), []
    for _ in range(8):
        heater = Heater(power_w=draw.uniform(1200, 2000), differential_c=0.2)
        ahead = ahead_of(_steady(draw.uniform(12_000, 25_000), 40.0, draw.uniform(-5.0, 3.0)), heater)
        bound = ideal(ahead, heater, 18.8, LIMITS)
        window = search(ahead, heater, 18.8, LIMITS, 19.0, stretches_of(ahead, heater, "UTC", 22, 7)).best
        if window.holds or not bound.holds:
            continue
        longer = heat_longer(ahead, heater, 18.8, LIMITS, bound)
        assert longer.best.broken < window.broken
        assert bound.score <= longer.best.score + 1e-6
        held.append(longer.best.holds)
    assert len(held) >= 3
    assert sum(held) >= len(held) - 1


def test_what_is_offered_is_what_the_thermostat_does():
    heater = Heater(power_w=1200.0)
    ahead = ahead_of(_steady(15_000, 30.0, 0.0), heater)
    longer = heat_longer(ahead, heater, 18.4, LIMITS, ideal(ahead, heater, 18.4, LIMITS))
    settings = [OFF] * 72
    for stretch, setting in zip(longer.stretches, longer.best.settings_c, strict=True):
        settings[stretch.first : stretch.end] = [setting] * (stretch.end - stretch.first)
    came = follow(longer.ahead, heater, settings, 18.4)
    assert longer.best.ends_c == pytest.approx(came.ends_c, abs=1e-9)
    starts = np.array([stretch.first for stretch in longer.stretches])
    assert (np.diff(starts) >= 22).all()


def test_a_heater_too_weak_for_all_hours_is_let_heat_in_all():
    heater = Heater(power_w=200.0)
    ahead = ahead_of(_steady(15_000, 30.0, -20.0), heater)
    longer = heat_longer(ahead, heater, 18.4, LIMITS, ideal(ahead, heater, 18.4, LIMITS))
    assert sum(stretch.end - stretch.first for stretch in longer.stretches) == 72
    assert sum(longer.best.heat_kwh) == pytest.approx(0.2 * 72)
