"""The jobs as a calendar (RFC 5545): an event each, as long as its window, with how much and why.

- Times stand in UTC: a window is two moments, and a moment is right on days the clocks change too.
- An event keeps its UID from the day it first shows until its day is over, whatever becomes of the job.
- What was stood down is not in it. A job whose window is over and that still wants doing, or was done after it, stands
  on its day without an hour.
- Nothing here depends on when it is asked for, so that what has not changed is the same to the byte.
"""

import hashlib
from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import Any

import msgspec
from icalendar import Alarm, Calendar, Event
from msgspec import Struct
from msgspec.structs import replace

from evenwater.delivery.render.job_lines import held_source, much_words, when_words, whose_words
from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.messages import Rings
from evenwater.domain.rounds.jobs import Job, Plan
from evenwater.domain.rounds.today import JobNow, jobs_on, round_now

ASK_AGAIN_AFTER = timedelta(hours=1)
_LAYOUT = 1
"""Another number when the same jobs are written in another way."""
_STATES = {
    "late": "Late: ",
    "done": "Done: ",
    "not_done": "Not done: ",
    "lapsed": "Missed: ",
    "held_back": "Held back: ",
    "not_known": "Measure first: ",
}
_WITHOUT_CONTROL = {code: None for code in (*range(0x20), 0x7F) if code != 0x0A}


class FeedEvent(Struct, frozen=True, kw_only=True):
    """One job in a calendar: from one moment to another, or on a date without an hour."""

    uid: str
    begins: datetime | date
    ends: datetime | date
    title: str
    place: str
    text: str
    rings: bool


class Contents(Struct, frozen=True, kw_only=True):
    """All a calendar says, in the order of the walk; `url`: where its app opens."""

    name: str
    url: str
    events: tuple[FeedEvent, ...]
    layout: int = _LAYOUT

    @property
    def sha256(self) -> bytes:
        """Another one whenever anything in it is another."""
        return hashlib.sha256(msgspec.json.encode(self)).digest()


def feed_contents(plan: Plan, facts: Sequence[Seen], now: datetime, person_id: str, rings: Rings, url: str) -> Contents:
    """What a person's calendar holds at `now`: today as it stands, the days to come as planned.

    A job that is for others is in it, but rings with them.
    """
    today = now.astimezone(zone_named(plan.zone)).date()
    names = [pond.name for pond in plan.ponds]
    events: dict[str, FeedEvent] = {}
    for on in (day.date for day in plan.days):
        for job, stands in _jobs_of(plan, facts, now, on, today):
            if stands.state != "stood_down":
                event = _event(plan, job, stands, on, now, person_id, rings)
                events.setdefault(event.uid, event)
    return Contents(name=" and ".join(names) or "evenwater", url=url, events=tuple(events.values()))


def calendar_text(contents: Contents, changed_at: datetime) -> bytes:
    """The calendar as it is sent; `changed_at`: since when it holds just this."""
    calendar: Any = Calendar()
    calendar.add("prodid", "-//evenwater//rounds//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    for name in ("name", "x-wr-calname"):
        calendar.add(name, _plain(contents.name))
    calendar.add("refresh-interval", ASK_AGAIN_AFTER, parameters={"value": "DURATION"})
    calendar.add("x-published-ttl", "PT1H")
    for one in contents.events:
        calendar.add_component(_component(one, contents.url, changed_at))
    text: bytes = calendar.to_ical()
    return text


def _jobs_of(plan: Plan, facts: Sequence[Seen], now: datetime, on: date, today: date) -> Iterator[tuple[Job, JobNow]]:
    jobs = jobs_on(plan.days, facts, plan.log_seq, on)
    stands = round_now(plan.days, facts, plan.log_seq, plan.good_until, now, on)
    for job, one in zip(jobs, stands, strict=True):  # the plan was made just now: all of its jobs stand
        yield job, one if on <= today else _as_planned(job, one)


def _as_planned(job: Job, stands: JobNow) -> JobNow:
    """What may be given this minute says nothing about that evening."""
    if stands.answers or job.state != "open":
        return stands
    return replace(stands, state="upcoming", amount_g=job.amount_g, reason=job.reason)


def _event(plan: Plan, job: Job, stands: JobNow, on: date, now: datetime, person_id: str, rings: Rings) -> FeedEvent:
    pond = next(one for one in plan.ponds if one.id == job.pond)
    zone = zone_named(plan.zone)
    much = much_words(job, stands, pond) if stands.state in ("upcoming", "due", "late") else ""
    wanted = stands.state in ("upcoming", "due")
    # A window that closed on an earlier day, or that is over with the work still to do, says nothing about today.
    by_day = stands.state == "late" or job.closes_at.astimezone(zone).date() < on
    where = job.place if len(plan.ponds) == 1 else f"{job.place}, {pond.name}"
    told = [
        when_words(job, stands, zone, now) if stands.state == "late" else "",
        stands.reason,
        held_source(job, stands),
        whose_words(job, plan.person_names),
        *((job.how or "", *job.cautions) if stands.state in ("upcoming", "due", "late") else ()),
    ]
    title = f"{_STATES.get(stands.state, '')}{job.text}{f': {much}' if much else ''}"
    return FeedEvent(
        uid=f"{job.pond}/{job.id}@{person_id}",
        begins=on if by_day else job.opens_at,
        ends=on + timedelta(days=1) if by_day else job.closes_at,
        title=title,
        place=where,
        text="\n".join(filter(None, told)),
        rings=wanted and _rings_for(job, person_id, rings),
    )


def _rings_for(job: Job, person_id: str, rings: Rings) -> bool:
    if rings == "none" or (job.who and person_id not in job.who):
        return False
    return rings == "each" or job.serious


def _component(one: FeedEvent, url: str, changed_at: datetime) -> Any:
    event: Any = Event()
    event.add("uid", one.uid)
    event.add("dtstamp", changed_at)
    event.add("last-modified", changed_at)
    event.add("dtstart", one.begins)
    event.add("dtend", one.ends)
    event.add("summary", _plain(one.title))
    event.add("location", _plain(one.place))
    event.add("description", _plain(one.text))
    event.add("url", url)
    event.add("transp", "TRANSPARENT")  # it takes nobody's afternoon
    if one.rings:
        alarm: Any = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("trigger", timedelta(0))
        alarm.add("description", _plain(one.title))
        event.add_component(alarm)
    return event


def _plain(text: str) -> str:
    """Without the characters a calendar may not hold."""
    return text.replace("\r\n", "\n").replace("\r", "\n").translate(_WITHOUT_CONTROL)
