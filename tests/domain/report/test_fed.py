"""The food of the span."""

from datetime import date, timedelta

import pytest

from evenwater.domain.report.fed import fed_in, fed_part

from .season_log import SUMMER, row_of, settled


def fed(days_fed: int, **settings: object):
    log = settled(**settings)
    for nth in range(days_fed):
        for hour in (9, 17):
            log.write("feed", log.at(SUMMER.first + timedelta(days=nth), hour), feed_g=60.0)
    return log


def test_food_is_summed_and_days_are_counted_once():
    part = fed_part(fed(10).past())
    assert row_of(part.rows, "Food given") == ("1.2 kg",)
    assert row_of(part.rows, "Days with food") == ("10 of 183",)
    assert row_of(part.rows, "On such a day") == ("120 g",)
    assert part.unknown == ("No food was recorded a year before.",)


def test_it_costs_what_its_price_says():
    stock = {"stock_g": 5000, "counted_on": "2026-03-01", "price_per_kg": 8.0}
    past = fed(10, food=stock).past()
    assert fed_in(past, past.here).cost == pytest.approx(9.6)
    assert fed_in(past, past.before).cost is None


def test_a_tick_that_carries_food_counts():
    log = settled()
    log.tick("feed", date(2026, 6, 1), "day", log.at(date(2026, 6, 1)), feed_g=80.0)
    assert row_of(fed_part(log.past()).rows, "Food given") == ("80 g",)


def test_no_food_is_said():
    assert fed_part(settled().past()).unknown == ("No food was recorded in this time.",)
