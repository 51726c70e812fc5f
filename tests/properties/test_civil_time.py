"""Windows and moments in every zone of tzdata, ordinary days and the days the clocks jump."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from properties.drawn_entries import ZONES

from evenwater.domain.rounds.when.civil_time import exists, moment, window_on
from evenwater.domain.standing_job import Window

DAY = timedelta(days=1)
APIA, SANTIAGO, LORD_HOWE = ZoneInfo("Pacific/Apia"), ZoneInfo("America/Santiago"), ZoneInfo("Australia/Lord_Howe")
BERLIN, NEW_YORK = ZoneInfo("Europe/Berlin"), ZoneInfo("America/New_York")

dates = st.dates(date(1970, 1, 5), date(2037, 12, 20))
clocks = st.times().map(lambda at: at.replace(second=0, microsecond=0, fold=0))
zones = st.sampled_from(ZONES).map(ZoneInfo)
edges = clocks.map("{:%H:%M}".format) | st.builds(
    "{}{}0{}:{:02}".format,
    st.sampled_from(["dawn", "dusk"]),
    st.sampled_from("+-"),
    st.integers(0, 9),
    st.integers(0, 59),
)


def jumps(zone: ZoneInfo, year: int) -> list[date]:
    """The dates of a year on which the zone's offset changes."""
    days = [date(year, 1, 1) + n * DAY for n in range(366)]
    offsets = [datetime.combine(on, time(0), zone).utcoffset() for on in days]
    return [on for on, (before, after) in zip(days, pairwise(offsets), strict=False) if before != after]


@st.composite
def zone_and_date(draw: st.DrawFn) -> tuple[ZoneInfo, date]:
    """A zone and a date; every other time, if it can, a date near one of the zone's jumps."""
    zone, on = draw(zones), draw(dates)
    if draw(st.booleans()):
        near = jumps(zone, on.year)
        on = draw(st.sampled_from(near)) + draw(st.integers(-1, 2)) * DAY if near else on
    return zone, on


def civil_moments(on: date, zone: ZoneInfo) -> list[datetime]:
    """Every quarter of an hour, in UTC, at which the zone's calendar shows that date: by trial, not by rule."""
    start = datetime.combine(on, time(0), UTC) - DAY
    trials = (start + timedelta(minutes=15 * n) for n in range(3 * 96))
    return [at for at in trials if at.astimezone(zone).date() == on]


@given(zone_and_date(), edges, edges)
def test_every_window_closes_after_it_opens_and_within_a_day_or_so(zone_on, opens, closes):
    zone, on = zone_on
    opens_at, closes_at = window_on(Window("dusk", opens, closes), on, zone, None)
    assert opens_at < closes_at
    # By the clock, a day and the hours that may be shown twice; where a whole date is skipped, one day more.
    by_clock = opens[0].isdigit() and closes[0].isdigit() and exists(on, zone) and exists(on + DAY, zone)
    assert closes_at - opens_at <= (timedelta(hours=27) if by_clock else 2 * DAY)
    assert opens_at.utcoffset() == closes_at.utcoffset() == timedelta(0)


@given(zone_and_date(), clocks, clocks)
def test_a_window_within_a_day_lasts_as_long_as_the_clock_on_the_wall_says(zone_on, one, other):
    zone, on = zone_on
    first, last = sorted((one, other))
    opens_at, closes_at = window_on(Window("dusk", f"{first:%H:%M}", f"{last:%H:%M}"), on, zone, None)
    shown = datetime.combine(on, last) - datetime.combine(on, first)
    ordinary = datetime.combine(on, time(0), zone).utcoffset() == datetime.combine(on + DAY, time(0), zone).utcoffset()
    if ordinary and shown:
        assert closes_at - opens_at == shown
    elif shown > timedelta(hours=3) and exists(on, zone):
        assert shown - timedelta(hours=3) <= closes_at - opens_at <= shown + timedelta(hours=3)


