"""What a keeper reads on coming home: what was done, missed, measured, used, what was wrong and what changed.

What was asked of a day is what was shown then. Of a day that nobody looked at it is what comes every day.
"""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.away.hand_over import HandOver
from evenwater.domain.away.told_by import MeasuredLine, Said, changes, measured, notes, photos_of, troubles
from evenwater.domain.entries import NotDone, Tick, WaterChange, zone_named
from evenwater.domain.fold import Known, Seen, buffer_doses, feeds, job_key
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.jobs import Day
from evenwater.domain.standing_job import EveryDay, StandingJob

Stage = Literal["unset", "called_off", "to_come", "runs", "over"]


class DoneLine(Struct, frozen=True, kw_only=True):
    """One job over all the days: how often it was asked, how often done, by whom, on which dates it was missed."""

    pond: str
    title: str
    asked: int
    done: int
    by: tuple[str, ...] = ()
    missed: tuple[date, ...] = ()


class DayLine(Struct, frozen=True, kw_only=True):
    """One date: how many jobs were asked and done, and which were missed."""

    on: date
    asked: int
    done: int
    missed: tuple[str, ...] = ()


class Spent(Struct, frozen=True, kw_only=True):
    """What one pond was given: food and buffer [g], and the most that might have been; water changed [L]."""

    pond: str
    feed_g: float
    buffer_g: float
    feed_most_g: float | None = None
    buffer_most_g: float | None = None
    water_l: float = 0.0


class ComingHome(Struct, frozen=True, kw_only=True):
    """One hand-over, told in one page. `until`: the last date counted, None before it began."""

    hand_over: str
    name: str
    begins_on: date | None
    ends_on: date | None
    until: date | None
    stage: Stage
    helper_names: tuple[str, ...]
    days: tuple[DayLine, ...] = ()
    jobs: tuple[DoneLine, ...] = ()
    not_done: tuple[Said, ...] = ()
    measured: tuple[MeasuredLine, ...] = ()
    spent: tuple[Spent, ...] = ()
    trouble: tuple[Said, ...] = ()
    notes: tuple[Said, ...] = ()
    changed: tuple[Said, ...] = ()
    photos: tuple[str, ...] = ()


class Asked(Struct, frozen=True):
    """A job that was asked on a date; `key` as in `job_key`."""

    pond: str
    key: str
    on: date
    title: str
    closes_at: datetime | None = None


def coming_home(
    hand_over: HandOver, known: Known, shown: Sequence[Day], names: Mapping[str, str], now: datetime
) -> ComingHome:
    """All that stands of the days of a hand-over, up to now.

    Args:
        hand_over: As it is set.
        known: All that stands.
        shown: The rounds of its days as people saw them; some may be missing.
        names: Of keepers and helpers, by id.
        now: The moment, aware.
    """
    ponds = {one.id: one for one in known.ponds(now.date())}
    zone = zone_named(ponds[hand_over.pond].zone if hand_over.pond in ponds else "UTC")
    today = now.astimezone(zone).date()
    told = ComingHome(
        hand_over=hand_over.id,
        name=hand_over.name,
        begins_on=hand_over.begins_on,
        ends_on=hand_over.ends_on,
        until=None,
        stage=_stage(hand_over, today),
        helper_names=tuple(one.name for one in hand_over.helpers),
    )
    dates = _dates(hand_over, today)
    if not dates:
        return told
    facts = [one for one in known.facts if dates[0] <= one.on <= dates[-1] and one.entry.pond in ponds]
    asked = _asked(hand_over, known, shown, dates)
    over = [one for one in asked if (one.closes_at < now if one.closes_at else one.on < today)]
    done = _answers(facts, Tick)
    changed_settings = [one for one in known.settings if dates[0] <= one.on <= dates[-1]]
    titles = {one.id: one.text for pond in ponds for one in known.standing_jobs(pond, dates[-1])}
    return replace(
        told,
        until=dates[-1],
        days=tuple(_day(on, asked, done, over) for on in dates),
        jobs=_jobs(asked, done, names, over),
        not_done=_not_done(facts, titles, names),
        measured=measured(facts, ponds),
        spent=tuple(_spent(hand_over, pond, facts, len(dates)) for pond in ponds.values()),
        trouble=troubles(facts, names),
        notes=notes(facts, names),
        changed=changes(facts, changed_settings, ponds, titles, names),
        photos=photos_of(facts),
    )


def _stage(hand_over: HandOver, today: date) -> Stage:
    if hand_over.called_off:
        return "called_off"
    if hand_over.begins_on is None or hand_over.ends_on is None:
        return "unset"
    if today < hand_over.begins_on:
        return "to_come"
    return "runs" if today <= hand_over.ends_on else "over"


def _dates(hand_over: HandOver, today: date) -> list[date]:
    """Its days up to today; of one that was called off too, as far as it went."""
    first, last = hand_over.begins_on, hand_over.ends_on
    if first is None or last is None or today < first:
        return []
    return [first + timedelta(days=n) for n in range((min(last, today) - first).days + 1)]


