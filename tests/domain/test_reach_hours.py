"""When somebody is to be reached: once a date whatever the clocks do, never in quiet hours, again after a failure."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.messages import Reach
from evenwater.domain.reach_hours import GIVEN_UP_AFTER, first_moment, list_due, next_try, quiet_until

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
BERLIN, SYDNEY, APIA, LORD_HOWE = "Europe/Berlin", "Australia/Sydney", "Pacific/Apia", "Australia/Lord_Howe"
NOON = datetime(2026, 11, 24, 12, tzinfo=UTC)


def at(zone: str, *civil: int, fold: int = 0) -> datetime:
    return datetime(*civil, tzinfo=ZoneInfo(zone), fold=fold).astimezone(UTC)  # type: ignore[misc]


@pytest.mark.parametrize(
    ("zone", "on", "clock", "moment"),
    [
        (BERLIN, date(2026, 11, 24), "07:00", at(BERLIN, 2026, 11, 24, 7)),
        # The clock goes from 02:00 to 03:00: what was to come between comes at 03:00.
        (BERLIN, date(2026, 3, 29), "02:30", at(BERLIN, 2026, 3, 29, 3)),
        (BERLIN, date(2026, 3, 29), "02:00", at(BERLIN, 2026, 3, 29, 3)),
        (BERLIN, date(2026, 3, 29), "03:10", at(BERLIN, 2026, 3, 29, 3, 10)),
        # 02:30 comes twice: the first.
        (BERLIN, date(2026, 10, 25), "02:30", at(BERLIN, 2026, 10, 25, 2, 30)),
        (SYDNEY, date(2026, 10, 4), "02:15", at(SYDNEY, 2026, 10, 4, 3)),
        # Half an hour's jump, from 02:00 to 02:30.
        (LORD_HOWE, date(2026, 10, 4), "02:10", at(LORD_HOWE, 2026, 10, 4, 2, 30)),
        # A date that was left out whole.
        (APIA, date(2011, 12, 30), "07:00", None),
        ("America/Santiago", date(2026, 9, 6), "00:00", at("America/Santiago", 2026, 9, 6, 1)),
    ],
)
def test_a_clock_time_is_one_moment_of_its_date_or_none(zone, on, clock, moment):
    assert first_moment(on, clock, zone) == moment


ZONES = sorted(available_timezones() - {"localtime"})


@given(
    st.sampled_from(ZONES),
    st.dates(date(2009, 1, 1), date(2035, 1, 1)),
    st.integers(0, 23),
    st.integers(0, 59),
)
def test_in_every_zone_the_moment_lies_on_its_date_and_not_before_its_clock_time(zone, on, hour, minute):
    moment = first_moment(on, f"{hour:02}:{minute:02}", zone)
    if moment is None:
        return
    civil = moment.astimezone(ZoneInfo(zone))
    assert civil.date() == on
    assert (civil.hour, civil.minute) >= (hour, minute)


@given(st.sampled_from(ZONES), st.dates(date(2020, 1, 1), date(2030, 1, 1)), st.integers(0, 23))
def test_two_days_minute_by_minute_make_each_dates_list_due_once_it_is_due_and_never_before(zone, on, hour):
    reach = Reach(person="a", zone=zone, list_at=f"{hour:02}:30")
    start = datetime.combine(on, datetime.min.time(), UTC)
    found = {}
    for minutes in range(0, 2 * 24 * 60, 30):
        now = start + minutes * MINUTE
        due = list_due(reach, now)
        if due is not None and due[1]:
            found.setdefault(due[0], now)
    for day, first in found.items():
        moment = first_moment(day, reach.list_at or "", zone)
        assert moment is not None and moment <= first


def test_a_list_is_due_from_its_hour_for_six_hours_on_its_own_date():
    reach = Reach(person="a", zone=BERLIN, list_at="07:00")
    seven = at(BERLIN, 2026, 11, 24, 7)
    today = date(2026, 11, 24)
    assert list_due(reach, seven - MINUTE) is None
    assert list_due(reach, seven) == (today, True)
    assert list_due(reach, seven + 6 * HOUR) == (today, True)
    assert list_due(reach, seven + 6 * HOUR + MINUTE) == (today, False)
    assert list_due(reach, at(BERLIN, 2026, 11, 25, 0, 30)) is None


def test_an_evening_list_is_not_sent_on_the_date_after():
    reach = Reach(person="a", zone=BERLIN, list_at="22:00")
    assert list_due(reach, at(BERLIN, 2026, 11, 24, 23, 30)) == (date(2026, 11, 24), True)
    assert list_due(reach, at(BERLIN, 2026, 11, 25, 1)) is None


def test_whoever_wants_none_has_none_due():
    assert list_due(Reach(person="a"), NOON) is None


@pytest.mark.parametrize(
    ("hours", "now", "until"),
    [
        (("22:00", "06:30"), at(BERLIN, 2026, 11, 24, 21, 59), None),
        (("22:00", "06:30"), at(BERLIN, 2026, 11, 24, 22), at(BERLIN, 2026, 11, 25, 6, 30)),
        (("22:00", "06:30"), at(BERLIN, 2026, 11, 25, 3), at(BERLIN, 2026, 11, 25, 6, 30)),
        (("22:00", "06:30"), at(BERLIN, 2026, 11, 25, 6, 30), None),
        (("13:00", "15:00"), at(BERLIN, 2026, 11, 24, 14), at(BERLIN, 2026, 11, 24, 15)),
        (("13:00", "15:00"), at(BERLIN, 2026, 11, 24, 15), None),
        # The night the clock goes on: quiet hours end where the jump ends.
        (("22:00", "02:30"), at(BERLIN, 2026, 3, 29, 1, 59), at(BERLIN, 2026, 3, 29, 3)),
        ((None, None), at(BERLIN, 2026, 11, 25, 3), None),
        (("06:00", "06:00"), at(BERLIN, 2026, 11, 25, 6), None),
    ],
)
def test_quiet_hours_hold_over_midnight_and_end(hours, now, until):
    assert quiet_until(Reach(person="a", zone=BERLIN, quiet_from=hours[0], quiet_to=hours[1]), now) == until


def test_it_is_tried_after_1_5_15_60_minutes_then_each_hour_for_a_day():
    now, tries, waits = NOON, 0, []
    while (again := next_try(NOON, tries, now, None)) is not None:
        waits.append(int((again - now) / MINUTE))
        now, tries = again, tries + 1
    assert waits[:5] == [1, 5, 15, 60, 60]
    assert set(waits[4:]) == {60}
    assert DAY - HOUR < now - NOON <= GIVEN_UP_AFTER


def test_who_asks_for_more_time_gets_it_and_a_day_at_most():
    assert next_try(NOON, 0, NOON, 600.0) == NOON + 10 * MINUTE
    assert next_try(NOON, 3, NOON, 5.0) == NOON + 60 * MINUTE
    assert next_try(NOON, 0, NOON, 1e12) == NOON + DAY
    assert next_try(NOON, 0, NOON + MINUTE, 1e12) is None
