"""Recurrence rules: as RFC 5545 prints them, as the library takes them, and none that hangs or never falls."""

import json
from datetime import date, datetime, time, timedelta
from itertools import islice
from pathlib import Path
from time import perf_counter

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.calendar_rule import ANCHOR, EARLIEST_START, check_rule, dates_of
from evenwater.domain.errors import DomainError

PRINTED = json.loads((Path(__file__).parents[1] / "reference" / "rounds" / "rfc5545_examples.json").read_bytes())
MANY_YEARS = timedelta(days=3 * 366)
# A rule is looked at when it is set: a slow one is a second, a hanging one is for ever.
SOON_S = 5.0


@pytest.mark.parametrize("case", PRINTED["cases"], ids=lambda case: f"{case['starts_on']} {case['rule']}")
def test_the_examples_of_rfc_5545_fall_where_it_says(case):
    printed = [date.fromisoformat(on) for on in case["dates"]]
    starts_on = date.fromisoformat(case["starts_on"])
    check_rule(case["rule"], starts_on)
    until = printed[-1] + MANY_YEARS if case["ends"] else printed[-1]
    assert list(dates_of(case["rule"], starts_on, starts_on, until)) == printed


@pytest.mark.parametrize("rule", PRINTED["finer_than_a_day"])
def test_what_falls_more_than_once_a_day_is_refused(rule):
    with pytest.raises(DomainError) as refused:
        check_rule(rule)
    assert refused.value.right.startswith("FREQ=DAILY or slower")
    assert dates_of(rule, ANCHOR, ANCHOR, ANCHOR + MANY_YEARS) == ()


@st.composite
def rules(draw: st.DrawFn) -> str:
    """Rules that RFC 5545 allows, as odd as they come."""
    frequency = draw(st.sampled_from(["DAILY", "WEEKLY", "MONTHLY", "YEARLY"]))
    parts = [f"FREQ={frequency}"]
    days = draw(st.lists(st.sampled_from(["MO", "TU", "WE", "TH", "FR", "SA", "SU"]), max_size=3, unique=True))
    counted = frequency in ("MONTHLY", "YEARLY") and draw(st.booleans())
    lists = {
        "BYDAY": [f"{draw(st.sampled_from([-2, -1, 1, 2, 5]))}{day}" if counted else day for day in days],
        "BYMONTH": draw(st.lists(st.integers(1, 12), max_size=3, unique=True)),
    }
    if frequency != "WEEKLY":
        month_days = st.integers(1, 31) | st.integers(-31, -1)
        lists["BYMONTHDAY"] = draw(st.lists(month_days, max_size=3, unique=True))
    by = [f"{name}={','.join(map(str, found))}" for name, found in lists.items() if found]
    if by and draw(st.booleans()):
        by.append(f"BYSETPOS={draw(st.sampled_from([-2, -1, 1, 2, 3]))}")
    parts += by + draw(st.lists(st.sampled_from(["WKST=SU"]), max_size=1))
    parts += draw(st.lists(st.integers(1, 5).map("INTERVAL={}".format), max_size=1))
    parts += draw(st.lists(st.integers(1, 30).map("COUNT={}".format), max_size=1))
    return ";".join(parts)


@given(rules(), st.dates(date(1999, 1, 1), date(2040, 12, 31)), st.integers(0, 800))
def test_a_rule_falls_where_the_library_says_it_does(rule, starts_on, days):
    """Followed a second time over, 2000 years of dates on from the start: the calendar is the same there."""
    first, last = starts_on + timedelta(days=days // 2), starts_on + timedelta(days=days)
    far = rrulestr(rule, dtstart=datetime.combine(starts_on.replace(year=starts_on.year + 7600), time()))
    until = datetime.combine(last.replace(year=last.year + 7600), time())
    found = []
    for at in far:
        if at > until:
            break
        found.append(at.date().replace(year=at.year - 7600))
    assert list(dates_of(rule, starts_on, first, last)) == [on for on in found if on >= first]


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=WEEKLY;BYDAY=MO;BYMONTH=2;BYSETPOS=5",
        "FREQ=DAILY;BYMONTH=2;BYSETPOS=2",
        "FREQ=MONTHLY;BYMONTH=2,4,6,9,11;BYMONTHDAY=31",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=YEARLY;BYWEEKNO=20;BYMONTH=12",
        "FREQ=YEARLY;BYDAY=53MO;BYMONTH=6",
        "FREQ=YEARLY;BYDAY=53MO;BYYEARDAY=1",
        "FREQ=MONTHLY;BYDAY=6SU",
    ],
)
def test_a_rule_that_never_falls_is_refused_and_takes_no_time(rule):
    begun = perf_counter()
    with pytest.raises(DomainError, match="falls on no date"):
        check_rule(rule)
    assert dates_of(rule, date(2020, 1, 1), date(2026, 1, 1), date(2027, 1, 1)) == ()
    assert perf_counter() - begun < SOON_S


def test_a_rule_that_never_falls_from_its_start_is_refused_where_the_start_is_known():
    odd_years = "FREQ=YEARLY;INTERVAL=2;BYMONTH=2;BYMONTHDAY=29"
    check_rule(odd_years)
    check_rule(odd_years, date(2024, 1, 1))
    with pytest.raises(DomainError, match="falls on no date from 2025 to 2035"):
        check_rule(odd_years, date(2025, 1, 1))


