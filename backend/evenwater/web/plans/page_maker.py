"""The pages of every pond: most of the work, done aside while the round is answered at once.

They are made anew when something came that they may rest on (`domain/book/rests_on.py`), and every few minutes.
"""

import asyncio
import logging
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

from msgspec import Struct

from evenwater.domain.book.outlook import PondBook
from evenwater.domain.book.page import book_of
from evenwater.domain.book.shown_records import Shown
from evenwater.domain.book.year import Done, asks_for
from evenwater.domain.entries import FishMeasure, zone_named
from evenwater.domain.errors import DomainError
from evenwater.domain.fish.degree_days import WaterDays
from evenwater.domain.fish.outlook import PondFish
from evenwater.domain.fish.page import fish_of, register_of
from evenwater.domain.fold import Known, Seen, of_kinds
from evenwater.domain.learn.change_effect import effects_of
from evenwater.domain.learn.reading_effect import readings_asked
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.warmth.page import Warm
from evenwater.domain.water.outlook import PondWater
from evenwater.storage.database import Database
from evenwater.storage.done_dates import done_dates
from evenwater.storage.old_readings import old_readings
from evenwater.storage.water_days import water_days
from evenwater.web.plans.log_reader import REMEMBERED, Standing
from evenwater.web.plans.shown_keeping import ShownKeeper, trends_of
from evenwater.web.plans.warmth_planning import WarmthPlanner

_log = logging.getLogger(__name__)

# Samples come without an entry: after so long pages are looked at again.
_FRESH_FOR = timedelta(minutes=5)
_YEARS_BACK = 2
_GROWTH_DAYS_BACK = 6 * 366
# A second of arithmetic beside it would hold up the very answer that need not wait for it [s].
_ANSWER_FIRST_S = 0.1


class Pages(Struct, frozen=True):
    """Water, warmth, book and fish of every pond, and what they rest on."""

    rests_on: tuple[int, int]
    water: tuple[PondWater, ...]
    warm: Mapping[str, Warm]
    book: tuple[PondBook, ...]
    fish: tuple[PondFish, ...]


