"""What a schedule is worth: stored heat counts, and a swing is that of any day."""

import numpy as np
import pytest
from domain.warmth.ponds_ahead import START, cheap_by_night

from evenwater.domain.kit import Heater
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ahead import look_ahead
from evenwater.domain.warmth.heater.heater_worth import Limits, follow_many, largest_swing, worth_of
from evenwater.domain.warmth.heater.thermostat import OFF, Followed


def test_water_let_cool_is_no_saving():
    """A night heated and a night not differ by what is paid; with the heat still in the water, by next to nothing."""
    heater = Heater(power_w=6000.0)
    course = Course(starts_at=START, capacity_j_per_k=8e7, gain_w=(0.0,) * 14, loss_w_per_k=(30.0,) * 14)
    cheap = cheap_by_night(14)
    ahead = look_ahead(course, heater, [0.1 if flag else 0.3 for flag in cheap], [5.0] * 14, cheap)
    limits = Limits(floor_c=17.0, highest_setting_c=20.0, swing_k=2.0)
    schedules = np.array([[OFF] * 14, [19.0] * 14])
    worth = worth_of(ahead, 18.4, limits, follow_many(ahead, heater, schedules, 18.4))
    assert worth.paid[1] - worth.paid[0] > 1.5
    # What is left: the little more that warmer water loses in the hours after it was heated.
    assert 0.0 < worth.score[1] - worth.score[0] < 0.02


def test_the_largest_swing_is_that_of_any_day():
    chance = np.random.default_rng(3)
    for steps, day in ((72, 24), (30, 24), (10, 24), (100, 48), (24, 24)):
        lows = chance.normal(18, 1, (5, steps))
        highs = lows + chance.uniform(0, 1, (5, steps))
        came = Followed(lows, lows, highs, lows * 0)
        spans = range(max(1, steps - day + 1))
        plain = [
            max(high[at : at + day].max() - low[at : at + day].min() for at in spans)
            for low, high in zip(lows, highs, strict=True)
        ]
        assert largest_swing(came, day) == pytest.approx(plain)
