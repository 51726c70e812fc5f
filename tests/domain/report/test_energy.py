"""Electricity: by the counter, by the month as it was worked out then, by power."""

from datetime import UTC, date, datetime, timedelta

import pytest

from evenwater.domain.book.shown_records import Kept, MonthSpent, Shown
from evenwater.domain.report.energy import GAP, appliances_in, heat_in
from evenwater.domain.report.span import Span

from .season_log import settled

MAY = Span(date(2026, 5, 1), date(2026, 5, 31))
HEATER = {"kind": "electric", "power_w": 3000, "time_switch": True}
TARIFF = {
    "windows": [{"from": "00:00", "to": "06:00", "rate_per_kwh": 0.1}],
    "otherwise_rate_per_kwh": 0.3,
    "currency": "€",
}


def counter(since: datetime, until: datetime, kwh_a_day: float, step: timedelta = timedelta(days=1)):
    found, at = [], since
    while at <= until:
        found.append((at, 500 + kwh_a_day * ((at - since) / timedelta(days=1))))
        at += step
    return found


LONG = counter(datetime(2026, 4, 20, tzinfo=UTC), datetime(2026, 6, 10, tzinfo=UTC), 12.0)


def test_the_counter_tells_the_energy_and_the_cheap_hours_its_price():
    heat = heat_in(settled(heater=HEATER, tariff=TARIFF).past(MAY, counter=LONG), MAY)
    assert heat.kwh == pytest.approx(31 * 12.0)
    assert heat.cost == pytest.approx(31 * 12.0 * 0.1)
    assert heat.days == pytest.approx(31)


def test_a_heater_without_a_time_switch_pays_the_mean_of_the_day():
    heater = HEATER | {"time_switch": False}
    heat = heat_in(settled(heater=heater, tariff=TARIFF).past(MAY, counter=LONG), MAY)
    assert heat.cost == pytest.approx(31 * 12.0 * (0.1 * 6 + 0.3 * 18) / 24)


def test_a_counter_that_was_changed_or_not_read_for_long_tells_nothing_of_between():
    changed = [*LONG[:20], *((at, kwh - 500) for at, kwh in LONG[20:])]
    assert heat_in(settled(heater=HEATER).past(MAY, counter=changed), MAY).kwh == pytest.approx(30 * 12.0)
    far = [LONG[0], (LONG[0][0] + GAP + timedelta(days=1), 900.0)]
    assert heat_in(settled(heater=HEATER).past(MAY, counter=far), MAY).kwh is None


def test_a_month_without_a_counter_costs_what_was_worked_out_then():
    over = MonthSpent(month=MAY.first, cost=41.0, metered=False)
    foretold = Shown(spent=[Kept(datetime(2026, 6, 1, tzinfo=UTC), "1", over)])
    heat = heat_in(settled(heater=HEATER, tariff=TARIFF).past(MAY, foretold=foretold), MAY)
    assert (heat.kwh, heat.cost, heat.days) == (None, 41.0, 31)
    half = Span(MAY.first, date(2026, 5, 15))
    assert heat_in(settled(heater=HEATER, tariff=TARIFF).past(half, foretold=foretold), half).cost is None


def test_without_a_tariff_there_is_energy_and_no_cost():
    heat = heat_in(settled(heater=HEATER).past(MAY, counter=LONG), MAY)
    assert (round(heat.kwh or 0), heat.cost) == (372, None)


def test_pumps_take_what_their_power_says():
    pumps = [{"name": "Pump", "power_w": 100}, {"name": "Lamp", "power_w": 40, "duty_fraction": 0.5}]
    rest = appliances_in(settled(appliances=pumps, tariff=TARIFF).past(MAY), MAY)
    assert rest.kwh == pytest.approx(0.12 * 24 * 31)
    assert rest.cost == pytest.approx(0.12 * 24 * 31 * 0.25)
    assert appliances_in(settled().past(MAY), MAY).kwh is None
