"""Which photos a report shows: those its keeper chose, else the latest of each fish."""

from collections.abc import Sequence
from datetime import date
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import FishMeasure
from evenwater.domain.fish.whereabouts import whereabouts
from evenwater.domain.report.asked import MOST_PHOTOS
from evenwater.domain.report.fish_grown import was_here
from evenwater.domain.report.outlook import Pictured
from evenwater.domain.report.past import Past
from evenwater.domain.report.span import short_day

MOST_OFFERED: Final = 120


class Taken(Struct, frozen=True, kw_only=True):
    """A photo that went with an entry: its sum, when, and the fish it shows; None where it is of no one fish."""

    sum: str
    on: date
    fish: str | None
    name: str | None


def taken_in(past: Past) -> tuple[Taken, ...]:
    """Photos of the span, the latest first, each once: what a keeper may choose from."""
    names = {one.id: one.name for one in past.known.fish(past.span.last)}
    found: dict[str, Taken] = {}
    for one in reversed(past.here):
        fish = one.entry.fish if isinstance(one.entry, FishMeasure) else None
        for photo in one.entry.photos:
            found.setdefault(photo, Taken(sum=photo, on=one.on, fish=fish, name=names.get(fish or "")))
    return tuple(found.values())[:MOST_OFFERED]


def pictured(past: Past, chosen: Sequence[str]) -> tuple[Pictured, ...]:
    """The photos to show, with what stands under each: the fish and the day, nothing of who took it or where."""
    if chosen:
        here = {one.sum: one for one in taken_in(past)}
        return tuple(_captioned(here[one]) for one in chosen if one in here)
    return tuple(_captioned(one) for one in _latest_of_each(past))[:MOST_PHOTOS]


def _latest_of_each(past: Past) -> list[Taken]:
    """Of each fish that was here in the span its latest photo up to its end."""
    fish = past.known.fish(past.span.last)
    where = whereabouts(fish, past.known.facts)
    names = {one.id: one.name for one in fish if was_here(where[one.id], past.pond.id, past.span)}
    found: dict[str, Taken] = {}
    for one in reversed(past.facts.of_kinds(FishMeasure)):
        entry = one.entry
        if isinstance(entry, FishMeasure) and entry.photos and one.on <= past.span.last and entry.fish in names:
            taken = Taken(sum=entry.photos[0], on=one.on, fish=entry.fish, name=names[entry.fish])
            found.setdefault(entry.fish, taken)
    return sorted(found.values(), key=lambda one: (one.name or "").casefold())


def _captioned(one: Taken) -> Pictured:
    day = f"{short_day(one.on)} {one.on.year}"
    return Pictured(one.sum, f"{one.name}, {day}" if one.name else day)
