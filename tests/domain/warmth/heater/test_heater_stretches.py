"""Where and to what a keeper can set the thermostat, by the pond's own clock."""

import random
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from domain.warmth.ponds_ahead import ahead_of, course_of

from evenwater.domain.kit import Heater
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ahead import Ahead, look_ahead
from evenwater.domain.warmth.heater.heater_search import search
from evenwater.domain.warmth.heater.heater_stretches import Stretch, levels_between, nearest_level, stretches_of
from evenwater.domain.warmth.heater.heater_worth import Limits


def stretches(ahead: Ahead, heater: Heater) -> tuple[Stretch, ...]:
    return stretches_of(ahead, heater, "UTC", 22, 7)


def test_settings_lie_on_the_thermostat_s_own_steps():
    assert levels_between(18.1, 20.0, 0.5) == [18.5, 19.0, 19.5, 20.0]
    assert levels_between(18.0, 18.6, 0.2) == [18.0, 18.2, 18.4, 18.6]
    assert levels_between(18.1, 18.3, 0.5) == [18.0]
    assert nearest_level(18.7, 0.5) == 18.5
    assert nearest_level(18.8, 0.5) == 19.0


def test_by_hand_a_setting_changes_at_the_evening_s_and_the_morning_s_hour():
    heater = Heater(time_switch=False)
    ahead = ahead_of(course_of(random.Random(1)), heater)
    found = stretches(ahead, heater)
    assert [(ahead.moment(one.first).hour, one.kind) for one in found] == [(18, 1), *[(22, 0), (7, 1)] * 3]
    assert found[-1].end == 72


@pytest.mark.parametrize(("starts_at", "night_h"), [("2026-03-28", 8), ("2026-10-24", 10), ("2026-01-10", 9)])
def test_a_night_is_an_hour_shorter_or_longer_when_the_clock_changes(starts_at, night_h):
    berlin = ZoneInfo("Europe/Berlin")
    begins = datetime.fromisoformat(f"{starts_at}T18:00").replace(tzinfo=berlin).astimezone(UTC)
    course = Course(starts_at=begins, capacity_j_per_k=4e7, gain_w=(0.0,) * 48, loss_w_per_k=(30.0,) * 48)
    heater = Heater(time_switch=False)
    ahead = look_ahead(course, heater, [0.2] * 48, [5.0] * 48, [True] * 48)
    night = stretches_of(ahead, heater, "Europe/Berlin", 22, 7)[1]
    assert night.end - night.first == night_h
    assert ahead.moment(night.first).astimezone(berlin).hour == 22
    assert ahead.moment(night.end).astimezone(berlin).hour == 7


def test_an_hour_that_the_clock_skips_is_the_next_there_is():
    berlin = ZoneInfo("Europe/Berlin")
    begins = datetime(2026, 3, 28, 17, tzinfo=UTC)
    course = Course(starts_at=begins, capacity_j_per_k=4e7, gain_w=(0.0,) * 24, loss_w_per_k=(30.0,) * 24)
    heater = Heater(time_switch=False)
    ahead = look_ahead(course, heater, [0.2] * 24, [5.0] * 24, [True] * 24)
    found = stretches_of(ahead, heater, "Europe/Berlin", 22, 2)
    assert ahead.moment(found[2].first).astimezone(berlin).hour == 3


def test_a_switch_that_is_never_open_leaves_nothing_to_set_and_one_always_open_is_set_each_evening():
    course = course_of(random.Random(1))
    never = ahead_of(course, Heater(), (False,) * 72)
    assert stretches(never, Heater()) == ()
    limits = Limits(floor_c=17.0, highest_setting_c=19.0, swing_k=1.0)
    assert search(never, Heater(), 18.0, limits, 18.0, ()).best.kwh == 0
    always = ahead_of(course, Heater(), (True,) * 72)
    assert [always.moment(one.first).hour for one in stretches(always, Heater())] == [18, 22, 22, 22]
