"""Bills on days of 23, 24 and 25 hours, printed and counted minute by minute. Sources stand in tariff.json."""

import json
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from evenwater.domain.kit import Tariff, TariffWindow
from evenwater.domain.warmth.heater.tariff import cost_of, hourly_prices, rates_at, spans

CHECKS = json.loads(Path(__file__).with_name("tariff.json").read_text(encoding="utf-8"))
NIGHT = Tariff(windows=(TariffWindow("00:30", "07:30", 0.10),), otherwise_rate_per_kwh=0.30)
HOUR = timedelta(hours=1)


def whole_day(on: str, zone: ZoneInfo) -> tuple[datetime, datetime]:
    first = date.fromisoformat(on)
    begins, ends = (datetime.combine(one, time(0), zone).astimezone(UTC) for one in (first, first + timedelta(days=1)))
    return begins, ends


@pytest.mark.parametrize("day", CHECKS["days"], ids=lambda day: f"{day['zone']} {day['on']}")
def test_a_days_bill_is_the_printed_one(day):
    zone = ZoneInfo(day["zone"])
    begins, ends = whole_day(day["on"], zone)
    bill = cost_of(NIGHT, zone, 3000, begins, ends)
    cheap, other = bill.by_window
    assert bill.cost == pytest.approx(day["cost"], abs=CHECKS["tolerance"])
    assert bill.energy_kwh == pytest.approx(3 * day["hours"], abs=CHECKS["tolerance"])
    assert (cheap.hours, other.hours) == (day["cheap_hours"], day["hours"] - day["cheap_hours"])
    prices = hourly_prices(NIGHT, zone, begins, day["hours"])
    assert 3 * sum(prices) == pytest.approx(day["cost"], abs=CHECKS["tolerance"])


def test_80_w_all_month_are_57_6_kwh():
    begins = datetime(2026, 11, 1, tzinfo=ZoneInfo("Europe/Amsterdam"))
    bill = cost_of(NIGHT, ZoneInfo("Europe/Amsterdam"), 80, begins, begins + timedelta(days=30))
    assert bill.energy_kwh == pytest.approx(CHECKS["month"]["kwh"])


MANY = Tariff(
    windows=(
        TariffWindow("23:30", "06:15", 0.08, ("mon", "tue", "wed", "thu", "fri")),
        TariffWindow("02:10", "08:00", -0.02, ("sun",)),
        TariffWindow("12:00", "14:45", 0.12),
        TariffWindow("17:00", "20:00", 0.55, ("mon", "fri", "sat")),
        TariffWindow("22:00", "02:10", 0.19, ("sat",)),
    ),
    otherwise_rate_per_kwh=0.31,
)


def plain_rate(tariff: Tariff, clock: datetime) -> float:
    """The rate at a reading of the clock, window by window: the slow and simple way."""
    for one in tariff.windows:
        begins, ends = time.fromisoformat(one.begins), time.fromisoformat(one.ends)
        today = begins <= clock.time() and (clock.time() < ends or ends < begins)
        since_yesterday = ends < begins and clock.time() < ends
        for holds, day in ((today, clock), (since_yesterday, clock - timedelta(days=1))):
            if holds and (not one.days or day.strftime("%a").lower() in one.days):
                return one.rate_per_kwh
    return tariff.otherwise_rate_per_kwh


def reading(kind: str, at: datetime, zone: ZoneInfo) -> datetime:
    """What the tariff's clock shows: standard time is the wall's less what summer adds."""
    local = at.astimezone(zone)
    ahead = {"utc": timedelta(0), "local": local.utcoffset(), "standard": local.utcoffset() - local.dst()}[kind]
    return at.replace(tzinfo=None) + ahead


@pytest.mark.parametrize("kind", ["local", "standard", "utc"])
@pytest.mark.parametrize(
    ("zone", "on"),
    [
        ("Europe/London", "2025-10-24"),
        ("America/New_York", "2025-03-07"),
        ("Australia/Lord_Howe", "2026-04-03"),
        ("Asia/Kathmandu", "2026-06-05"),
    ],
)
def test_prices_through_a_week_with_a_change_are_those_read_minute_by_minute(zone, on, kind):
    tariff = Tariff(kind, MANY.windows, MANY.otherwise_rate_per_kwh)
    place = ZoneInfo(zone)
    begins = whole_day(on, place)[0].replace(minute=0)
    minutes = [begins + timedelta(minutes=number) for number in range(8 * 1440)]
    plain = [plain_rate(tariff, reading(kind, at, place)) for at in minutes]
    prices = hourly_prices(tariff, place, begins, 8 * 24)
    means = [sum(plain[number : number + 60]) / 60 for number in range(0, len(plain), 60)]
    assert prices == pytest.approx(means, abs=1e-12)
    assert [rate for rate, _ in rates_at(tariff, place, minutes[::7])] == plain[::7]
    bill = cost_of(tariff, place, 1000, begins, begins + 8 * 24 * HOUR)
    assert bill.cost == pytest.approx(sum(plain) / 60, abs=1e-9)
    cut = list(spans(tariff, place, begins, begins + 8 * 24 * HOUR))
    assert sum((one.ends_at - one.begins_at) / HOUR * one.rate_per_kwh for one in cut) == pytest.approx(bill.cost)
    assert all(one.window != other.window for one, other in pairwise(cut))


def test_years_are_counted_as_their_hours_are():
    zone, begins = ZoneInfo("Europe/London"), datetime(2024, 2, 20, 3, 30, tzinfo=UTC)
    hours = 2 * 8760
    bill = cost_of(MANY, zone, 1000, begins, begins + hours * HOUR)
    assert bill.cost == pytest.approx(sum(hourly_prices(MANY, zone, begins, hours)))
    assert bill.energy_kwh == pytest.approx(hours)