@given(zone_and_date(), clocks, st.booleans())
def test_a_civil_time_comes_back_as_itself_or_as_the_rule_says(zone_on, at, second):
    zone, on = zone_on
    civil = datetime.combine(on, at)
    found = moment(on, at, zone, second=second)
    back = found.astimezone(zone)
    before_jump, after_jump = (civil.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    if back.replace(tzinfo=None, fold=0) == civil:
        assert back.fold == int(second and before_jump != after_jump)
    else:
        # The clock skips it: read with the offset before the jump, it shows later by what was skipped.
        assert after_jump > before_jump
        assert found == (civil - before_jump).replace(tzinfo=UTC)
        assert back.replace(tzinfo=None) == civil + (after_jump - before_jump)


@given(zone_and_date())
def test_a_date_exists_when_some_moment_shows_it(zone_on):
    zone, on = zone_on
    assert exists(on, zone) == bool(civil_moments(on, zone))


@given(zone_and_date(), st.integers(1, 20), clocks)
def test_days_of_any_length_are_one_day_each(zone_on, span, at):
    zone, first = zone_on
    found = [first + n * DAY for n in range(span + 1)]
    opens = [moment(on, at, zone) for on in found if exists(on, zone)]
    assert all(one < other for one, other in pairwise(opens))


@pytest.mark.parametrize("name", ZONES)
def test_in_every_zone_a_window_opens_once_on_each_date_about_a_jump(name):
    zone, window = ZoneInfo(name), Window("midday", "00:30", "23:30")
    for jump in (on for year in (2025, 2026) for on in jumps(zone, year)):
        days = [on for on in (jump + n * DAY for n in range(-2, 4)) if exists(on, zone)]
        found = [window_on(window, on, zone, None) for on in days]
        # Where the last hour of a day is skipped, its end is the next day's beginning.
        assert all(one[1] <= other[0] for one, other in pairwise(found))
        assert [opens_at.astimezone(zone).date() for opens_at, _ in found] == days
        assert all(timedelta(hours=20) <= closes_at - opens_at <= timedelta(hours=26) for opens_at, closes_at in found)


@pytest.mark.parametrize(
    ("zone", "on", "hours"),
    [(BERLIN, date(2026, 3, 29), 23), (BERLIN, date(2026, 10, 25), 25), (LORD_HOWE, date(2026, 10, 4), 23.5)],
)
def test_a_day_may_have_other_than_24_hours(zone, on, hours):
    length = moment(on + DAY, time(0), zone) - moment(on, time(0), zone)
    assert length == timedelta(hours=hours)


def test_an_hour_shown_twice_opens_at_the_first_and_closes_at_the_second():
    opens_at, closes_at = window_on(Window("bedtime", "01:15", "01:45"), date(2026, 11, 1), NEW_YORK, None)
    assert opens_at == datetime(2026, 11, 1, 5, 15, tzinfo=UTC)
    assert closes_at == datetime(2026, 11, 1, 6, 45, tzinfo=UTC)


def test_a_window_inside_the_hour_that_is_skipped_is_as_long_as_ever():
    opens_at, closes_at = window_on(Window("bedtime", "02:15", "02:45"), date(2026, 3, 29), BERLIN, None)
    assert (opens_at, closes_at) == (
        datetime(2026, 3, 29, 1, 15, tzinfo=UTC),
        datetime(2026, 3, 29, 1, 45, tzinfo=UTC),
    )


def test_lord_howe_shifts_by_half_an_hour():
    opens_at, closes_at = window_on(Window("morning", "01:30", "03:00"), date(2026, 10, 4), LORD_HOWE, None)
    assert closes_at - opens_at == timedelta(hours=1)


def test_apia_has_no_30_december_2011_and_the_night_before_it_ends_on_the_31st():
    assert not exists(date(2011, 12, 30), APIA)
    assert exists(date(2011, 12, 29), APIA) and exists(date(2011, 12, 31), APIA)
    opens_at, closes_at = window_on(Window("bedtime", "22:00", "06:00"), date(2011, 12, 29), APIA, None)
    assert closes_at - opens_at == timedelta(hours=8)
    assert closes_at.astimezone(APIA).date() == date(2011, 12, 31)


def test_santiago_jumps_at_midnight_and_the_day_still_begins():
    jump = date(2026, 9, 6)
    assert exists(jump, SANTIAGO)
    assert moment(jump, time(0), SANTIAGO).astimezone(SANTIAGO) == datetime(2026, 9, 6, 1, 0, tzinfo=SANTIAGO)
    opens_at, closes_at = window_on(Window("bedtime", "23:30", "00:30"), jump - DAY, SANTIAGO, None)
    assert closes_at - opens_at == timedelta(hours=1)
