"""The two weeks before today, each day as it was last shown: what was asked stays, how it was worked out goes."""

import hashlib
from collections.abc import Iterable
from datetime import date, timedelta

import msgspec
from msgspec.structs import replace

from evenwater.domain.rounds.jobs import Day, Job

DAYS_BACK = 14


def days_back(shown: Iterable[Day], today: date) -> tuple[Day, ...]:
    """The rounds of the days before today as people saw them, oldest first; a day nobody looked at is left out.

    Whether a job was done is for whoever looks: the entries say so.

    Args:
        shown: Days as they were shown; of the same date the later one counts.
        today: The civil date at the ponds.
    """
    last = {day.date: day for day in shown if today - timedelta(days=DAYS_BACK) <= day.date < today}
    return tuple(_slim(last[on]) for on in sorted(last))


def _slim(day: Day) -> Day:
    jobs = tuple(_bare(job) for job in day.jobs)
    tag = hashlib.sha256(msgspec.json.encode((jobs, day.minutes, day.load))).hexdigest()[:12]
    return replace(day, tag=tag, jobs=jobs)


def _bare(job: Job) -> Job:
    """A job without what only helps to do it."""
    return replace(
        job,
        cautions=(),
        how=None,
        picture=None,
        tomorrow=None,
        chart=None,
        unrounded_g=None,
        limit_g_24h=None,
        after_done_days=None,
        next_windows=None,
        workings=None,
    )
