"""Tariffs as keepers have them, and those that cannot be."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from evenwater.domain.errors import Contradiction, OutOfRange
from evenwater.domain.kit import Tariff, TariffWindow
from evenwater.domain.warmth.heater.tariff import (
    cheapest_shares,
    check_tariff,
    cost_of,
    hourly_prices,
    rates_at,
    spans,
)

ZONE = ZoneInfo("Europe/Amsterdam")
MONDAY = datetime(2026, 11, 2, tzinfo=ZONE)
HOUR = timedelta(hours=1)


def tariff(*windows: TariffWindow, otherwise: float = 0.3) -> Tariff:
    return Tariff(windows=windows, otherwise_rate_per_kwh=otherwise)


@pytest.mark.parametrize(
    ("windows", "where", "what", "right"),
    [
        (
            (TariffWindow("23:30", "06:30", 0.1), TariffWindow("06:00", "08:00", 0.2, ("wed",))),
            "tariff.windows[1]",
            "windows 23:30 to 06:30 and 06:00 to 08:00 overlap on Wed",
            "the first to end by 06:00 on Wed, or the second to begin from 06:30 on",
        ),
        (
            (TariffWindow("00:00", "05:00", 0.1, ("mon",)), TariffWindow("22:00", "00:30", 0.2, ("sun",))),
            "tariff.windows[1]",
            "windows 22:00 to 00:30 and 00:00 to 05:00 overlap on Mon",
            "the first to end by 00:00 on Mon, or the second to begin from 00:30 on",
        ),
        (
            (TariffWindow("07:00", "07:00", 0.1),),
            "tariff.windows[0]",
            "the window begins and ends at 07:00",
            "an end that is not the begin; a whole day is two windows, 00:00 to 12:00 and 12:00 to 00:00",
        ),
    ],
)
def test_windows_that_cannot_be_are_named_with_what_would_be_right(windows, where, what, right):
    with pytest.raises(Contradiction) as refused:
        check_tariff(tariff(*windows))
    assert (refused.value.where, refused.value.what, refused.value.right) == (where, what, right)


def test_windows_that_touch_or_leave_gaps_are_fine():
    gaps = tariff(TariffWindow("00:00", "12:00", 0.1, ("sat",)), TariffWindow("12:00", "00:00", 0.1, ("sat",)))
    check_tariff(gaps)
    assert rates_at(gaps, ZONE, [MONDAY]) == [(0.3, True)]
    assert set(rates_at(gaps, ZONE, (MONDAY + timedelta(days=5, hours=hour) for hour in range(24)))) == {(0.1, True)}


def test_a_window_over_midnight_belongs_to_the_day_it_begins_on():
    night = tariff(TariffWindow("22:00", "05:00", 0.1, ("mon",)))
    cheap = [hour for hour, price in enumerate(hourly_prices(night, ZONE, MONDAY, 168)) if price == 0.1]
    assert cheap == list(range(22, 29))


def test_sundays_night_runs_into_monday():
    night = tariff(TariffWindow("22:00", "05:00", 0.1, ("sun",)))
    cheap = [hour for hour, price in enumerate(hourly_prices(night, ZONE, MONDAY, 168)) if price == 0.1]
    assert cheap == [0, 1, 2, 3, 4, 166, 167]


def test_a_negative_rate_is_paid_out():
    windy = tariff(TariffWindow("02:00", "04:00", -0.05))
    bill = cost_of(windy, ZONE, 2000, MONDAY + 2 * HOUR, MONDAY + 4 * HOUR)
    assert bill.cost == pytest.approx(-0.2)
    assert [one.window for one in bill.by_window] == [0]


def test_an_hour_in_which_the_rate_changes_has_the_mean_by_minutes():
    night = tariff(TariffWindow("23:45", "06:15", 0.1))
    prices = hourly_prices(night, ZONE, MONDAY + 6 * HOUR, 18)
    assert prices[0] == pytest.approx(0.25 * 0.1 + 0.75 * 0.3)
    assert prices[-1] == pytest.approx(0.75 * 0.3 + 0.25 * 0.1)


def test_imported_prices_win_where_there_are_any():
    start = MONDAY.astimezone(UTC)
    half = timedelta(minutes=30)
    imported = {start - half: 9.0, start: 0.5, start + half: 0.7, start + 3 * half: 0.1, start + 400 * HOUR: 9.0}
    assert hourly_prices(tariff(), ZONE, MONDAY, 3, imported) == pytest.approx([0.6, 0.2, 0.3])
    by_hour = {MONDAY: 0.5, MONDAY + HOUR: -0.1}
    assert hourly_prices(tariff(), ZONE, MONDAY, 3, by_hour) == pytest.approx([0.5, -0.1, 0.3])
    assert hourly_prices(tariff(), ZONE, MONDAY, 1, {MONDAY: 0.5}) == pytest.approx([0.4])


def test_the_cheapest_share_of_an_hour_is_that_of_its_day():
    windows = (TariffWindow("00:30", "06:30", 0.1), TariffWindow("12:00", "14:00", 0.05, ("tue",)))
    shares = cheapest_shares(tariff(*windows), ZONE, MONDAY, 48)
    assert shares[:8] == pytest.approx([0.5, 1, 1, 1, 1, 1, 0.5, 0])
    assert [hour for hour in range(24, 48) if shares[hour] > 0] == [36, 37]
    assert set(cheapest_shares(tariff(), ZONE, MONDAY, 5)) == {1}


def test_a_moment_is_cheapest_by_the_day_it_lies_in():
    windows = (TariffWindow("00:30", "06:30", 0.1), TariffWindow("12:00", "14:00", 0.05, ("tue",)))
    moments = [MONDAY + timedelta(hours=hour) for hour in (1, 8, 24 + 1, 24 + 13)]
    found = rates_at(tariff(*windows), ZONE, moments)
    assert [cheap for _, cheap in found] == [True, False, False, True]
    assert [rate for rate, _ in found] == [0.1, 0.3, 0.1, 0.05]
    assert rates_at(tariff(), ZONE, [MONDAY])[0][1]


def test_spans_are_cut_where_the_window_changes_and_not_at_midnight():
    night = tariff(TariffWindow("23:30", "06:30", 0.1))
    found = list(spans(night, ZONE, MONDAY, MONDAY + timedelta(days=2)))
    local = [(one.begins_at.astimezone(ZONE).strftime("%a %H:%M"), one.rate_per_kwh) for one in found]
    assert local == [("Mon 00:00", 0.1), ("Mon 06:30", 0.3), ("Mon 23:30", 0.1), ("Tue 06:30", 0.3), ("Tue 23:30", 0.1)]
    assert list(spans(night, ZONE, MONDAY, MONDAY)) == []


def test_standard_time_is_winters_even_where_the_law_calls_summers_standard():
    # Ireland's zone data count winter as the exception, an hour back.
    meter = Tariff("standard", (TariffWindow("00:00", "07:00", 0.1),), 0.3)
    july = datetime(2026, 7, 1, tzinfo=UTC)
    assert [
        rate for rate, _ in rates_at(meter, ZoneInfo("Europe/Dublin"), [july + hour * HOUR for hour in (0, 6, 7)])
    ] == [0.1, 0.1, 0.3]


def test_nothing_is_taken_in_no_time():
    bill = cost_of(tariff(), ZONE, 2000, MONDAY, MONDAY)
    assert (bill.energy_kwh, bill.cost, bill.by_window) == (0, 0, ())


@pytest.mark.parametrize(
    ("error", "where", "ask"),
    [
        (OutOfRange, "power_w", lambda: cost_of(tariff(), ZONE, -1, MONDAY, MONDAY)),
        (OutOfRange, "hours", lambda: cost_of(tariff(), ZONE, 1, MONDAY, MONDAY + timedelta(days=3661))),
        (Contradiction, "to", lambda: cost_of(tariff(), ZONE, 1, MONDAY, MONDAY - HOUR)),
        (Contradiction, "from", lambda: cost_of(tariff(), ZONE, 1, MONDAY.replace(tzinfo=None), MONDAY)),
        (OutOfRange, "hours", lambda: hourly_prices(tariff(), ZONE, MONDAY, 87_841)),
        (Contradiction, "starts_at", lambda: hourly_prices(tariff(), ZONE, MONDAY.replace(tzinfo=None), 1)),
        (Contradiction, "imported", lambda: hourly_prices(tariff(), ZONE, MONDAY, 1, {datetime(2026, 1, 1): 0.1})),  # noqa: DTZ001
        (OutOfRange, "hours", lambda: cheapest_shares(tariff(), ZONE, MONDAY, -1)),
        (Contradiction, "moments", lambda: rates_at(tariff(), ZONE, [MONDAY.replace(tzinfo=None)])),
    ],
)
def test_what_cannot_be_asked_is_refused(error, where, ask):
    with pytest.raises(error) as refused:
        ask()
    assert refused.value.where == where
