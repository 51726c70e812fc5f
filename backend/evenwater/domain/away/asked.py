"""What was asked of a helper, job by job, and what became of it.

What was asked of a day is what was shown then: what was open, what was answered, and the bags, which need no test. Of
a day that nobody looked at it is what comes every day.
"""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Literal

from msgspec import Struct

from evenwater.domain.away.hand_over import HandOver
from evenwater.domain.entries import NotDone, Tick
from evenwater.domain.fold import Known, Seen, job_key
from evenwater.domain.rounds.jobs import Day
from evenwater.domain.standing_job import EveryDay, StandingJob

Fate = Literal["done", "not_done", "missed", "open"]
Answers = Mapping[tuple[str, str], Sequence[Seen]]
"""Ticks, and jobs said not to be done, by pond and job."""


class Asked(Struct, frozen=True):
    """A job of one date; `by`: who ticked it, by id. "not_done" was said, with its reason; "open" may yet be done."""

    pond: str
    standing_job: str
    slot: str
    on: date
    title: str
    fate: Fate
    by: tuple[str, ...] = ()


def asked_of(
    hand_over: HandOver, known: Known, shown: Sequence[Day], dates: Sequence[date], facts: Sequence[Seen], now: datetime
) -> list[Asked]:
    """What was asked on each date, in the order it was walked.

    Args:
        hand_over: Whose jobs count.
        known: All that stands.
        shown: The rounds of the dates as people saw them; some may be missing.
        dates: The civil dates to tell of, the last of them today or gone by.
        facts: What was recorded on them.
        now: The moment, aware.
    """
    answers = _answers(facts)
    by_date = {day.date: day for day in shown}
    today, _ = known.civil_date(now)
    found: list[Asked] = []
    for on in dates:
        day = by_date.get(on)
        if day is None:
            found += _every_day(hand_over, known, on, answers, on < today)
        else:
            found += _as_shown(hand_over, day, answers, now)
    return found


def _as_shown(hand_over: HandOver, day: Day, answers: Answers, now: datetime) -> list[Asked]:
    wanted: list[Asked] = []
    for job in day.jobs:
        ticks = answers.get((job.pond, f"{job.standing_job}/{job.due_on.isoformat()}/{job.slot}"), ())
        by_bag = job.shape == "dose" and hand_over.ceiling(job.pond).buffer_g_per_day is not None
        mine = f"{job.pond}/{job.standing_job}" in hand_over.jobs
        # Food that was given stands down in what is shown after: what was answered was asked.
        if mine and (job.state == "open" or by_bag or ticks):
            fate = _fate(ticks, job.closes_at < now)
            wanted.append(Asked(job.pond, job.standing_job, job.slot, day.date, job.name, fate, _by(ticks)))
    return wanted


def _every_day(hand_over: HandOver, known: Known, on: date, answers: Answers, is_past: bool) -> list[Asked]:
    wanted: list[Asked] = []
    for pond in sorted(hand_over.ponds):
        for job in known.standing_jobs(pond, on):
            if f"{pond}/{job.id}" not in hand_over.jobs or not _comes_daily(job):
                continue
            for slot in job.windows:
                ticks = answers.get((pond, f"{job.id}/{on.isoformat()}/{slot}"), ())
                title = job.texts.get(slot, job.text)
                wanted.append(Asked(pond, job.id, slot, on, title, _fate(ticks, is_past), _by(ticks)))
    return wanted


def _comes_daily(job: StandingJob) -> bool:
    return isinstance(job.recur, EveryDay) and job.season is None and not job.only_if


def _answers(facts: Sequence[Seen]) -> dict[tuple[str, str], list[Seen]]:
    found: dict[tuple[str, str], list[Seen]] = {}
    for one in facts:
        if isinstance(one.entry, Tick | NotDone):
            found.setdefault((one.entry.pond, job_key(one.entry)), []).append(one)
    return found


def _fate(answers: Sequence[Seen], is_over: bool) -> Fate:
    if any(isinstance(one.entry, Tick) for one in answers):
        return "done"
    return "not_done" if answers else "missed" if is_over else "open"


def _by(answers: Sequence[Seen]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.entry.author for one in answers if isinstance(one.entry, Tick)))