def _asked(hand_over: HandOver, known: Known, shown: Sequence[Day], dates: Sequence[date]) -> list[Asked]:
    """What was asked on each date, in the order it was walked."""
    by_date = {day.date: day for day in shown}
    found: list[Asked] = []
    for on in dates:
        day = by_date.get(on)
        found += _every_day(hand_over, known, on) if day is None else _shown_jobs(hand_over, day)
    return found


def _shown_jobs(hand_over: HandOver, day: Day) -> list[Asked]:
    wanted: list[Asked] = []
    for job in day.jobs:
        mine = f"{job.pond}/{job.standing_job}" in hand_over.jobs
        # A helper's dose needs no test: it is asked also where the plan would wait for one.
        by_bag = job.shape == "dose" and hand_over.ceiling(job.pond).buffer_g_per_day is not None
        if mine and (job.state == "open" or by_bag):
            key = f"{job.standing_job}/{job.due_on.isoformat()}/{job.slot}"
            wanted.append(Asked(job.pond, key, day.date, job.name, job.closes_at))
    return wanted


def _every_day(hand_over: HandOver, known: Known, on: date) -> list[Asked]:
    return [
        Asked(pond, f"{job.id}/{on.isoformat()}/{slot}", on, job.texts.get(slot, job.text))
        for pond in sorted(hand_over.ponds)
        for job in known.standing_jobs(pond, on)
        if f"{pond}/{job.id}" in hand_over.jobs and _comes_daily(job)
        for slot in job.windows
    ]


def _comes_daily(job: StandingJob) -> bool:
    return isinstance(job.recur, EveryDay) and job.season is None and not job.only_if


def _answers(facts: Sequence[Seen], kind: type[Tick] | type[NotDone]) -> dict[tuple[str, str], list[Seen]]:
    """Answers by pond and job."""
    found: dict[tuple[str, str], list[Seen]] = {}
    for one in facts:
        if isinstance(one.entry, kind):
            found.setdefault((one.entry.pond, job_key(one.entry)), []).append(one)
    return found


Answers = Mapping[tuple[str, str], Sequence[Seen]]


def _day(on: date, asked: Sequence[Asked], done: Answers, over: Sequence[Asked]) -> DayLine:
    answered = sum((one.pond, one.key) in done for one in asked if one.on == on)
    missed = tuple(one.title for one in over if one.on == on and (one.pond, one.key) not in done)
    return DayLine(on=on, asked=answered + len(missed), done=answered, missed=missed)


def _jobs(
    asked: Sequence[Asked], done: Answers, names: Mapping[str, str], over: Sequence[Asked]
) -> tuple[DoneLine, ...]:
    """One line for each slot of each standing job."""
    lines: dict[tuple[str, str, str], list[Asked]] = {}
    for one in asked:
        standing, _, slot = one.key.split("/")
        lines.setdefault((one.pond, standing, slot), []).append(one)
    found = [_line(group, done, names, over) for group in lines.values()]
    return tuple(line for line in found if line.asked)


def _line(group: Sequence[Asked], done: Answers, names: Mapping[str, str], over: Sequence[Asked]) -> DoneLine:
    answers = [done.get((one.pond, one.key), ()) for one in group]
    by = [names.get(seen.entry.author, "") for each in answers for seen in each]
    missed = tuple(one.on for one, each in zip(group, answers, strict=True) if not each and one in over)
    answered = sum(bool(each) for each in answers)
    return DoneLine(
        pond=group[0].pond,
        title=group[-1].title,
        asked=answered + len(missed),
        done=answered,
        by=tuple(dict.fromkeys(name for name in by if name)),
        missed=missed,
    )


def _not_done(facts: Sequence[Seen], titles: Mapping[str, str], names: Mapping[str, str]) -> tuple[Said, ...]:
    return tuple(
        Said(
            at=one.at,
            on=one.on,
            text=f"{titles.get(one.entry.standing_job, one.entry.standing_job)}: {one.entry.reason}",
            by=names.get(one.entry.author, ""),
            photos=one.entry.photos,
        )
        for one in facts
        if isinstance(one.entry, NotDone)
    )


def _spent(hand_over: HandOver, pond: Pond, facts: Sequence[Seen], days: int) -> Spent:
    here = [one for one in facts if one.entry.pond == pond.id]
    ceiling = hand_over.ceiling(pond.id)
    return Spent(
        pond=pond.id,
        feed_g=sum(grams for _, grams, _ in feeds(here)),
        buffer_g=sum(grams for _, grams, _, _ in buffer_doses(here)),
        feed_most_g=None if ceiling.feed_g_per_day is None else ceiling.feed_g_per_day * days,
        buffer_most_g=None if ceiling.buffer_g_per_day is None else ceiling.buffer_g_per_day * days,
        water_l=sum(one.entry.volume_l for one in here if isinstance(one.entry, WaterChange)),
    )
