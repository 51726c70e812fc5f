"""What a heater does under its thermostat, against a fine integration by others and against the laws of heat."""

import random
from itertools import pairwise

import numpy as np
import pytest
from domain.warmth.ponds_ahead import START, ahead_of, course_of, heater_of
from scipy.integrate import solve_ivp

from evenwater.domain.errors import Contradiction
from evenwater.domain.kit import Heater
from evenwater.domain.units import J_PER_KWH
from evenwater.domain.warmth.course import Course
from evenwater.domain.warmth.heater.heater_ahead import Ahead, cop_at, look_ahead
from evenwater.domain.warmth.heater.thermostat import OFF, Followed, Many, follow, step_many

STEADY = Course(starts_at=START, capacity_j_per_k=4.187e7, gain_w=(0.0,) * 72, loss_w_per_k=(40.0,) * 72)


def settings_of(draw: random.Random, steps: int) -> list[float]:
    """A new setting now and then, some of them off."""
    setting, found = 18.0, []
    for _ in range(steps):
        if draw.random() < 0.1:
            setting = draw.choice((OFF, 16.0, 17.5, 18.0, 19.0, 20.0))
        found.append(setting)
    return found


def follow_all(ahead: Ahead, heater: Heater, schedules: np.ndarray, start_c: float) -> list[Followed]:
    many = Many(*(np.full(len(schedules), one) for one in (start_c, False, 0.0)))
    steps = []
    for step in range(schedules.shape[1]):
        many, came = step_many(ahead, heater, step, many, schedules[:, step])
        steps.append(came)
    return steps


@pytest.mark.parametrize("min_run_min", [0.0, 25.0, 100.0])
def test_many_at_once_do_what_each_does_alone(min_run_min):
    draw = random.Random(f"many/{min_run_min}")
    for _ in range(15):
        heater = heater_of(draw, min_run_min=min_run_min)
        course = course_of(draw, litres=draw.choice((300, 3000, 30_000)))
        ahead = ahead_of(course, heater)
        schedules = np.array([settings_of(draw, 72) for _ in range(20)])
        start = draw.uniform(15, 20)
        together = follow_all(ahead, heater, schedules, start)
        for row, schedule in enumerate(schedules):
            alone = follow(ahead, heater, schedule.tolist(), start)
            for name in ("ends_c", "lows_c", "highs_c", "heat_kwh"):
                here = [getattr(came, name)[row] for came in together]
                assert np.allclose(here, getattr(alone, name), rtol=0, atol=1e-7), name


def test_it_agrees_with_a_fine_integration_that_finds_the_switchings_itself():
    draw = random.Random(4)
    for _ in range(6):
        heater = heater_of(draw, differential_c=draw.choice((0.1, 0.3, 1.0)), time_switch=False)
        ahead = ahead_of(course_of(draw, hours=36), heater)
        settings = [draw.choice((17.0, 18.0, 19.0))] * 36
        ours = follow(ahead, heater, settings, 17.5)
        theirs, heat_kwh = _integrated(ahead, heater, settings, 17.5)
        assert np.allclose(ours.ends_c, theirs, rtol=0, atol=1e-4)
        assert ours.heat_kwh.sum() == pytest.approx(heat_kwh, abs=1e-3)


def _integrated(ahead: Ahead, heater: Heater, settings: list[float], start_c: float) -> tuple[list[float], float]:
    """Source: scipy.integrate.solve_ivp with events, rtol 1e-9; the heat is integrated as a second state."""
    state, on, ends = np.array([start_c, 0.0]), False, []
    for step, setting in enumerate(settings):
        if state[0] <= setting - heater.differential_c:
            on = True
        clock = 0.0
        while clock < 3600.0 - 1e-9:

            def change(_, y, on=on, step=step):
                heat_w = heater.power_w if on else 0.0
                net_w = ahead.gain_w[step] + heat_w - ahead.loss_w_per_k[step] * y[0]
                return [net_w / ahead.capacity_j_per_k, heat_w / J_PER_KWH]

            def turned(_, y, on=on, setting=setting):
                return y[0] - (setting if on else setting - heater.differential_c)

            turned.terminal, turned.direction = True, 1.0 if on else -1.0
            found = solve_ivp(change, (clock, 3600.0), state, events=turned, rtol=1e-9, atol=1e-9)
            state, clock = found.y[:, -1], found.t[-1]
            if found.status == 1:
                on = not on
        ends.append(float(state[0]))
    return ends, float(state[1])


def test_heat_in_is_heat_stored_and_heat_lost():
    """By the minute, so that the mean of both ends of a step stands for its loss."""
    draw = random.Random(5)
    for _ in range(20):
        course, heater = course_of(draw, hours=30), heater_of(draw, time_switch=False)
        ahead = look_ahead(course, heater, [0.2] * 1800, [5.0] * 30, [True] * 1800)
        settings = [setting for setting in settings_of(draw, 30) for _ in range(60)]
        came = follow(ahead, heater, settings, 18.0)
        stored_kwh = (came.ends_c[-1] - 18.0) * course.capacity_j_per_k / J_PER_KWH
        mean_c = (np.concatenate([[18.0], came.ends_c[:-1]]) + came.ends_c) / 2
        lost_kwh = ((np.array(ahead.loss_w_per_k) * mean_c - np.array(ahead.gain_w)) * 60 / J_PER_KWH).sum()
        assert came.heat_kwh.sum() == pytest.approx(stored_kwh + lost_kwh, abs=1e-4)


