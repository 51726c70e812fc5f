"""What happened in the span, as the ring marks it: fish, kit, changes, power, seasons, food, the extremes.

Where there is more than a ring can hold, what matters less is left out, and how much is said.
"""

from collections.abc import Iterable
from contextlib import suppress
from datetime import date, timedelta
from itertools import pairwise
from typing import Final

import msgspec
from msgspec import Struct

from evenwater.domain.entries import Change, FishMeasure, FishMove, Power, Service, Set
from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Seen, feeds
from evenwater.domain.keeper_units import level_words
from evenwater.domain.kit import SeasonSteps
from evenwater.domain.pond import setting_value
from evenwater.domain.report.outlook import Mark
from evenwater.domain.report.past import Past
from evenwater.domain.report.words import counted
from evenwater.domain.warmth.season.season_steps import dated_settings

MOST_MARKS: Final = 24
WITHOUT_FOOD: Final = timedelta(days=14)
"""So long without food is a pause worth a mark. Our own."""
_LONG_OUTAGE: Final = timedelta(minutes=30)
_WORDS: Final = 60
_KIT_TOLD: Final = {
    "membrane_changed": "Membrane changed",
    "carbon_changed": "Carbon changed",
    "lamp_changed": "Lamp changed",
    "pump_serviced": "Pump serviced",
    "air_pump_serviced": "Air pump serviced",
}
_WENT: Final = {"sold": "sold", "given": "given away", "died": "died", "moved": "moved"}
_FISH, _SEASON, _CHANGE, _FOOD, _EXTREME, _POWER, _KIT = range(7)


class _Event(Struct, frozen=True):
    """Something on a date; of two, the one with the lower rank matters more."""

    on: date
    rank: int
    text: str


def marks_of(past: Past, *, changes: bool) -> tuple[tuple[Mark, ...], int]:
    """(what happened, by date, numbered from one; how many smaller ones there was no room for).

    Args:
        past: What is known.
        changes: Whether changes may be told: their words are the keeper's own.
    """
    events = [one for one in _events(past, changes) if past.span.holds(one.on)]
    kept = sorted(events, key=lambda one: (one.rank, one.on))[:MOST_MARKS]
    in_order = sorted(kept, key=lambda one: (one.on, one.rank, one.text))
    marks = tuple(Mark(number, one.on, one.text) for number, one in enumerate(in_order, 1))
    return marks, len(events) - len(kept)


def _events(past: Past, changes: bool) -> Iterable[_Event]:
    yield from _fish(past)
    yield from _seasons(past)
    yield from _food(past)
    yield from _extremes(past)
    yield from _outages(past)
    for one in past.here:
        if isinstance(one.entry, Change) and changes:
            yield _Event(one.on, _CHANGE, _short(one.entry.text))
        elif isinstance(one.entry, Service) and one.entry.service in _KIT_TOLD:
            yield _Event(one.on, _KIT, _KIT_TOLD[one.entry.service])


def _short(text: str) -> str:
    return text if len(text) <= _WORDS else text[:_WORDS].rsplit(" ", 1)[0].rstrip(" ,;:") + "…"


def _fish(past: Past) -> Iterable[_Event]:
    measured: dict[date, set[str]] = {}
    names = {one.id: one.name for one in past.known.fish(past.span.last)}
    for one in past.here:
        if isinstance(one.entry, FishMeasure):
            measured.setdefault(one.on, set()).add(one.entry.fish)
        elif isinstance(one.entry, FishMove):
            yield _Event(one.on, _FISH, _moved(one.entry, past.pond.id, names))
    for on, fish in measured.items():
        yield _Event(on, _FISH, f"{counted(len(fish), 'fish', 'fish')} measured")


def _moved(move: FishMove, pond: str, names: dict[str, str]) -> str:
    named = [names[one] for one in move.fish if one in names]
    who = ", ".join(named) if 0 < len(named) <= 3 and len(named) == move.count else f"{move.count} fish"
    if move.to_pond == pond:
        return f"{who} came"
    return f"{who} {_WENT.get(move.how or '', 'left')}"


def _seasons(past: Past) -> Iterable[_Event]:
    for one in past.known.settings:
        entry = one.entry
        if isinstance(entry, Set) and (entry.pond, entry.target, entry.field) == (past.pond.id, "pond", "season"):
            with suppress(DomainError, msgspec.ValidationError):
                steps = setting_value(entry)
                if isinstance(steps, SeasonSteps):
                    yield from _steps(past, steps)


def _steps(past: Past, steps: SeasonSteps) -> Iterable[_Event]:
    name = "Step-down" if steps.to_c < steps.from_c else "Step-up"
    warm, cool = (level_words(past.pond, "temperature_c", one) for one in (steps.from_c, steps.to_c))
    yield _Event(steps.starts_on, _SEASON, f"{name} begins, {warm} to {cool}")
    ends = dated_settings(steps)[-1].on
    if ends <= past.now.date():
        yield _Event(ends, _SEASON, f"{name} ends at {cool}")


def _food(past: Past) -> Iterable[_Event]:
    """Pauses of the food: the last before one, the first after."""
    fed = sorted({one.on for one, grams, _ in feeds(past.facts) if grams > 0})
    for last, following in pairwise(fed):
        if following - last >= WITHOUT_FOOD:
            yield _Event(last, _FOOD, f"Last food for {counted((following - last).days - 1, 'day')}")
            yield _Event(following, _FOOD, "Food again")


def _extremes(past: Past) -> Iterable[_Event]:
    days = past.span.of(past.water)
    if len(days) < past.span.days / 2:
        return
    for name, sign in (("Warmest day", 1.0), ("Coldest day", -1.0)):
        on = max(days, key=lambda one: sign * days[one])
        yield _Event(on, _EXTREME, f"{name}, {level_words(past.pond, 'temperature_c', round(days[on], 1))}")


def _outages(past: Past) -> Iterable[_Event]:
    out_since: Seen | None = None
    for one in past.here.of_kinds(Power):
        if not isinstance(one.entry, Power):
            continue
        if not one.entry.on:
            out_since = out_since or one
        elif out_since is not None:
            if one.at - out_since.at >= _LONG_OUTAGE:
                hours = (one.at - out_since.at) / timedelta(hours=1)
                yield _Event(out_since.on, _POWER, f"Power out for {hours:.1f} h")
            out_since = None