class PageMaker:
    """Keeps the last pages; makes new ones aside, one set at a time."""

    def __init__(self, database: Database, shown: ShownKeeper) -> None:
        self._database = database
        self._shown = shown
        self._warmth = WarmthPlanner(database)
        self._pages: Pages | None = None
        self._task: asyncio.Task[Pages] | None = None
        self._failed_on: tuple[int, int] | None = None
        self._long_ago: dict[str, tuple[tuple[date, list[str]], Done]] = {}
        self._old_readings: tuple[object, list[Seen]] = (None, [])
        self._water_days: tuple[object, WaterDays] = (None, {})

    def forget(self) -> None:
        """Make all pages anew next time."""
        self._pages, self._long_ago, self._old_readings = None, {}, (None, [])
        self._water_days = (None, {})

    async def current(self, standing: Standing, now: datetime) -> Pages:
        """The pages of just this log; waits until they are made."""
        wanted = _rests_on(standing, now)
        while self._pages is None or self._pages.rests_on != wanted:
            made = await asyncio.shield(self._begin(standing, now))
            if made.rests_on == wanted:
                return made
        return self._pages

    async def at_once(self, standing: Standing, now: datetime) -> tuple[Pages, bool]:
        """The pages as they stand, and whether newer ones follow; waits only where they are not of just these ponds."""
        wanted, pages = _rests_on(standing, now), self._pages
        ponds = standing.known.ponds(standing.known.civil_date(now)[0])
        if pages is None or [pond.id for pond in ponds] != [page.pond for page in pages.water]:
            return await self.current(standing, now), False
        if wanted in (pages.rests_on, self._failed_on):
            return pages, False
        self._begin(standing, now, _ANSWER_FIRST_S).add_done_callback(self._told)
        return pages, True

    def _begin(self, standing: Standing, now: datetime, wait_s: float = 0.0) -> "asyncio.Task[Pages]":
        if self._task is None or self._task.done():
            self._task = self._database.aside(self._make(standing, now, wait_s))
        return self._task

    async def _make(self, standing: Standing, now: datetime, wait_s: float) -> Pages:
        rests_on = _rests_on(standing, now)
        await asyncio.sleep(wait_s)
        try:
            pages = await self._worked_out(rests_on, standing.known, now)
        except BaseException:
            self._failed_on = rests_on
            raise
        self._pages = pages
        return pages

    async def _worked_out(self, rests_on: tuple[int, int], known: Known, now: datetime) -> Pages:
        warm = await self._warmth.of_ponds(known, now)
        today, zone = known.civil_date(now)
        ponds = known.ponds(today)
        shown = await self._shown.of_ponds(warm, zone.key, now)
        done = {pond.id: await self._done_long_ago(known, pond, now) for pond in ponds}
        judged = await self._with_old_readings(known, now)
        water = await self._water_of_years(known, ponds, now)
        # A second of arithmetic on a small machine: sync and probes go on meanwhile.
        return await asyncio.to_thread(_pages, rests_on, known, judged, now, warm, shown, done, water)

    async def _with_old_readings(self, known: Known, now: datetime) -> Known:
        """What is known, and the readings about changes so long ago that a plan needs them no more."""
        asked = readings_asked(known.facts, now - REMEMBERED)
        if not asked:
            return known
        rests_on = asked, now.date()
        if self._old_readings[0] != rests_on:
            self._old_readings = rests_on, await old_readings(self._database, asked, now - REMEMBERED)
        here = {one.entry.id for one in known.facts}
        more = [one for one in self._old_readings[1] if one.entry.id not in here]
        return Known(tuple(sorted((*more, *known.facts), key=lambda one: one.order)), known.settings)

    async def _water_of_years(self, known: Known, ponds: Sequence[Pond], now: datetime) -> WaterDays:
        """The water's warmth by day since fish were first measured: read once a day, growth is told by months."""
        first = min((one.at for one in of_kinds(known.facts, FishMeasure)), default=None)
        if first is None:
            return {}
        since = max(first, now - timedelta(days=_GROWTH_DAYS_BACK))
        rests_on = (since, now.date(), [pond.id for pond in ponds])
        if self._water_days[0] != rests_on:
            self._water_days = rests_on, {pond.id: await water_days(self._database, pond.id, since) for pond in ponds}
        return self._water_days[1]

    async def _done_long_ago(self, known: Known, pond: Pond, now: datetime) -> Done:
        """When the work of the year was done, before what is known of every tick."""
        today = now.astimezone(zone_named(pond.zone)).date()
        asked = asks_for(known.standing_jobs(pond.id, today), today)
        before = self._long_ago.get(pond.id)
        if before is None or before[0] != (today, asked):  # it moves at midnight, and looks through years
            since, until = now - timedelta(days=_YEARS_BACK * 366), now - REMEMBERED
            done = await done_dates(self._database, pond.id, asked, since, until) if asked else {}
            before = self._long_ago[pond.id] = (today, asked), done
        return before[1]

    @staticmethod
    def _told(task: "asyncio.Task[Pages]") -> None:
        """Nobody waits for it: the old pages stand, and the log of the server says why."""
        if not task.cancelled() and (error := task.exception()) is not None:
            _log.error("The pages could not be worked out anew; the last ones stand.", exc_info=error)


def _pages(
    rests_on: tuple[int, int],
    known: Known,
    judged: Known,
    now: datetime,
    warm: Mapping[str, Warm],
    shown: Mapping[str, Shown],
    done: Mapping[str, Done],
    water: WaterDays,
) -> Pages:
    foretold = {pond: trends_of(of) for pond, of in shown.items()}
    plan = make_plan(known, 0, {}, now, foretold, None, warm)
    book = tuple(
        _book(known, judged, pond, shown[pond.id], warm[pond.id], done[pond.id], now)
        for pond in known.ponds(plan.days[0].date)
    )
    return Pages(rests_on, plan.water, warm, book, _fish(known, known.ponds(plan.days[0].date), warm, water, now))


def _fish(
    known: Known, ponds: Sequence[Pond], warm: Mapping[str, Warm], water: WaterDays, now: datetime
) -> tuple[PondFish, ...]:
    """The Fish pages; empty ones where a number is too odd to reckon with, so that it costs nobody the round."""
    try:
        register = register_of(known, water, now)
        return tuple(fish_of(known, pond, register, warm[pond.id].page, now) for pond in ponds)
    except (DomainError, ArithmeticError, ValueError):
        _log.exception("The Fish pages could not be worked out.")
        return tuple(PondFish(pond=pond.id, tag="not-worked-out") for pond in ponds)


def _book(known: Known, judged: Known, pond: Pond, shown: Shown, warm: Warm, done: Done, now: datetime) -> PondBook:
    """A pond's book; an empty one where a number is too odd to reckon with, so that it costs nobody the round."""
    try:
        return book_of(known, pond, shown, warm, done, effects_of(judged, pond, now), now)
    except (DomainError, ArithmeticError, ValueError):
        _log.exception("The book of pond %s could not be worked out.", pond.id)
        return PondBook(pond=pond.id, tag="not-worked-out")


def _rests_on(standing: Standing, now: datetime) -> tuple[int, int]:
    return int(now.timestamp() // _FRESH_FOR.total_seconds()), standing.told
