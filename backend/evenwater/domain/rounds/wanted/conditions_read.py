"""Conditions on readings: above or below a value, now or at every reading of some days."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from operator import itemgetter
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import Reading
from evenwater.domain.fold import readings_of
from evenwater.domain.keeper_units import level_words, unit_for
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.rounds.wanted.told import Answered, Told, day_words
from evenwater.domain.standing_job import Measured, Side
from evenwater.domain.water.range_table import ROWS

POINT_WORDS: Final = {
    "pond": "",
    "mains": " of the mains",
    "after_carbon": " after the carbon",
    "after_membrane": " after the membrane",
    "outside": " outside",
    "filter_house": " in the filter house",
    "heater": "",
}
# What a probe sends says the same as a reading of it.
_PROBES: Final = {
    ("temperature_c", "pond"): "water_c",
    ("air_temperature_c", "outside"): "air_c",
    ("air_temperature_c", "filter_house"): "house_c",
    ("relative_humidity_fraction", "outside"): "humidity_fraction",
    ("relative_humidity_fraction", "filter_house"): "house_humidity_fraction",
}
_GOOD_FOR_DAYS: Final = 8.0
"""How long a reading of a quantity that has no range of its own is believed. Common practice, no source."""


class _Read(Struct, frozen=True):
    at: datetime
    on: date
    value: float


def measured(condition: Measured, told: Told, on: date) -> Answered:
    """Whether a quantity was read above or below a value."""
    if condition.quantity not in QUANTITIES:
        return Answered(None, f"{condition.quantity} is nothing that is measured here")
    reads = _reads(condition, told)
    name = _name(condition)
    if not reads:
        return Answered(None, f"no reading of {name} yet")
    last = reads[-1]
    if told.now - last.at > timedelta(days=_good_for_days(told.pond, condition.quantity)):
        return Answered(None, f"{name} was last read {day_words(last.on, told.today)}")
    if condition.for_days:
        return _for_days(condition, told, reads, on)
    holds = on_side(last.value, condition.side, condition.value)
    said = level_words(told.pond, condition.quantity, last.value)
    limit = _limit(told.pond, condition)
    not_so = "" if holds else "not "
    when = day_words(last.on, told.today)
    return Answered(holds, f"{name} was {said} {when}, {not_so}{condition.side} {limit}{told.ahead(on)}")


def on_side(value: float, side: Side, limit: float) -> bool:
    """Whether a value is above, or below, a limit; on it, it is neither."""
    return value > limit if side == "above" else value < limit


def _for_days(condition: Measured, told: Told, reads: Sequence[_Read], on: date) -> Answered:
    """At every reading of so many days, the first of them on or before the first day."""
    name, limit = _name(condition), _limit(told.pond, condition)
    days, first_day = condition.for_days, told.today - timedelta(days=condition.for_days - 1)
    run: list[_Read] = []
    for one in reversed(reads):
        if not on_side(one.value, condition.side, condition.value):
            said = level_words(told.pond, condition.quantity, one.value)
            words = f"{name} was {said} {day_words(one.on, told.today)}, not {condition.side} {limit} for {days} days"
            if one.on >= first_day or not run or run[-1].on > first_day:
                return Answered(False, words + told.ahead(on))
            break
        run.append(one)
        if one.on <= first_day:
            break
    began = run[-1].on
    if began > first_day:
        return Answered(None, f"{name} is read since {began:%a} {began.day} {began:%b} only, not for {days} days")
    return Answered(True, f"{name} {condition.side} {limit} at every reading of {days} days{told.ahead(on)}")


def _reads(condition: Measured, told: Told) -> list[_Read]:
    """Readings and what a probe sent, oldest first, up to now."""
    found = [
        _Read(one.at, one.on, one.entry.value)
        for one in readings_of(told.facts, condition.quantity, condition.point)
        if isinstance(one.entry, Reading) and one.at <= told.now
    ]
    series = _PROBES.get((condition.quantity, condition.point))
    sent = told.samples.measured.get(series, ()) if series else ()
    if not sent:
        return found
    # By the hour for a season back: only the days asked for are looked at, and the last hour before them.
    first = bisect_left(sent, told.now - timedelta(days=condition.for_days + 2), key=itemgetter(0))
    lately = sent[max(0, first - 1) : bisect_right(sent, told.now, key=itemgetter(0))]
    found += [_Read(at, at.astimezone(told.zone).date(), value) for at, value in lately]
    return sorted(found, key=lambda one: one.at)


def _good_for_days(pond: Pond, quantity: str) -> float:
    if quantity == "kh_dkh":
        return pond.kh_stale_after_days
    return ROWS[quantity].stale_days if quantity in ROWS else _GOOD_FOR_DAYS


def _name(condition: Measured) -> str:
    label = QUANTITIES[condition.quantity].label
    # "pH" and "KH" stay as they are written.
    plain = label if label[:2].isupper() or label == "pH" else label[:1].lower() + label[1:]
    return plain + POINT_WORDS[condition.point]


def _limit(pond: Pond, condition: Measured) -> str:
    shown = unit_for(pond, condition.quantity)
    return f"{condition.value * shown.per + shown.offset:.4g}"
