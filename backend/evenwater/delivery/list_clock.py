"""Sends everybody the day's list at the hour they chose, in their own zone, once a date.

What makes it once is the message's key, which is kept before anything is sent: whoever restarts the server, and
whatever the clocks do, a date has one list for a person and a way.
"""

import logging
from datetime import date, datetime

from evenwater.delivery.addressees import addresses, outgoing
from evenwater.delivery.render.daily_list import daily_list
from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.messages import Outgoing, Reach
from evenwater.domain.reach_hours import list_due
from evenwater.domain.rounds.jobs import Plan
from evenwater.domain.rounds.today import job_now, jobs_on
from evenwater.storage.database import Database
from evenwater.storage.messages import keep_messages, message_keys
from evenwater.storage.push import Subscription

log = logging.getLogger("evenwater.lists")


class ListClock:
    """One for the whole server."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._settled: set[tuple[str, date]] = set()

    async def due(self, reaches: list[Reach], now: datetime) -> list[tuple[Reach, date]]:
        """Whose list is to be made now, and for which date."""
        found: list[tuple[Reach, date]] = []
        for reach in reaches:
            asked = list_due(reach, now)
            if asked is None or (reach.person, asked[0]) in self._settled:
                continue
            on, still = asked
            if await message_keys(self._database, _key(reach, on)):
                self._settled.add((reach.person, on))
            elif still:
                found.append((reach, on))
            else:
                log.warning("the list of %s for %s is skipped: its hour is long past", on, reach.person)
                self._settled.add((reach.person, on))
        return found

    async def make(
        self,
        asked: list[tuple[Reach, date]],
        subscriptions: list[Subscription],
        plan: Plan,
        facts: tuple[Seen, ...],
        now: datetime,
    ) -> None:
        """Keep the lists of those people to be sent, each as it stands now."""
        for reach, on in asked:
            made = self._lists(reach, on, subscriptions, plan, facts, now)
            await keep_messages(self._database, made)
            if made:  # else they have no way yet, and may have one in a minute
                self._settled.add((reach.person, on))

    def _lists(
        self,
        reach: Reach,
        on: date,
        subscriptions: list[Subscription],
        plan: Plan,
        facts: tuple[Seen, ...],
        now: datetime,
    ) -> list[Outgoing]:
        today = now.astimezone(zone_named(plan.zone)).date()
        jobs = jobs_on(plan.days, facts, plan.log_seq, today)
        states = [job_now(job, facts, plan.log_seq, now, True) for job in jobs]
        told = [
            one.text
            for one in plan.notices
            if one.what != "not_sent" and reach.person in (one.people or [reach.person])
        ]
        written = daily_list(plan, jobs, states, today, now, told)
        return [
            outgoing(reach, one, _key(reach, on), written, "list", now)
            for one in addresses(reach, subscriptions, "list")
        ]


def _key(reach: Reach, on: date) -> str:
    return f"list/{reach.person}/{on.isoformat()}"
