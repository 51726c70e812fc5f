"""A calendar holds each window as it is, in every zone and on every date, whatever people call their jobs."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import available_timezones

from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar
from written_log import PERSON, Log

from evenwater.delivery.render.feed import calendar_text, feed_contents
from evenwater.domain.fold import fold
from evenwater.domain.standing_job import StandingJob, Window

ZONES = sorted(zone for zone in available_timezones() if "/" in zone)
CLOCKS = st.times().map(lambda at: f"{at:%H:%M}")
NAMES = st.text(min_size=1, max_size=200)


@settings(max_examples=40)
@given(st.sampled_from(ZONES), st.dates(date(2026, 1, 1), date(2030, 12, 31)), CLOCKS, CLOCKS, NAMES, NAMES)
def test_every_window_stands_in_the_calendar_as_it_is(zone, on, opens, closes, text, place):
    log = Log()
    log.pond(zone=zone)
    job = StandingJob(
        id="cover", pond="main", text=text, place=place, windows={"on": Window("dusk", opens, closes)}, serious=True
    )
    log.job(job)
    now = datetime.combine(on, time(0), UTC)
    plan = log.plan(now)
    contents = feed_contents(plan, fold(log.entries).facts, now, PERSON, "each", "https://pond.example/round")
    written = calendar_text(contents, now)
    assert max(map(len, written.split(b"\r\n"))) <= 75
    events = Calendar.from_ical(written).walk("VEVENT")
    planned = {f"main/{one.id}@{PERSON}": one for day in plan.days for one in day.jobs}
    assert {str(one["UID"]) for one in events} == set(planned)
    for event in events:
        job = planned[str(event["UID"])]
        begins, ends = event.decoded("DTSTART"), event.decoded("DTEND")
        if isinstance(begins, datetime):
            assert (begins, ends) == (job.opens_at.replace(microsecond=0), job.closes_at.replace(microsecond=0))
        else:  # over, and still to be done
            assert job.closes_at < now and ends - begins == timedelta(days=1)
        assert begins < ends
