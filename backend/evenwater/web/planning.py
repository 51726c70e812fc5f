"""The plan, made from the log as it stands and kept as it was shown."""

import asyncio
from datetime import datetime, timedelta

from msgspec.structs import replace

from evenwater.domain.fold import Seen, fold, seen
from evenwater.domain.rounds.plan import MODEL_VERSION, Plan, PlanNews, make_plan, news_since
from evenwater.domain.water.outlook import PondWater, Trend
from evenwater.domain.water.page import ShownTrends
from evenwater.storage.database import Database
from evenwater.storage.entry_log import read_for_plan
from evenwater.storage.people import person_names
from evenwater.storage.shown import keep_shown, shown_since
from evenwater.web.warmth_planning import WarmthPlanner

REMEMBERED = timedelta(days=90)


class Planner:
    """Reads on from where it stopped, so that one new entry costs one new row."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._entries: list[Seen] = []
        self._log_seq = 0
        self._shown: dict[str, str] = {}
        self._shown_water: dict[str, str] = {}
        self._water: tuple[tuple[int, datetime], tuple[PondWater, ...]] | None = None
        self._forecasts: dict[str, ShownTrends] | None = None
        self._warmth = WarmthPlanner(database)
        self._turn = asyncio.Lock()

    async def forget(self) -> None:
        """Read the log anew with the next plan: what was read before may no longer be what a plan rests on."""
        async with self._turn:
            self._entries, self._log_seq, self._water = [], 0, None

    async def plan(self, now: datetime) -> Plan:
        """The two weeks from today, from all that is in the log."""
        plan, _ = await self.plan_and_facts(now)
        return plan

    async def plan_and_facts(self, now: datetime) -> tuple[Plan, tuple[Seen, ...]]:
        """The plan, and the standing facts it was made from."""
        async with self._turn:  # two calls at once must not both read on from the same place
            fresh = await read_for_plan(self._database, self._log_seq, now - REMEMBERED)
            if fresh:
                self._entries.extend(seen(one) for one in fresh)
                self._log_seq = fresh[-1].seq
            if self._forecasts is None:
                self._forecasts = await self._read_forecasts(now)
        known = fold(self._entries)
        names = await person_names(self._database)
        of = (self._log_seq, now.replace(minute=0, second=0, microsecond=0))
        water = self._water[1] if self._water and self._water[0] == of else None
        warm = await self._warmth.of_ponds(known, now)
        plan = make_plan(known, self._log_seq, names, now, self._forecasts, water, warm)
        self._water = of, plan.water
        return plan, known.facts

    async def news(self, now: datetime, tags: dict[str, str]) -> PlanNews:
        """The plan less the days the device has already; today's is kept as shown when it is new."""
        plan = await self.plan(now)
        await self._keep(plan, now)
        return news_since(plan, tags)

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
        assert self._forecasts is not None
        for trend in water.trends:
            # What is past is in the log; only what was foretold has to be kept.
            foretold = replace(trend, past=(), workings=None)
            subject = f"trend/{water.pond}/{trend.quantity}"
            await keep_shown(self._database, now, subject, MODEL_VERSION, log_seq, foretold)
            self._forecasts.setdefault(water.pond, []).append((now, foretold))

    async def _read_forecasts(self, now: datetime) -> dict[str, ShownTrends]:
        forecasts: dict[str, ShownTrends] = {}
        for subject, shown_at, trend in await shown_since(self._database, "trend/", now - REMEMBERED, Trend):
            forecasts.setdefault(subject.split("/")[1], []).append((shown_at, trend))
        return forecasts
