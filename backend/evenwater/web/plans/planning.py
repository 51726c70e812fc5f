"""The plan, made from the log as it stands and kept as it was shown.

A device gets the rounds of just this log at once. Where the pages behind them (water, warmth) have to be worked out
anew, it gets them as they stood and is told that newer ones follow; it asks again a moment later.
"""

import asyncio
from datetime import date, datetime, timedelta

from msgspec.structs import replace

from evenwater.domain.away.helper_plan import helper_names, helper_plan
from evenwater.domain.away.scope import Scope
from evenwater.domain.away.shown_entries import shown_facts
from evenwater.domain.book.back import DAYS_BACK, days_back
from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Known, Seen
from evenwater.domain.learn.estimate import MODEL_VERSION
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.jobs import Day, Plan, PlanNews
from evenwater.domain.rounds.plan import make_plan, news_since
from evenwater.storage.database import Database
from evenwater.storage.people import person_names
from evenwater.storage.shown import days_shown, keep_shown
from evenwater.web.plans.log_reader import LogReader, Standing
from evenwater.web.plans.notices import notices_of
from evenwater.web.plans.page_maker import PageMaker, Pages
from evenwater.web.plans.shown_keeping import ShownKeeper


class Planner:
    """What is known, and the plans made of it.

    `helpers_turn`: held from judging what a helper sends until it is kept.
    """

    def __init__(self, database: Database) -> None:
        self._database = database
        self._log = LogReader(database)
        self._shown = ShownKeeper(database)
        self._pages = PageMaker(database, self._shown)
        self._today: tuple[str, date, str] | None = None
        self._back: tuple[tuple[date, str], tuple[Day, ...]] | None = None
        self._turn = asyncio.Lock()
        self.helpers_turn = asyncio.Lock()

    async def forget(self) -> None:
        """Read the log anew with the next plan: what was read before may no longer be what a plan rests on."""
        async with self._turn:
            self._log.forget()
            self._pages.forget()

    async def _standing(self, now: datetime) -> Standing:
        async with self._turn:  # two calls at once must not both read on from the same place
            return await self._log.standing(now)

    async def ponds(self, now: datetime) -> list[Pond]:
        """Every pond as set for today."""
        known = (await self._standing(now)).known
        return known.ponds(known.civil_date(now)[0])

    async def known(self, now: datetime) -> Known:
        """All that stands, as far back as a plan remembers."""
        return (await self._standing(now)).known

    async def plan(self, now: datetime) -> Plan:
        """The two weeks from today, from all that is in the log."""
        plan, _ = await self.plan_and_facts(now)
        return plan

    async def plan_and_facts(self, now: datetime) -> tuple[Plan, tuple[Seen, ...]]:
        """The plan, and the standing facts it was made from."""
        standing = await self._standing(now)
        return await self._made(standing, now, await self._pages.current(standing, now)), standing.known.facts

    async def news(self, now: datetime, tags: dict[str, str]) -> PlanNews:
        """The plan less the days and pages the device has already; what is new in it is kept as shown."""
        standing = await self._standing(now)
        pages, follows = await self._pages.at_once(standing, now)
        plan = await self._made(standing, now, pages)
        await self._keep_today(plan, now)
        if not follows:
            await self._shown.keep(plan, now)
        return replace(news_since(plan, tags), follows=follows)

    async def helper_plan(self, now: datetime, scope: Scope) -> tuple[Plan, tuple[Seen, ...]]:
        """The plan a helper has, and the standing facts they are shown."""
        standing = await self._standing(now)
        plan = await self._made(standing, now, await self._pages.current(standing, now))
        return helper_plan(plan, scope, standing.known), shown_facts(standing.known, scope)

    async def helper_news(self, now: datetime, scope: Scope, tags: dict[str, str]) -> PlanNews:
        """A helper's plan less the days the device has already.

        The round it was taken from is kept as shown: while the keepers are away nobody else may look at it, and on
        coming home they ask what was missed.
        """
        standing = await self._standing(now)
        pages, follows = await self._pages.at_once(standing, now)
        whole = await self._made(standing, now, pages)
        await self._keep_today(whole, now)
        return replace(news_since(helper_plan(whole, scope, standing.known), tags), follows=follows)

    async def _made(self, standing: Standing, now: datetime, pages: Pages) -> Plan:
        names = await person_names(self._database) | helper_names(standing.known)
        plan = make_plan(
            standing.known, standing.log_seq, names, now, water=pages.water, warm=pages.warm, fish=pages.fish
        )
        notices = await notices_of(self._database, names, zone_named(plan.zone), now)
        back = await self._days_back(plan.days[0].date)
        return replace(plan, book=pages.book, back=back, notices=(*plan.notices, *notices))

    async def _keep_today(self, plan: Plan, now: datetime) -> None:
        today = plan.days[0]
        as_shown = (plan.zone, today.date, today.tag)
        if self._today != as_shown:
            subject = f"day/{today.date.isoformat()}"
            await keep_shown(self._database, now, subject, MODEL_VERSION, plan.log_seq, today)
            self._today = as_shown

    async def _days_back(self, today: date) -> tuple[Day, ...]:
        """The days before today: they change no more once they are over, but for a name that was erased."""
        asked = today, await self._database.epoch()
        if self._back is None or self._back[0] != asked:
            first, last = today - timedelta(days=DAYS_BACK), today - timedelta(days=1)
            self._back = asked, days_back(await days_shown(self._database, first, last), today)
        return self._back[1]
