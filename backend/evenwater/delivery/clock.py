"""Looks a few times a minute what people must hear of, makes it, and has it carried.

Each part stands for itself: a list that cannot be made holds up no alarm, and what is waiting goes out whatever else
fails.
"""

import asyncio
import contextlib
import logging
from collections.abc import Awaitable, Callable, Mapping
from datetime import datetime, timedelta
from functools import partial

from evenwater.delivery.alarm_clock import AlarmClock
from evenwater.delivery.list_clock import ListClock
from evenwater.delivery.messenger import Messenger
from evenwater.delivery.send.not_sent import Carrier
from evenwater.domain.fold import Seen
from evenwater.domain.messages import CHANNELS, Channel, Reach
from evenwater.domain.rounds.jobs import Plan
from evenwater.storage.alarms import forget_old_alarms
from evenwater.storage.database import Database
from evenwater.storage.messages import forget_old_messages
from evenwater.storage.people import people
from evenwater.storage.push import Subscription, subscriptions
from evenwater.storage.reach import everybody

LOOK_EVERY_S = 20.0
_TIDY_EVERY = timedelta(days=1)

PlanAndFacts = Callable[[datetime], Awaitable[tuple[Plan, tuple[Seen, ...]]]]

log = logging.getLogger("evenwater.messages")


class DeliveryClock:
    """One for the whole server. `plan_and_facts`: the plan at a moment and what it was made from."""

    def __init__(
        self,
        database: Database,
        plan_and_facts: PlanAndFacts,
        carriers: Mapping[Channel, Carrier],
        clock: Callable[[], datetime],
    ) -> None:
        self._database, self._plan_and_facts, self._clock = database, plan_and_facts, clock
        self._lists, self._alarms = ListClock(database), AlarmClock(database)
        self._messenger = Messenger(database, carriers, clock)
        self._to_make = asyncio.Event()
        self._to_carry: dict[Channel, asyncio.Event] = {channel: asyncio.Event() for channel in CHANNELS}
        self._tidied_at: datetime | None = None

    def wake(self) -> None:
        """Look at once: somebody waits for it."""
        self._to_make.set()
        self._carry_now()

    async def run(self) -> None:
        """Until cancelled. Nothing that goes wrong here ends it, or the server beside it."""
        async with asyncio.TaskGroup() as beside:
            beside.create_task(_again_and_again(self.make, self._to_make, "making messages"))
            for channel, asked in self._to_carry.items():
                deliver = partial(self._messenger.deliver_by, channel)
                beside.create_task(_again_and_again(deliver, asked, f"sending by {channel}"))

    def _carry_now(self) -> None:
        for asked in self._to_carry.values():
            asked.set()

    async def look(self) -> None:
        """Make what is due and carry what is waiting, once."""
        await self.make()
        await self._messenger.deliver()

    async def make(self) -> None:
        """Keep every list and alarm that is due, to be sent."""
        now = self._clock()
        reaches, subscribed = await everybody(self._database), await subscriptions(self._database, now)
        reaches += _by_notification_alone(reaches, subscribed)
        plan, facts = await self._plan_and_facts(now)
        due = await self._lists.due(reaches, now)
        try:
            await self._lists.make(due, subscribed, plan, facts, now)
        finally:
            keepers = [one.id for one in await people(self._database)]
            await self._alarms.look(reaches, subscribed, keepers, plan, facts, now)
            self._carry_now()
        await self._tidy(now)

    async def _tidy(self, now: datetime) -> None:
        if self._tidied_at is None or now - self._tidied_at > _TIDY_EVERY:
            await forget_old_messages(self._database, now)
            await forget_old_alarms(self._database, now)
            self._tidied_at = now


async def _again_and_again(act: Callable[[], Awaitable[None]], asked: asyncio.Event, what: str) -> None:
    while True:
        asked.clear()
        try:
            await act()
        except Exception:
            log.exception("unforeseen while %s", what)
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(asked.wait(), LOOK_EVERY_S)


def _by_notification_alone(reaches: list[Reach], subscribed: list[Subscription]) -> list[Reach]:
    """Those who take notifications and have said nothing else: alarms reach them, with the usual quiet hours."""
    known = {one.person for one in reaches}
    return [Reach(person=one) for one in dict.fromkeys(one.person_id for one in subscribed) if one not in known]
