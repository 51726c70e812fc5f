"""What a keeper reads on coming home: what was done, missed, measured, used, what was wrong and what changed."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.away.asked import Asked, asked_of
from evenwater.domain.away.hand_over import HandOver
from evenwater.domain.away.told_by import MeasuredLine, Said, changes, measured, notes, photos_of, probed, troubles
from evenwater.domain.entries import NotDone, WaterChange, zone_named
from evenwater.domain.fold import Known, Seen, buffer_doses, feeds
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.jobs import Day
from evenwater.domain.warmth.pond_air import ByHour

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


def coming_home(
    hand_over: HandOver,
    known: Known,
    shown: Sequence[Day],
    names: Mapping[str, str],
    now: datetime,
    probes: Mapping[str, ByHour] | None = None,
) -> ComingHome:
    """All that stands of the days of a hand-over, up to now.

    Args:
        hand_over: As it is set.
        known: All that stands.
        shown: The rounds of its days as people saw them; some may be missing.
        names: Of keepers and helpers, by id.
        now: The moment, aware.
        probes: What probes sent on its days, by pond.
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
    asked = asked_of(hand_over, known, shown, dates, facts, now)
    changed_settings = [one for one in known.settings if dates[0] <= one.on <= dates[-1]]
    titles = {one.id: one.text for pond in ponds for one in known.standing_jobs(pond, dates[-1])}
    return replace(
        told,
        until=dates[-1],
        days=tuple(_day(on, asked) for on in dates),
        jobs=_jobs(asked, names),
        not_done=_not_done(facts, titles, names),
        measured=(*measured(facts, ponds), *probed(probes or {}, ponds)),
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


def _day(on: date, asked: Sequence[Asked]) -> DayLine:
    here = [one for one in asked if one.on == on and one.fate != "open"]
    return DayLine(
        on=on,
        asked=len(here),
        done=sum(one.fate == "done" for one in here),
        missed=tuple(one.title for one in here if one.fate == "missed"),
    )


def _jobs(asked: Sequence[Asked], names: Mapping[str, str]) -> tuple[DoneLine, ...]:
    """One line for each slot of each standing job."""
    lines: dict[tuple[str, str, str], list[Asked]] = {}
    for one in asked:
        if one.fate != "open":
            lines.setdefault((one.pond, one.standing_job, one.slot), []).append(one)
    return tuple(_line(group, names) for group in lines.values())


def _line(group: Sequence[Asked], names: Mapping[str, str]) -> DoneLine:
    by = [names.get(author, "") for one in group for author in one.by]
    return DoneLine(
        pond=group[0].pond,
        title=group[-1].title,
        asked=len(group),
        done=sum(one.fate == "done" for one in group),
        by=tuple(dict.fromkeys(name for name in by if name)),
        missed=tuple(one.on for one in group if one.fate == "missed"),
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
