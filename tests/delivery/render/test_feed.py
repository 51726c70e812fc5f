"""The calendar: what it says, read back by icalendar; its hours against dateutil; its lines as RFC 5545 wants them."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest
from dateutil import rrule, tz
from icalendar import Calendar, Event
from written_log import NOW, PERSON, Log, starter

from evenwater.delivery.render.feed import Contents, calendar_text, feed_contents
from evenwater.domain.fold import fold
from evenwater.domain.messages import Rings
from evenwater.domain.standing_job import ByRule, OnWeekdays, StandingJob, Window

URL = "https://pond.example/round"
OTHER = str(UUID(int=9))


def contents(log: Log, now: datetime = NOW, rings: Rings = "serious", person: str = PERSON) -> Contents:
    plan = log.plan(now)
    return feed_contents(plan, fold(log.entries).facts, now, person, rings, URL)


def events(log: Log, now: datetime = NOW, **more: str) -> list[Event]:
    text = calendar_text(contents(log, now, **more), now)  # type: ignore[arg-type]
    return Calendar.from_ical(text).walk("VEVENT")


def one_of(log: Log, title: str) -> Event:
    return next(one for one in events(log) if str(one["SUMMARY"]) == title)


def evening(text: str = "Covers on", **more: object) -> StandingJob:
    window = {"on": Window("dusk", "17:30", "18:30")}
    return StandingJob(id="cover", pond="main", text=text, windows=window, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("zone", ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "America/Santiago"])
@pytest.mark.parametrize("start", [date(2026, 3, 6), date(2026, 3, 27), date(2026, 9, 4), date(2026, 10, 2)])
def test_hours_are_those_dateutil_finds_across_clock_changes(zone, start):
    here = tz.gettz(zone)
    now = datetime(start.year, start.month, start.day, 9, tzinfo=here).astimezone(UTC)
    log = Log()
    log.pond(zone=zone)
    log.job(evening(recur=ByRule("FREQ=WEEKLY;BYDAY=FR,SU"), starts_on=start))
    first = datetime(start.year, start.month, start.day, 17, 30, tzinfo=here)
    wanted = rrule.rrule(rrule.WEEKLY, first, byweekday=(4, 6), until=first + timedelta(days=13))
    expected = [one.astimezone(UTC) for one in wanted]
    found = events(log, now)
    assert len(expected) >= 4
    assert [one.decoded("DTSTART") for one in found] == expected
    assert [one.decoded("DTEND") - one.decoded("DTSTART") for one in found] == [timedelta(hours=1)] * len(expected)


def test_an_event_says_how_much_why_where_and_with_what_care():
    log = Log()
    log.pond(volume_l=20_000, capful_g=27, name="The long pond")
    log.job(starter("buffer"))
    log.kh(4.5, NOW - timedelta(hours=1))
    event = events(log)[0]
    plan = log.plan()
    (job,) = [one for one in plan.days[0].jobs if one.standing_job == "buffer"]
    assert str(event["SUMMARY"]).startswith("Buffer: ") and f"{job.amount_g:.0f} g" in str(event["SUMMARY"])
    assert str(event["DESCRIPTION"]).splitlines()[0] == job.reason
    assert "Gloves" in str(event["DESCRIPTION"])
    assert str(event["LOCATION"]) == job.place
    assert str(event["URL"]) == URL
    assert str(event["TRANSP"]) == "TRANSPARENT"


def test_lines_are_short_end_as_they_must_and_break_inside_no_letter():
    log = Log()
    log.pond(name="Der große Teich über dem Fluß ÄÖÜ ½ " * 4)
    log.job(evening(text="Überdachung " * 12, why="Weil es früh dämmert; 魚 " * 8, how="🐟" * 60))
    text = calendar_text(contents(log), NOW)
    lines = text.split(b"\r\n")
    assert lines[-1] == b"" and not any(b"\n" in line or b"\r" in line for line in lines)
    assert any(line.startswith(b" ") for line in lines)
    assert max(map(len, lines)) <= 75
    assert all(line.decode("utf-8") is not None for line in lines)
    (first, *_) = Calendar.from_ical(text).walk("VEVENT")
    assert "Überdachung Überdachung" in str(first["SUMMARY"]) and "🐟" * 60 in str(first["DESCRIPTION"])


def test_what_people_type_breaks_out_of_no_line():
    log = Log()
    log.pond()
    log.job(evening(text="Lids\r\nEND:VEVENT\nBEGIN:VEVENT;,\\ \x00\x1b", place="<b>here</b>\rX:1"))
    text = calendar_text(contents(log), NOW)
    found = Calendar.from_ical(text).walk("VEVENT")
    assert len(found) == 14
    assert str(found[0]["SUMMARY"]).replace("\n", "|").removesuffix(" ") == "Lids|END:VEVENT|BEGIN:VEVENT;,\\"
    assert text.count(b"BEGIN:VEVENT\r\n") == 14 and b"\x00" not in text and b"\x1b" not in text


def test_the_same_plan_is_the_same_to_the_byte_and_uids_are_one_of_each():
    log = Log()
    log.pond()
    log.job(evening())
    log.job(StandingJob(id="look", pond="main", text="Look"))
    later = NOW + timedelta(minutes=7)
    assert calendar_text(contents(log), NOW) == calendar_text(contents(log, later), NOW)
    uids = [str(one["UID"]) for one in events(log)]
    assert len(set(uids)) == len(uids) == 28
    assert uids == [str(one["UID"]) for one in events(log, later)]
    assert all(one.endswith(f"@{PERSON}") for one in uids)


def test_a_uid_stays_while_a_job_becomes_late_and_done():
    log = Log()
    log.pond()
    log.job(evening())
    late_at = NOW.replace(hour=20)
    before, late = events(log)[0], events(log, late_at)[0]
    log.tick("cover", NOW.date(), "on", late_at)
    done = events(log, late_at + timedelta(minutes=1))[0]
    assert str(before["UID"]) == str(late["UID"]) == str(done["UID"])
    assert [str(one["SUMMARY"]) for one in (before, late, done)] == ["Covers on", "Late: Covers on", "Done: Covers on"]
    assert late.decoded("DTSTART") == NOW.date() and late.decoded("DTEND") == NOW.date() + timedelta(days=1)
    assert done.decoded("DTSTART") == before.decoded("DTSTART")
    assert "late since 18:30" in str(late["DESCRIPTION"])


def test_a_job_done_days_after_its_window_stands_on_the_day_it_was_done():
    log = Log()
    log.pond()
    due = NOW.date() - timedelta(days=2)
    log.job(evening(recur=OnWeekdays(("sun",)), starts_on=due))
    (late,) = [one for one in events(log) if "Late" in str(one["SUMMARY"])]
    assert due.weekday() == 6 and late.decoded("DTSTART") == NOW.date()
    log.tick("cover", due, "on", NOW)
    (done,) = [one for one in events(log, NOW + timedelta(minutes=1)) if "Done" in str(one["SUMMARY"])]
    assert str(done["UID"]) == str(late["UID"]) and done.decoded("DTSTART") == NOW.date()


def test_serious_jobs_ring_when_their_window_opens_until_they_are_done():
    log = Log()
    log.pond()
    log.job(evening(serious=True))
    log.job(StandingJob(id="look", pond="main", text="Look"))
    ring = {str(one["SUMMARY"]) for one in events(log) if one.walk("VALARM")}
    assert ring == {"Covers on"}
    assert {len(one.walk("VALARM")) for one in events(log, rings="each")} == {1}
    assert {len(one.walk("VALARM")) for one in events(log, rings="none")} == {0}
    (alarm,) = one_of(log, "Covers on").walk("VALARM")
    assert (str(alarm["ACTION"]), alarm.decoded("TRIGGER")) == ("DISPLAY", timedelta(0))
    log.tick("cover", NOW.date(), "on", NOW)
    assert one_of(log, "Done: Covers on").walk("VALARM") == []


def test_a_job_of_somebody_else_stands_there_and_rings_with_them_alone():
    log = Log()
    log.pond()
    log.job(evening(serious=True, who=(OTHER,)))
    assert [len(one.walk("VALARM")) for one in events(log)] == [0] * 14
    assert [len(one.walk("VALARM")) for one in events(log, person=OTHER)] == [1] * 14


def test_what_is_held_back_says_so_and_why_and_gives_no_amount():
    log = Log()
    log.pond(capful_g=27)  # no volume: nothing may be given
    log.job(starter("buffer"))
    event = events(log)[0]
    assert str(event["SUMMARY"]) == "Held back: Buffer"
    assert "volume is not known" in str(event["DESCRIPTION"])
    assert event.walk("VALARM") == []


def test_a_household_without_a_pond_has_an_empty_calendar():
    text = calendar_text(contents(Log()), NOW)
    assert Calendar.from_ical(text).walk("VEVENT") == []
