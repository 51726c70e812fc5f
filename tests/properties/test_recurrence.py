"""On which civil dates a standing job is due, against the rules of a calendar library, and what history does to it."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from uuid import UUID

import msgspec
from dateutil.rrule import DAILY, WEEKLY, rrule
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.fold import Facts, Seen
from evenwater.domain.read_entries import read_entry
from evenwater.domain.rounds.done import Done
from evenwater.domain.rounds.when.recurrence import calendar_dates, missed_date, repeated_dates
from evenwater.domain.rounds.when.season_days import in_season, into_season, season_begin
from evenwater.domain.standing_job import AfterDone, ByRule, EveryDay, OnWeekdays, Season, StandingJob

DAY = timedelta(days=1)
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")

dates = st.dates(date(1975, 1, 5), date(2037, 12, 20))
days_of_year = st.dates(date(2028, 1, 1), date(2028, 12, 31)).map("{:%m-%d}".format)
seasons = st.builds(Season, days_of_year, days_of_year)
weekday_sets = st.sets(st.sampled_from(range(7)), min_size=1)
rules = st.sampled_from(
    ["FREQ=MONTHLY;BYDAY=1SA", "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU", "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29", "FREQ=DAILY"]
).map(ByRule)
calendars = st.just(EveryDay()) | weekday_sets.map(lambda days: OnWeekdays(tuple(WEEKDAYS[n] for n in days))) | rules


def job(recur: object, starts_on: date | None = None, season: Season | None = None) -> StandingJob:
    return StandingJob(id="sweep", pond="main", recur=recur, starts_on=starts_on, season=season)


def answer(number: int, kind: str, on: date, due_on: date) -> Seen:
    at = datetime.combine(on, time(12), UTC)
    one, stamp = str(UUID(int=number)), at.isoformat()
    entry = {"id": one, "v": 1, "pond": "main", "kind": kind, "device": one, "author": one, "zone": "UTC"}
    entry |= {"happened_at": stamp, "recorded_at": stamp, "local_date": str(on)}
    entry |= {"standing_job": "sweep", "due_on": str(due_on), "slot": "day"}
    entry |= {"reason": "rain"} if kind == "not_done" else {}
    return Seen(read_entry(msgspec.json.encode(entry)), number, at, on)


@st.composite
def answers(draw: st.DrawFn, today: date) -> list[Seen]:
    """Ticks and "not done" of the last weeks, early, late and for dates nobody asked for."""
    log = []
    for number in range(1, draw(st.integers(0, 6)) + 1):
        on = today - draw(st.integers(0, 40)) * DAY
        due_on = on + draw(st.integers(-20, 20)) * DAY
        log.append(answer(number, draw(st.sampled_from(["tick", "not_done"])), on, due_on))
    return sorted(log, key=lambda one: one.order)


def history(log: list[Seen]):
    return Done(Facts(log)).history(job(EveryDay()), "day")


def as_dates(rule: rrule) -> list[date]:
    return [one.date() for one in rule]


def at_midnight(on: date) -> datetime:
    return datetime.combine(on, time(0))


@given(calendars, dates, st.integers(0, 60), st.none() | dates, st.none() | seasons)
def test_a_calendars_dates_ascend_and_stay_within(recur, first, span, starts_on, season):
    last = first + span * DAY
    found = list(calendar_dates(job(recur, starts_on, season), first, last))
    assert all(one < other for one, other in pairwise(found))
    assert all(first <= on <= last and in_season(season, on) for on in found)
    assert starts_on is None or all(on >= starts_on for on in found)


@given(weekday_sets, dates, st.integers(0, 60), st.none() | dates)
def test_chosen_weekdays_are_a_weekly_rule(days, first, span, starts_on):
    recur = OnWeekdays(tuple(WEEKDAYS[n] for n in sorted(days)))
    last, start = first + span * DAY, max(first, starts_on or first)
    rule = rrule(WEEKLY, byweekday=sorted(days), dtstart=at_midnight(start), until=at_midnight(last))
    assert list(calendar_dates(job(recur, starts_on), first, last)) == as_dates(rule)


@given(weekday_sets, dates, st.none() | dates)
def test_what_was_missed_is_the_weekly_rules_last_date_before_today(days, today, starts_on):
    recur = OnWeekdays(tuple(WEEKDAYS[n] for n in sorted(days)))
    begins = max(starts_on or date.min, today - 30 * DAY)
    before = rrule(WEEKLY, byweekday=sorted(days), dtstart=at_midnight(begins)).before(at_midnight(today))
    falls_today = today.weekday() in days and (starts_on is None or starts_on <= today)
    recent = before and before.date() >= today - 7 * DAY and not falls_today
    assert missed_date(job(recur, starts_on), history([]), today) == (before.date() if recent else None)


@given(calendars, dates, st.none() | seasons, st.data())
def test_what_is_missed_waits_once_and_not_when_it_was_answered_or_done_since(recur, today, season, data):
    log = data.draw(answers(today))
    missed = missed_date(job(recur, None, season), history(log), today)
    if missed is not None:
        assert missed < today and in_season(season, missed) and in_season(season, today)
        assert not any(one.entry.due_on == missed for one in log)
        assert not any(missed <= one.on < today for one in log if one.entry.__struct_config__.tag == "tick")
        assert list(calendar_dates(job(recur), missed + DAY, today)) == [
            on for on in calendar_dates(job(recur), missed + DAY, today) if not in_season(season, on)
        ]


@given(st.integers(1, 400), dates, st.integers(-500, 60), st.integers(0, 60))
def test_so_many_days_after_done_is_a_daily_rule_with_that_interval(days, today, done_before, span):
    done_on, last = today + done_before * DAY, today + span * DAY
    due = done_on + days * DAY
    start = max(due, today)
    rule = as_dates(rrule(DAILY, interval=days, dtstart=at_midnight(start), until=at_midnight(last)))
    if due < today:  # overdue: once with its own date, then as if it were done today
        rest = rrule(DAILY, interval=days, dtstart=at_midnight(today + days * DAY), until=at_midnight(last))
        rule = [due, *as_dates(rest)]
    assert repeated_dates(job(AfterDone(days)), history([]), days, due, today, last) == rule


@given(st.integers(1, 60), dates, st.integers(0, 60), st.none() | dates, st.none() | seasons, st.data())
def test_a_repeating_jobs_dates_ascend_once_each_with_one_overdue_at_most(days, today, span, starts_on, season, data):
    done = history(data.draw(answers(today)))
    first_due = done.counts_from and done.counts_from + days * DAY
    found = repeated_dates(job(AfterDone(days), starts_on, season), done, days, first_due, today, today + span * DAY)
    assert all(one < other for one, other in pairwise(found))
    assert sum(on < today for on in found) <= 1
    assert all(in_season(season, on) or (on.month, on.day) == (3, 1) for on in found)
    assert all(on >= starts_on for on in found if starts_on is not None)


@given(seasons, dates, dates)
def test_a_season_begins_on_or_before_a_date_and_within_a_year(season, on, today):
    begins = season_begin(season, on)
    assert begins <= on < begins + 367 * DAY
    moved = into_season(season, on, today)
    assert moved >= on
    assert in_season(season, moved) or (season.begins, season.ends) == ("02-29", "02-29")


def test_what_was_left_undone_in_last_years_season_begins_anew_with_this_one():
    summer = Season("04-01", "10-31")
    done_on, today = date(2025, 7, 1), date(2026, 4, 20)
    found = repeated_dates(job(AfterDone(14), season=summer), history([]), 14, done_on + 14 * DAY, today, today)
    assert found == [date(2026, 4, 1)]


def test_a_season_over_new_year_counts_both_ends():
    winter = Season("11-15", "03-01")
    inside = [date(2026, 11, 15), date(2026, 12, 31), date(2027, 1, 1), date(2027, 3, 1)]
    assert all(in_season(winter, on) for on in inside)
    assert not in_season(winter, date(2026, 11, 14)) and not in_season(winter, date(2027, 3, 2))
    assert season_begin(winter, date(2027, 2, 1)) == date(2026, 11, 15)


def test_done_early_counts_for_its_day_and_the_next_comes_after_that():
    today = date(2026, 11, 3)
    early = answer(1, "tick", today - DAY, today + 8 * DAY)
    found = repeated_dates(job(AfterDone(9)), history([early]), 9, today + 8 * DAY, today, today + 20 * DAY)
    assert found == [today + 8 * DAY, today + 17 * DAY]