def test_the_last_weekday_of_february_is_the_leap_day_where_that_is_one():
    rule = "FREQ=YEARLY;BYMONTH=2;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1"
    check_rule(rule)
    found = dates_of(rule, date(2026, 1, 1), date(2026, 1, 1), date(2032, 12, 31))
    assert found == (
        date(2026, 2, 27),
        date(2027, 2, 26),
        date(2028, 2, 29),
        date(2029, 2, 28),
        date(2030, 2, 28),
        date(2031, 2, 28),
        date(2032, 2, 27),
    )


def test_a_leap_day_comes_every_four_years_and_not_in_1900():
    rule = "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=-1;BYYEARDAY=60"
    found = dates_of(rule, date(2024, 1, 1), date(2024, 1, 1), date(2110, 12, 31))
    assert found[:3] == (date(2024, 2, 29), date(2028, 2, 29), date(2032, 2, 29))
    assert date(2096, 2, 29) in found and date(2104, 2, 29) in found
    assert not any(on.year == 2100 for on in found)


@pytest.mark.parametrize(
    ("rule", "right"),
    [
        ("", "FREQ=WEEKLY"),
        ("every saturday", "FREQ=WEEKLY"),
        ("FREQ=FORTNIGHTLY", "DAILY"),
        ("BYDAY=SA", "DAILY"),
        ("FREQ=DAILY;FREQ=WEEKLY", "FREQ=WEEKLY"),
        ("FREQ=DAILY;INTERVAL=0", "whole number from 1"),
        ("FREQ=DAILY;INTERVAL=9999999999", "whole number from 1"),
        ("FREQ=DAILY;INTERVAL=٣", "whole number from 1"),
        ("FREQ=DAILY;COUNT=0", "whole number from 1"),
        ("FREQ=DAILY;COUNT=3;UNTIL=20271231", "one of them"),
        ("FREQ=DAILY;UNTIL=20271301", "20271231"),
        ("FREQ=DAILY;UNTIL=20271231T000000Z", "20271231"),
        ("FREQ=WEEKLY;BYDAY=XX", "MO"),
        ("FREQ=MONTHLY;BYDAY=0SA", "1SA"),
        ("FREQ=WEEKLY;BYDAY=1SA", "3.3.10"),
        ("FREQ=WEEKLY;BYMONTHDAY=3", "3.3.10"),
        ("FREQ=MONTHLY;BYYEARDAY=3", "3.3.10"),
        ("FREQ=MONTHLY;BYWEEKNO=3", "3.3.10"),
        ("FREQ=MONTHLY;BYSETPOS=1", "3.3.10"),
        ("FREQ=MONTHLY;BYMONTHDAY=0", "1 to 31"),
        ("FREQ=MONTHLY;BYMONTHDAY=32", "whole number from -31 to 31"),
        ("FREQ=YEARLY;BYEASTER=0", "BYMONTH"),
    ],
)
def test_what_is_no_rule_is_answered_with_what_would_be(rule, right):
    with pytest.raises(DomainError) as refused:
        check_rule(rule)
    assert refused.value.where in ("rule", "FREQ", "weekday")
    assert right in refused.value.right
    assert dates_of(rule, None, ANCHOR, ANCHOR + MANY_YEARS) == ()


def test_letters_of_either_size_and_the_calendars_own_prefix_are_read():
    first = ANCHOR, date(2001, 3, 31)
    assert dates_of("rrule:freq=monthly;byday=1sa", None, *first) == dates_of("FREQ=MONTHLY;BYDAY=1SA", None, *first)


def test_without_a_start_a_rule_counts_from_a_monday_that_is_the_first_of_a_year():
    assert (ANCHOR.weekday(), ANCHOR.month, ANCHOR.day) == (0, 1, 1)
    assert dates_of("FREQ=WEEKLY", None, date(2026, 11, 1), date(2026, 11, 14)) == (
        date(2026, 11, 2),
        date(2026, 11, 9),
    )


def test_a_start_long_ago_is_no_reason_to_follow_a_rule_through_the_ages():
    begun = perf_counter()
    found = dates_of("FREQ=DAILY", date.min, date(2026, 1, 1), date(2026, 1, 3))
    assert found == (date(2026, 1, 1), date(2026, 1, 2), date(2026, 1, 3))
    assert perf_counter() - begun < SOON_S
    assert next(iter(dates_of("FREQ=DAILY", date.min, date(1960, 1, 1), date(1971, 1, 1)))) == EARLIEST_START


def test_a_rule_that_has_ended_falls_no_more():
    assert dates_of("FREQ=DAILY;COUNT=2", date(2020, 1, 1), date(2026, 1, 1), date(2026, 12, 31)) == ()
    assert dates_of("FREQ=DAILY;UNTIL=20200101", date(2020, 1, 2), date(2020, 1, 1), date(2026, 12, 31)) == ()
    assert list(islice(dates_of("FREQ=DAILY", date(2030, 1, 1), ANCHOR, date(2029, 12, 31)), 1)) == []
