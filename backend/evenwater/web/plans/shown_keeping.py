"""Forecasts as they were shown, of every pond: read once, kept as new ones are shown, handed on to be scored.

Of each subject and civil day only the last one counts, so that is all that is held.
"""

import asyncio
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any, Final

import msgspec

from evenwater.domain.book.keeping import to_keep
from evenwater.domain.book.shown_records import Kept, MonthSpent, Shown, ShownDawn, ShownMonth
from evenwater.domain.entries import zone_named
from evenwater.domain.rounds.jobs import Plan
from evenwater.domain.water.outlook import ChlorineDay, Trend
from evenwater.domain.water.page import ShownTrends
from evenwater.storage.database import Database
from evenwater.storage.shown import keep_all_shown, last_of_each_day

_LATELY, _YEARS = timedelta(days=90), timedelta(days=800)
# How each kind is read back, and how long it waits to be scored or stays in the record.
_KINDS: Final[Mapping[str, tuple[type[msgspec.Struct], timedelta]]] = {
    "trend": (Trend, _LATELY),
    "dawn": (ShownDawn, _LATELY),
    "chlorine_day": (ChlorineDay, _YEARS),
    "month_cost": (ShownMonth, _YEARS),
    "month_spent": (MonthSpent, _YEARS),
}


class ShownKeeper:
    """What was shown of each subject, day by day."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._kept: dict[str, list[Kept[Any]]] | None = None
        self._turn = asyncio.Lock()

    async def keep(self, plan: Plan, now: datetime) -> bool:
        """Keep what a plan foretells that has changed since it was last shown; whether anything had."""
        async with self._turn:  # what two calls show at once is kept in their order
            kept = await self._read(plan.zone, now)
            fresh = [one for one in to_keep(plan) if not kept.get(one[0]) or kept[one[0]][-1].what != one[2]]
            if fresh:
                await keep_all_shown(self._database, now, plan.log_seq, fresh)
            for subject, version, what in fresh:
                _add(kept.setdefault(subject, []), Kept(now, version, what), plan.zone)
        return bool(fresh)

    async def of_ponds(self, ponds: Iterable[str], zone: str, now: datetime) -> dict[str, Shown]:
        """All that is held of each pond, oldest first."""
        async with self._turn:
            kept = await self._read(zone, now)
        return {pond: _shown(kept, pond) for pond in ponds}

    async def _read(self, zone: str, now: datetime) -> dict[str, list[Kept[Any]]]:
        if self._kept is None:
            found: dict[str, list[Kept[Any]]] = {}
            for kind, (content, back) in _KINDS.items():
                found |= await last_of_each_day(self._database, f"{kind}/", now - back, zone_named(zone), content)
            self._kept = found
        return self._kept


async def shown_since(database: Database, pond: str, zone: str, since: datetime) -> Shown:
    """All that was foretold of a pond since a moment, however long ago; of each day what it showed last."""
    kept: dict[str, list[Kept[Any]]] = {}
    for kind, (content, _) in _KINDS.items():
        kept |= await last_of_each_day(database, f"{kind}/{pond}", since, zone_named(zone), content)
    return _shown(kept, pond)


def trends_of(shown: Shown) -> ShownTrends:
    """Levels foretold as the Water page takes them, oldest first."""
    return sorted(
        ((one.shown_at, one.what) for kept in shown.trends.values() for one in kept), key=lambda pair: pair[0]
    )


def _add(kept: list[Kept[Any]], one: Kept[Any], zone: str) -> None:
    """Put the newest in the place of an earlier one of its day."""
    at = zone_named(zone)
    if kept and kept[-1].shown_at.astimezone(at).date() == one.shown_at.astimezone(at).date():
        kept[-1] = one
    else:
        kept.append(one)


def _shown(kept: Mapping[str, list[Kept[Any]]], pond: str) -> Shown:
    start = f"trend/{pond}/"
    return Shown(
        trends={subject.removeprefix(start): tuple(of) for subject, of in kept.items() if subject.startswith(start)},
        dawns=tuple(kept.get(f"dawn/{pond}", ())),
        chlorine=tuple(kept.get(f"chlorine_day/{pond}", ())),
        months=tuple(kept.get(f"month_cost/{pond}", ())),
        spent=tuple(kept.get(f"month_spent/{pond}", ())),
    )
