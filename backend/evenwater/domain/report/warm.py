"""The water's temperature over the span, beside the same dates a year before."""

from collections.abc import Callable, Mapping
from datetime import date
from statistics import fmean
from typing import Final

from evenwater.domain.keeper_units import level_words, unit_for
from evenwater.domain.pond import Pond
from evenwater.domain.report.outlook import Section
from evenwater.domain.report.past import Past
from evenwater.domain.report.span import Span, short_day
from evenwater.domain.report.words import NONE, counted, heads, told, told_apart

Days = Mapping[date, float]

MONTH_KNOWN: Final = 0.3
"""Of a month known on fewer of its days no mean is told [share of days]. Our own."""
_MOSTLY_KNOWN: Final = 0.8


def warm_part(past: Past) -> Section:
    """Means, extremes, days within the keeper's band, month by month."""
    pond, span = past.pond, past.span
    now, before = span.of(past.water), span.before.of(past.water)
    rows = [
        ("Mean", *(told(_mean(days), _level(pond)) for days in (now, before))),
        ("Warmest day", _extreme(pond, now, 1.0), _extreme(pond, before, 1.0)),
        ("Coldest day", _extreme(pond, now, -1.0), _extreme(pond, before, -1.0)),
        *_band_rows(pond, now, before),
        *_month_rows(past, now, before),
    ]
    columns, told_rows = told_apart(heads(span), rows)
    return Section(
        id="warmth",
        title="Water temperature",
        says=(f"Known on {len(now)} of {counted(span.days, 'day')}; each day counts with its mean.",) if now else (),
        columns=columns,
        rows=told_rows,
        unknown=_unknown(span, now, before),
    )


def year_part(past: Past, before: Span) -> Section:
    """The figures behind the ring of a calendar year: each month's mean, in one row a year.

    Args:
        past: What is known of the year.
        before: The year that stands behind it.
    """
    year, shown = Span(past.span.first, before.last.replace(year=past.span.first.year)), _shown(past.pond)
    rows = [
        (
            f"{span.first.year}",
            *(_or_none(_month_mean(month, past.water), shown) for month in span.months()),
            _or_none(_mean(span.of(past.water)), shown),
        )
        for span in (year, before)
    ]
    columns, told_rows = told_apart(("", *(f"{month.first:%b}" for month in year.months()), "year"), rows)
    now = past.span.of(past.water)
    extremes = (
        f"Warmest day {_extreme(past.pond, now, 1.0)}, coldest {_extreme(past.pond, now, -1.0)}."
        f" Known on {len(now)} of {counted(past.span.days, 'day')}."
    )
    return Section(
        id="warmth",
        title=f"Mean of each month ({unit_for(past.pond, 'temperature_c').unit})",
        says=(extremes,) if now else (),
        columns=columns,
        rows=told_rows,
        unknown=() if now else ("The water's temperature was not recorded in this year.",),
    )


def _or_none(value: float | None, say: Callable[[float], str]) -> str:
    return NONE if value is None else say(value)


def _shown(pond: Pond) -> Callable[[float], str]:
    unit = unit_for(pond, "temperature_c")
    return lambda value: f"{value * unit.per + unit.offset:.1f}"


def _unknown(span: Span, now: Days, before: Days) -> tuple[str, ...]:
    if not now:
        return ("The water's temperature was not recorded in this time.",)
    found: list[str] = []
    if len(now) < _MOSTLY_KNOWN * span.days:
        found.append(f"On {counted(span.days - len(now), 'day')} nobody and nothing read the water's temperature.")
    if not before:
        found.append("Its temperature a year before was not recorded.")
    elif len(before) < _MOSTLY_KNOWN * span.before.days:
        found.append(f"A year before it is known on {len(before)} of {span.before.days} days only.")
    return tuple(found)


def _level(pond: Pond) -> Callable[[float], str]:
    return lambda value: level_words(pond, "temperature_c", round(value, 1))


def _mean(days: Days) -> float | None:
    return fmean(days.values()) if days else None


def _extreme(pond: Pond, days: Days, sign: float) -> str:
    if not days:
        return told(None, str)
    on = max(days, key=lambda one: sign * days[one])
    return f"{_level(pond)(days[on])} on {short_day(on)}"


def _band_rows(pond: Pond, now: Days, before: Days) -> list[tuple[str, str, str]]:
    low_c, high_c = pond.warm_low_c, pond.warm_high_c
    if low_c is None or high_c is None:
        return []

    def inside(days: Days) -> str:
        held = sum(low_c <= value <= high_c for value in days.values())
        return f"{held} of {counted(len(days), 'day')}" if days else told(None, str)

    low, high = (level_words(pond, "temperature_c", one) for one in (low_c, high_c))
    return [(f"Within your band, {low} to {high}", inside(now), inside(before))]


def _month_rows(past: Past, now: Days, before: Days) -> list[tuple[str, str, str]]:
    months = past.span.months()
    if len(months) < 2:
        return []
    say = _level(past.pond)
    twice = months[0].first.month == months[-1].first.month
    return [
        (
            f"{month.first:%B %Y}" if twice else f"{month.first:%B}",
            told(_month_mean(month, now), say),
            told(_month_mean(month.before, before), say),
        )
        for month in months
    ]


def _month_mean(month: Span, days: Days) -> float | None:
    known = month.of(days)
    return _mean(known) if len(known) >= MONTH_KNOWN * month.days else None
