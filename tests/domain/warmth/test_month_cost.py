"""What a month's heat comes to, foretold and when it is over."""

from datetime import datetime, timedelta

import pytest

from evenwater.domain.warmth.outlook import MonthCost

from .pond_log import HOUR, NOW, TARIFF, WarmLog

HEATER = {"power_w": 3000, "step_c": 0.5}
NOVEMBER_BEGAN = NOW.replace(day=1, hour=0)
OCTOBER_BEGAN = NOVEMBER_BEGAN - timedelta(days=31)


def kept(days: int = 40, **settings: object) -> WarmLog:
    log = WarmLog()
    log.keep(days=days, heater=HEATER, tariff=TARIFF, **settings)
    return log


def read(log: WarmLog, *readings: tuple[datetime, float]) -> WarmLog:
    for at, kwh in readings:
        log.write("reading", at, quantity="heater_meter_kwh", value=kwh, point="heater")
    return log


def month(log: WarmLog) -> MonthCost:
    found = log.warmth().page.month
    assert found is not None
    return found


@pytest.fixture(scope="module")
def by_counter() -> MonthCost:
    """Ten kWh a day at 0.12 all October and on into November, read every five days."""
    started = OCTOBER_BEGAN - timedelta(days=2)
    log = kept()
    return month(read(log, *((started + timedelta(days=day), 1000.0 + 10 * day) for day in range(0, 36, 5))))


def test_a_month_that_is_over_costs_what_its_counter_says(by_counter):
    assert by_counter.before == pytest.approx(31 * 10 * 0.12, abs=0.01)


def test_what_has_run_so_far_is_in_the_forecast_and_the_band_holds_the_middle(by_counter):
    # The last reading was on 1 November at noon of the night before: nothing of this month is metered twice.
    low, middle, high = by_counter.band
    assert by_counter.metered
    assert by_counter.so_far == pytest.approx(2 * 10 * 0.12, abs=0.01)
    assert by_counter.so_far < low < middle < high < 2 * middle
    assert (by_counter.month.isoformat(), by_counter.currency) == ("2026-11-01", "£")


def test_without_a_counter_both_months_are_worked_out_and_the_one_that_is_over_near_the_truth():
    log = kept()
    found = month(log)
    first = round((OCTOBER_BEGAN - log.begins) / HOUR)
    truth = sum(log.heat_w[first : first + 31 * 24]) / 1000 * 0.12
    assert not found.metered
    # The learner knows the loss to some 5 %; the rest of the balance is as told.
    assert found.before == pytest.approx(truth, rel=0.1)
    assert found.so_far < found.band[0] < found.band[1] < found.band[2]


def test_a_month_whose_first_days_nobody_knows_is_not_foretold():
    assert kept(days=1).warmth().page.month is None


def test_a_month_known_in_part_has_no_cost():
    assert month(kept(days=20)).before is None


def test_a_counter_that_was_changed_leaves_its_gap_to_the_model():
    started = OCTOBER_BEGAN - timedelta(days=2)
    readings = [(started + timedelta(days=day), 1000.0 + 10 * day) for day in range(0, 16, 5)]
    readings += [(started + timedelta(days=day), 10.0 * (day - 20)) for day in range(20, 36, 5)]
    found = month(read(kept(), *readings))
    assert found.before is not None
    assert found.before != pytest.approx(31 * 10 * 0.12, abs=0.01)


def test_a_counter_read_once_a_fortnight_tells_and_one_read_once_in_three_weeks_does_not():
    started = OCTOBER_BEGAN - timedelta(days=10)
    for every, metered in ((14, True), (21, False)):
        readings = [(started + timedelta(days=day), 1000.0 + 10 * day) for day in range(0, 43, every)]
        assert month(read(kept(), *readings)).metered == metered


def test_a_step_down_makes_the_month_cheaper():
    season = {"from_c": 16, "to_c": 12, "starts_on": NOW.date().isoformat()}
    assert month(kept(season=season)).band[1] < 0.8 * month(kept()).band[1]


def test_the_page_says_it_in_one_line():
    log = kept()
    says = log.says("month")
    assert says.startswith("about £")
    assert says.endswith("so far, worked out.")
