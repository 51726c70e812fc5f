"""The plan, made from the log as it stands and kept as it was shown."""

import asyncio
from datetime import datetime, timedelta

from evenwater.domain.fold import Seen, fold, seen
from evenwater.domain.rounds.plan import MODEL_VERSION, Plan, PlanNews, make_plan, news_since
from evenwater.storage.database import Database
from evenwater.storage.entry_log import read_for_plan
from evenwater.storage.people import person_names
from evenwater.storage.shown import keep_shown

REMEMBERED = timedelta(days=90)


class Planner:
    """Reads on from where it stopped, so that one new entry costs one new row."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._entries: list[Seen] = []
        self._log_seq = 0
        self._shown: dict[str, str] = {}
        self._turn = asyncio.Lock()

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
        known = fold(self._entries)
        return make_plan(known, self._log_seq, await person_names(self._database), now), known.facts

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
