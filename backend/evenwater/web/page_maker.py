"""The pages of every pond: most of the work, done aside while the round is answered at once.

A page rests on some of the facts only: a note or a plain tick leaves it as it stands.
"""

import asyncio
import logging
from collections.abc import Mapping
from datetime import datetime, timedelta

from msgspec import Struct

from evenwater.domain.book.outlook import PondBook
from evenwater.domain.book.page import book_of
from evenwater.domain.book.shown_records import Shown
from evenwater.domain.book.year import Done, asks_for
from evenwater.domain.entries import NotDone, Note, Power, Set, Tick, WaterRunning, zone_named
from evenwater.domain.fold import Known, Seen
from evenwater.domain.learn.change_effect import effects_of
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.warmth.heat_log import OFF, ON
from evenwater.domain.warmth.page import Warm
from evenwater.domain.water.outlook import PondWater
from evenwater.storage.database import Database
from evenwater.storage.done_dates import done_dates
from evenwater.web.log_reader import REMEMBERED
from evenwater.web.shown_keeping import ShownKeeper, trends_of
from evenwater.web.warmth_planning import WarmthPlanner

_log = logging.getLogger(__name__)

# Samples come without an entry: after so long pages are looked at again.
_FRESH_FOR = timedelta(minutes=5)
_YEARS_BACK = 2


class Pages(Struct, frozen=True):
    """Water, warmth and book of every pond, and what they rest on."""

    rests_on: tuple[object, ...]
    water: tuple[PondWater, ...]
    warm: Mapping[str, Warm]
    book: tuple[PondBook, ...]


class PageMaker:
    """Keeps the last pages; makes new ones aside, one set at a time."""

    def __init__(self, database: Database, shown: ShownKeeper) -> None:
        self._database = database
        self._shown = shown
        self._warmth = WarmthPlanner(database)
        self._pages: Pages | None = None
        self._task: asyncio.Task[Pages] | None = None
        self._failed_on: tuple[object, ...] | None = None

    def forget(self) -> None:
        """Make all pages anew next time."""
        self._pages = None

    async def current(self, known: Known, now: datetime) -> Pages:
        """The pages of just this log; waits until they are made."""
        wanted = _rests_on(known, now)
        while self._pages is None or self._pages.rests_on != wanted:
            made = await asyncio.shield(self._begin(known, now))
            if made.rests_on == wanted:
                return made
        return self._pages

    async def at_once(self, known: Known, now: datetime) -> tuple[Pages, bool]:
        """The pages as they stand, and whether newer ones follow; waits only where a pond has none."""
        wanted, pages = _rests_on(known, now), self._pages
        if pages is None or not {pond.id for pond in known.ponds(now.date())} <= pages.warm.keys():
            return await self.current(known, now), False
        if wanted in (pages.rests_on, self._failed_on):
            return pages, False
        self._begin(known, now).add_done_callback(self._told)
        return pages, True

    def _begin(self, known: Known, now: datetime) -> "asyncio.Task[Pages]":
        if self._task is None or self._task.done():
            self._task = self._database.aside(self._make(known, now))
        return self._task

    async def _make(self, known: Known, now: datetime) -> Pages:
        rests_on = _rests_on(known, now)
        try:
            pages = await self._worked_out(rests_on, known, now)
        except BaseException:
            self._failed_on = rests_on
            raise
        self._pages = pages
        return pages

    async def _worked_out(self, rests_on: tuple[object, ...], known: Known, now: datetime) -> Pages:
        warm = await self._warmth.of_ponds(known, now)
        ponds = known.ponds(now.date())
        zone = ponds[0].zone if ponds else "UTC"
        shown = await self._shown.of_ponds(warm, zone, now)
        done = {pond.id: await self._done_long_ago(known, pond, now) for pond in ponds}
        # A second of arithmetic on a small machine: sync and probes go on meanwhile.
        return await asyncio.to_thread(_pages, rests_on, known, now, warm, shown, done)

    async def _done_long_ago(self, known: Known, pond: Pond, now: datetime) -> Done:
        """When the work of the year was done, before what is known of every tick."""
        today = now.astimezone(zone_named(pond.zone)).date()
        asked = asks_for(known.standing_jobs(pond.id, today), today)
        since, until = now - timedelta(days=_YEARS_BACK * 366), now - REMEMBERED
        return await done_dates(self._database, pond.id, asked, since, until) if asked else {}

    @staticmethod
    def _told(task: "asyncio.Task[Pages]") -> None:
        """Nobody waits for it: the old pages stand, and the log of the server says why."""
        if not task.cancelled() and (error := task.exception()) is not None:
            _log.error("The pages could not be worked out anew; the last ones stand.", exc_info=error)


def _pages(
    rests_on: tuple[object, ...],
    known: Known,
    now: datetime,
    warm: Mapping[str, Warm],
    shown: Mapping[str, Shown],
    done: Mapping[str, Done],
) -> Pages:
    foretold = {pond: trends_of(of) for pond, of in shown.items()}
    plan = make_plan(known, 0, {}, now, foretold, None, warm)
    today = plan.days[0].date
    book = tuple(
        book_of(known, pond, shown[pond.id], warm[pond.id], done[pond.id], effects_of(known, pond, now), now)
        for pond in known.ponds(today)
        if pond.id in done
    )
    return Pages(rests_on, plan.water, warm, book)


def _rests_on(known: Known, now: datetime) -> tuple[object, ...]:
    on_kit = _jobs_on_kit(known)
    facts = tuple(one.entry.id for one in known.facts if _tells(one, on_kit))
    settings = known.settings[-1].order if known.settings else None
    return int(now.timestamp() // _FRESH_FOR.total_seconds()), facts, len(known.settings), settings


def _jobs_on_kit(known: Known) -> set[tuple[str, str]]:
    """(pond, standing job) of those whose tick says that work was done on the kit."""
    return {
        (entry.pond, entry.target.partition("/")[2])
        for entry in (one.entry for one in known.settings)
        if isinstance(entry, Set) and entry.field in ("service", "kit")
    }


def _tells(one: Seen, on_kit: set[tuple[str, str]]) -> bool:
    """Whether a page may rest on it."""
    entry = one.entry
    if isinstance(entry, NotDone):
        return entry.slot in (OFF, ON)
    if isinstance(entry, Tick):
        with_amount = entry.amount_g or entry.feed_g or entry.setting_c is not None
        return bool(with_amount) or entry.slot in (OFF, ON) or (entry.pond, entry.standing_job) in on_kit
    return not isinstance(entry, Note | Power | WaterRunning)
