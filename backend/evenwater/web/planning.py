"""The plan, made from the log as it stands and kept as it was shown.

A device gets the rounds of just this log at once. Where the pages behind them (water, warmth) have to be worked out
anew, it gets them as they stood and is told that newer ones follow; it asks again a moment later.
"""

import asyncio
from datetime import datetime

from msgspec.structs import replace

from evenwater.domain.fold import Known, Seen
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.plan import MODEL_VERSION, Plan, PlanNews, make_plan, news_since
from evenwater.domain.water.outlook import PondWater, Trend
from evenwater.domain.water.page import ShownTrends
from evenwater.storage.database import Database
from evenwater.storage.people import person_names
from evenwater.storage.shown import keep_shown, shown_since
from evenwater.web.log_reader import REMEMBERED, LogReader
from evenwater.web.page_maker import PageMaker, Pages


class Planner:
    """What is known, and the plans made of it."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._log = LogReader(database)
        self._pages = PageMaker(database)
        self._shown: dict[str, str] = {}
        self._shown_water: dict[str, str] = {}
        self._forecasts: dict[str, ShownTrends] | None = None
        self._turn = asyncio.Lock()

    async def forget(self) -> None:
        """Read the log anew with the next plan: what was read before may no longer be what a plan rests on."""
        async with self._turn:
            self._log.forget()
            self._pages.forget()

    async def known(self, now: datetime) -> tuple[Known, int]:
        """All that stands, and the last entry counted."""
        async with self._turn:  # two calls at once must not both read on from the same place
            return await self._log.known(now), self._log.log_seq

    async def ponds(self, now: datetime) -> list[Pond]:
        """Every pond as set for today."""
        known, _ = await self.known(now)
        return known.ponds(now.date())

    async def plan(self, now: datetime) -> Plan:
        """The two weeks from today, from all that is in the log."""
        plan, _ = await self.plan_and_facts(now)
        return plan

    async def plan_and_facts(self, now: datetime) -> tuple[Plan, tuple[Seen, ...]]:
        """The plan, and the standing facts it was made from."""
        known, log_seq = await self.known(now)
        pages = await self._pages.current(known, now, await self._foretold(now))
        return await self._made(known, log_seq, now, pages), known.facts

    async def news(self, now: datetime, tags: dict[str, str]) -> PlanNews:
        """The plan less the days and pages the device has already; what is new in it is kept as shown."""
        known, log_seq = await self.known(now)
        pages, follows = await self._pages.at_once(known, now, await self._foretold(now))
        plan = await self._made(known, log_seq, now, pages)
        await self._keep(plan, now)
        return replace(news_since(plan, tags), follows=follows)

    async def _made(self, known: Known, log_seq: int, now: datetime, pages: Pages) -> Plan:
        names = await person_names(self._database)
        return make_plan(known, log_seq, names, now, self._forecasts, pages.water, pages.warm)

    async def _keep(self, plan: Plan, now: datetime) -> None:
        for day in plan.days[:1]:
            subject = f"day/{day.date.isoformat()}"
            if self._shown.get(subject) != day.tag:
                await keep_shown(self._database, now, subject, MODEL_VERSION, plan.log_seq, day)
                self._shown = {subject: day.tag}
        for water in plan.water:
            if self._shown_water.get(water.pond) != water.tag:
                self._shown_water[water.pond] = water.tag
                await self._keep_forecasts(water, plan.log_seq, now)

    async def _keep_forecasts(self, water: PondWater, log_seq: int, now: datetime) -> None:
        forecasts = await self._foretold(now)
        for trend in water.trends:
            # What is past is in the log; only what was foretold has to be kept.
            foretold = replace(trend, past=(), workings=None)
            subject = f"trend/{water.pond}/{trend.quantity}"
            await keep_shown(self._database, now, subject, MODEL_VERSION, log_seq, foretold)
            forecasts.setdefault(water.pond, []).append((now, foretold))

    async def _foretold(self, now: datetime) -> dict[str, ShownTrends]:
        if self._forecasts is None:
            self._forecasts = await self._read_forecasts(now)
        return self._forecasts

    async def _read_forecasts(self, now: datetime) -> dict[str, ShownTrends]:
        forecasts: dict[str, ShownTrends] = {}
        for subject, shown_at, trend in await shown_since(self._database, "trend/", now - REMEMBERED, Trend):
            forecasts.setdefault(subject.split("/")[1], []).append((shown_at, trend))
        return forecasts
