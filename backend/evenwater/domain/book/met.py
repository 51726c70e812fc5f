"""Forecasts as they were shown, each beside what then came: one row for each that met its truth.

A forecast made on the day itself is none: for a day the last one made on an earlier day counts. Two subjects draw
nearer to their day until it is no art to say it, so theirs are taken from further off: the day of chlorine from three
days before it, the cost of a month from its first half (both our own rule).
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.book.shown_records import Band, Kept, MonthSpent, ShownDawn, ShownMonth
from evenwater.domain.entries import Reading
from evenwater.domain.fold import Seen, readings_of
from evenwater.domain.learn.carbon_life import Run
from evenwater.domain.water.carbon_advice import crossing
from evenwater.domain.water.outlook import ChlorineDay, Trend

CHLORINE_AHEAD_DAYS: Final = 3
MONTH_FIRST_HALF: Final = 15
NEAR_DAWN: Final = timedelta(minutes=90)
_BEFORE_DAWN: Final = timedelta(hours=2)

Covers = Sequence[tuple[datetime, float | None]]
"""(when, share covered from then on; None is not known), oldest first."""


class Met(Struct, frozen=True):
    """What was foretold for a day, by which model, and what came, in the stored unit."""

    on: date
    band: Band
    measured: float
    model_version: str


def trend_met(shown: Sequence[Kept[Trend]], facts: Sequence[Seen], quantity: str, zone: ZoneInfo) -> list[Met]:
    """Levels foretold, against the day's reading nearest to the hour they were foretold for; oldest first."""
    foretold: dict[date, tuple[datetime, Band, str]] = {}
    for kept in shown:
        for at, *band in kept.what.forecast:
            on = _on(at, zone)
            if _on(kept.shown_at, zone) < on:
                foretold[on] = (at, (band[0], band[1], band[2]), kept.model_version)
    read: dict[date, list[tuple[datetime, float]]] = {}
    for one in readings_of(facts, quantity):
        if isinstance(one.entry, Reading) and one.on in foretold:
            read.setdefault(one.on, []).append((one.at, one.entry.value))
    found: list[Met] = []
    for on in sorted(read):
        at, band, version = foretold[on]
        found.append(Met(on, band, _nearest(read[on], at)[1], version))
    return found


def dawn_met(
    shown: Sequence[Kept[ShownDawn]], water: Sequence[tuple[datetime, float]], covers: Covers, zone: ZoneInfo
) -> list[Met]:
    """Dawns foretold under covers or open, as they then lay, against the water within 90 minutes; oldest first.

    A night of which nobody told how the covers lay is left out.
    """
    foretold: dict[date, Kept[ShownDawn]] = {}
    for kept in shown:
        on = _on(kept.what.dawn_at, zone)
        if _on(kept.shown_at, zone) < on:
            foretold[on] = kept
    found: list[Met] = []
    for on, kept in sorted(foretold.items()):
        dawn = kept.what
        near = [one for one in water if abs(one[0] - dawn.dawn_at) <= NEAR_DAWN]
        lay = _lay(covers, dawn.dawn_at - _BEFORE_DAWN)
        band = None if lay is None else dawn.covered if lay > 0 else dawn.bare
        if near and band is not None:
            found.append(Met(on, band, _nearest(near, dawn.dawn_at)[1], kept.model_version))
    return found


def chlorine_met(shown: Sequence[Kept[ChlorineDay]], runs: Sequence[Run], zone: ZoneInfo) -> tuple[list[Met], int]:
    """Days from a service to the limit, as foretold and as read; and how many runs were ended before they could tell.

    The truth is the first reading at or over the limit. Carbon agitated or changed before that tells nothing.
    """
    found: list[Met] = []
    left_out = 0
    for run in runs:
        since = _on(run.started_at, zone)
        mine = [one for one in shown if one.what.serviced_on == since]
        crossed = crossing(run, mine[-1].what.limit_ug_per_l) if mine else None
        if crossed is None:
            left_out += bool(mine) and run is not runs[-1]
            continue
        on = _on(run.started_at + timedelta(days=crossed.days), zone)
        early = [one for one in mine if _on(one.shown_at, zone) <= on - timedelta(days=CHLORINE_AHEAD_DAYS)]
        if early:
            what = early[-1].what
            low, middle, high = ((day - since).days for day in (what.low, what.middle, what.high))
            found.append(Met(on, (low, middle, high), (on - since).days, early[-1].model_version))
    return found, left_out


def month_met(shown: Sequence[Kept[ShownMonth]], spent: Iterable[Kept[MonthSpent]], zone: ZoneInfo) -> list[Met]:
    """What months were to cost, as foretold in their first half, and what they came to; oldest first."""
    foretold: dict[date, Kept[ShownMonth]] = {}
    for kept in shown:
        if _on(kept.shown_at, zone) <= kept.what.month + timedelta(days=MONTH_FIRST_HALF - 1):
            foretold[kept.what.month] = kept
    cost: Mapping[date, float] = {kept.what.month: kept.what.cost for kept in spent}
    return [
        Met(month, foretold[month].what.band, cost[month], foretold[month].model_version)
        for month in sorted(cost)
        if month in foretold
    ]


def _on(at: datetime, zone: ZoneInfo) -> date:
    return at.astimezone(zone).date()


def _nearest(points: Sequence[tuple[datetime, float]], at: datetime) -> tuple[datetime, float]:
    return min(points, key=lambda one: abs(one[0] - at))


def _lay(covers: Covers, at: datetime) -> float | None:
    before = [covered for moved_at, covered in covers if moved_at <= at]
    return before[-1] if before else None