def test_where_nothing_is_lost_all_heat_is_found_in_the_water():
    course = Course(starts_at=START, capacity_j_per_k=4.187e7, gain_w=(0.0,) * 24, loss_w_per_k=(0.0,) * 24)
    heater = Heater(power_w=3000.0, time_switch=False)
    came = follow(ahead_of(course, heater), heater, [19.0] * 24, 17.0)
    # 10 m³ by 2 K: 1.163 kWh a cubic metre and degree (4187 J/kgK).
    assert came.heat_kwh.sum() == pytest.approx(2 * 11.63, rel=1e-3)
    assert came.ends_c[-1] == pytest.approx(19.0)


def test_heating_never_takes_the_water_above_its_setting():
    """Where the day warms it further, that is the day's doing: those steps are left out."""
    draw, seen = random.Random(6), 0
    for _ in range(60):
        heater = heater_of(draw)
        course = course_of(draw, litres=draw.choice((200, 2000, 20_000)))
        settings, start = settings_of(draw, 72), draw.uniform(12, 22)
        came = follow(ahead_of(course, heater), heater, settings, start)
        for hour, setting in enumerate(settings):
            cools = course.gain_w[hour] < course.loss_w_per_k[hour] * setting
            if came.heat_kwh[hour] > 0 and cools:
                seen += 1
                assert came.highs_c[hour] <= max(setting, came.ends_c[hour - 1] if hour else start) + 1e-9
    assert seen > 500


def test_it_heats_in_the_hours_of_the_time_switch_alone():
    heater = Heater(power_w=3000.0, time_switch=True)
    ahead = ahead_of(STEADY, heater)
    came = follow(ahead, heater, [20.0] * 72, 18.0)
    assert (came.heat_kwh[~np.array(ahead.cheap)] == 0).all()
    assert came.heat_kwh.sum() > 0
    assert follow(ahead, heater, [OFF] * 72, 18.0).heat_kwh.sum() == 0


def test_a_night_that_was_too_short_is_taken_up_again_the_next():
    """The thermostat was calling when the switch cut it, so it heats on though the water is within the differential."""
    heater = Heater(power_w=400.0, differential_c=1.0, time_switch=True)
    course = Course(starts_at=START, capacity_j_per_k=4.187e7, gain_w=(0.0,) * 48, loss_w_per_k=(1.0,) * 48)
    came = follow(ahead_of(course, heater), heater, [20.0] * 48, 18.9)
    by_night = came.heat_kwh[np.array(ahead_of(course, heater).cheap)]
    assert by_night == pytest.approx([0.4] * 14)


def test_a_heat_pump_that_has_started_runs_its_least_time():
    bowl = Course(starts_at=START, capacity_j_per_k=2e6, gain_w=(0.0,) * 24, loss_w_per_k=(20.0,) * 24)
    plain, slow = (
        Heater(kind="heat_pump", power_w=3000.0, differential_c=0.2, time_switch=False, min_run_min=least)
        for least in (0.0, 30.0)
    )
    highs = [follow(ahead_of(bowl, one), one, [18.0] * 24, 17.0).highs_c.max() for one in (plain, slow)]
    assert highs[0] == pytest.approx(18.0)
    # Half an hour from 17.8: 3 kW less 0.36 kW lost into 2 MJ/K lifts by 2.3 K.
    assert highs[1] == pytest.approx(17.8 + 2640 * 1800 / 2e6, abs=0.1)


def test_without_a_differential_the_water_is_held_at_the_setting():
    heater = Heater(power_w=3000.0, differential_c=0.0, time_switch=False)
    came = follow(ahead_of(STEADY, heater), heater, [18.0] * 72, 18.0)
    assert came.ends_c == pytest.approx([18.0] * 72)
    assert came.heat_kwh == pytest.approx([40 * 18 / 1000] * 72)


def test_the_cop_lies_on_straight_lines_between_the_told_points_and_level_beyond():
    pump = Heater(kind="heat_pump", cop=((10.0, 5.0), (-10.0, 2.0)))
    assert cop_at(pump, np.array([-30.0, -10.0, 0.0, 10.0, 30.0])).tolist() == [2.0, 2.0, 3.5, 5.0, 5.0]
    assert cop_at(Heater(), np.array([-30.0, 30.0])).tolist() == [1.0, 1.0]
    rising = cop_at(Heater(kind="heat_pump"), np.arange(-20.0, 30.0))
    assert all(one <= other for one, other in pairwise(rising))


def test_half_hours_of_price_make_half_hours_of_water():
    heater = Heater()
    halves = look_ahead(STEADY, heater, [0.1] * 144, [5.0] * 72, [True] * 144)
    assert halves.step_s == 1800.0
    came = follow(halves, heater, [OFF] * 144, 18.0)
    hourly = follow(ahead_of(STEADY, heater), heater, [OFF] * 72, 18.0)
    assert came.ends_c[1::2] == pytest.approx(hourly.ends_c)


@pytest.mark.parametrize(("prices", "air", "cheap"), [(71, 72, 71), (72, 71, 72), (72, 72, 71), (0, 72, 0)])
def test_hours_that_do_not_fit_are_refused(prices, air, cheap):
    with pytest.raises(Contradiction) as refused:
        look_ahead(STEADY, Heater(), [0.1] * prices, [5.0] * air, [True] * cheap)
    assert refused.value.where == "prices"
