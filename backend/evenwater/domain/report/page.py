"""A season report, put together; and the year on a page, which is its ring alone."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Final

from evenwater.domain.entries import Note, zone_named
from evenwater.domain.errors import DomainError
from evenwater.domain.keeper_units import unit_for
from evenwater.domain.report.asked import Asked
from evenwater.domain.report.changed import changes_part
from evenwater.domain.report.fed import fed_part
from evenwater.domain.report.fish_grown import fish_part
from evenwater.domain.report.foretold import forecasts_part
from evenwater.domain.report.happened import marks_of
from evenwater.domain.report.outlook import Ring, SeasonReport, Section
from evenwater.domain.report.past import Past
from evenwater.domain.report.photos import pictured
from evenwater.domain.report.span import Span, short_day
from evenwater.domain.report.spent import spent_part
from evenwater.domain.report.warm import warm_part, year_part
from evenwater.domain.report.waters import waters_part
from evenwater.domain.report.words import year_name
from evenwater.domain.report.work import work_part

_PARTS: Final[Mapping[str, Callable[[Past, Asked], Section]]] = {
    "warmth": lambda past, _: warm_part(past),
    "water": lambda past, _: waters_part(past),
    "fish": lambda past, _: fish_part(past),
    "food": lambda past, _: fed_part(past),
    "work": lambda past, asked: work_part(past, people=asked.people, notes=asked.notes),
    "spent": lambda past, _: spent_part(past),
    "changes": lambda past, _: changes_part(past),
    "forecasts": lambda past, _: forecasts_part(past),
}


TITLES: Final[Mapping[str, str]] = {
    "warmth": "Water temperature",
    "water": "Water tests",
    "fish": "The fish",
    "food": "Food",
    "work": "Work",
    "spent": "Energy, water, money",
    "changes": "Changes, and whether they helped",
    "forecasts": "Forecasts",
}


def season_report(past: Past, asked: Asked) -> SeasonReport:
    """Everything that was asked for, in the order of the parts.

    Args:
        past: What is known of the pond over the span and the year before.
        asked: What the report is to hold.
    """
    sections = [_made(part, past, asked) for part in _PARTS if part in asked.parts]
    if asked.notes:
        sections.append(_notes(past))
    return SeasonReport(
        title=asked.title.strip() or past.pond.name,
        span=past.span,
        made_on=past.now.astimezone(zone_named(past.pond.zone)).date(),
        about=(f"Time zone {past.pond.zone}",) if asked.place else (),
        sections=tuple(sections),
        ring=ring_of(past, changes="changes" in asked.parts) if "ring" in asked.parts else None,
        photos=pictured(past, asked.photos) if "photos" in asked.parts else (),
    )


def _made(part: str, past: Past, asked: Asked) -> Section:
    """A part; where the log holds a number that cannot be reckoned with, that it could not be, and the rest stands."""
    try:
        return _PARTS[part](past, asked)
    except (DomainError, ArithmeticError, ValueError) as error:
        what = error.what if isinstance(error, DomainError) else "a number is too odd to reckon with"
        return Section(id=part, title=TITLES[part], unknown=(f"This could not be worked out: {what}.",))


def year_report(past: Past, *, changes: bool) -> SeasonReport:
    """The year on a page: the ring, and the figures of the temperature behind it.

    Args:
        past: What is known of the pond over the year and the one before.
        changes: Whether changes may be told: their words are the keeper's own.
    """
    # Of a year under way the last one is shown whole behind it: that is what is still to come.
    year = past.span.first.year
    whole = Span(date(year - 1, 1, 1), date(year - 1, 12, 31))
    return SeasonReport(
        title=past.pond.name,
        span=past.span,
        made_on=past.now.astimezone(zone_named(past.pond.zone)).date(),
        sections=(year_part(past, whole),),
        ring=ring_of(past, changes=changes, before=whole),
    )


def ring_of(past: Past, *, changes: bool, before: Span | None = None) -> Ring:
    """The year's temperature with what happened, the year before behind it.

    Args:
        past: What is known.
        changes: Whether changes may be told.
        before: What stands behind it; the same dates a year before unless said.
    """
    marks, left_out = marks_of(past, changes=changes)
    span = past.span
    return Ring(
        now=tuple(span.of(past.water).items()),
        before=tuple((before or span.before).of(past.water).items()),
        now_name=year_name(span),
        before_name=year_name(span.before),
        unit=unit_for(past.pond, "temperature_c"),
        marks=marks,
        left_out=left_out,
    )


def _notes(past: Past) -> Section:
    """Free words, oldest first."""
    said = [f"{short_day(one.on)}: {one.entry.text}" for one in past.here if isinstance(one.entry, Note)]
    return Section(
        id="notes", title="Notes", says=tuple(said), unknown=() if said else ("Nothing was noted in this time.",)
    )
