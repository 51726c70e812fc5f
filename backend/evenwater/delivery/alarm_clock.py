"""Tells the right people of what must not wait: the one on duty, then the next, each once."""

from collections.abc import Sequence
from datetime import datetime
from uuid import uuid4

from evenwater.delivery.addressees import addresses, outgoing
from evenwater.delivery.render.alarm import alarm_message, notice_message
from evenwater.domain.fold import Seen
from evenwater.domain.messages import Outgoing, Reach
from evenwater.domain.reach_hours import quiet_until
from evenwater.domain.rounds.alarms import Alarm, order_on_duty, to_hear
from evenwater.domain.rounds.concerns import concerns
from evenwater.domain.rounds.jobs import Plan
from evenwater.storage.alarms import match_alarms, open_alarms
from evenwater.storage.database import Database
from evenwater.storage.messages import keep_messages, message_keys
from evenwater.storage.push import Subscription


class AlarmClock:
    """One for the whole server."""

    def __init__(self, database: Database) -> None:
        self._database = database

    async def look(
        self,
        reaches: Sequence[Reach],
        subscriptions: Sequence[Subscription],
        keepers: Sequence[str],
        plan: Plan,
        facts: tuple[Seen, ...],
        now: datetime,
    ) -> None:
        """Raise, end and tell of alarms; keep what is to be sent.

        `keepers`: ids of all who run the household, as they joined.
        """
        names = plan.person_names | {one.id: one.name for each in plan.hand_overs for one in each.helpers}
        found = concerns(plan, facts, names, now)
        if {one.about for one in found} != {one.concern.about for one in await open_alarms(self._database)}:
            await match_alarms(self._database, found, now, [uuid4().hex for _ in found])
        reachable = [one for one in reaches if addresses(one, subscriptions, "alarms")]
        made: list[Outgoing] = []
        for alarm in await open_alarms(self._database):
            made += await self._tell(alarm, reachable, subscriptions, keepers, plan, now)
        made += self._notices(reachable, subscriptions, plan, now)
        if made:
            await keep_messages(self._database, made)

    async def _tell(
        self,
        alarm: Alarm,
        reachable: Sequence[Reach],
        subscriptions: Sequence[Subscription],
        keepers: Sequence[str],
        plan: Plan,
        now: datetime,
    ) -> list[Outgoing]:
        on_duty = next((one.on_duty for one in plan.ponds if one.id == alarm.concern.pond), ())
        by_person = {one.person: one for one in reachable}
        order = [by_person[one] for one in order_on_duty(alarm.concern, on_duty, keepers) if one in by_person]
        told = {key.split("/")[2]: at for key, at in (await message_keys(self._database, f"alarm/{alarm.id}/")).items()}
        made: list[Outgoing] = []
        for person in to_hear(alarm, order, told, now):
            after = [one.person for one in order[order.index(by_person[person]) + 1 :] if one.person not in told]
            next_name = plan.person_names.get(after[0]) if after and alarm.concern.next_too else None
            written = alarm_message(alarm.concern, plan.ring, next_name)
            made += [
                outgoing(by_person[person], one, f"alarm/{alarm.id}/{person}", written, "alarms", now, alarm.id)
                for one in addresses(by_person[person], subscriptions, "alarms")
            ]
        return made

    def _notices(
        self, reachable: Sequence[Reach], subscriptions: Sequence[Subscription], plan: Plan, now: datetime
    ) -> list[Outgoing]:
        """A double dose is told to both who gave it, outside their quiet hours; the key makes it once."""
        return [
            outgoing(reach, one, f"notice/{notice.id}/{reach.person}", notice_message(notice.text), "alarms", now)
            for notice in plan.notices
            if notice.what == "double_dose"
            for reach in reachable
            if reach.person in notice.people and quiet_until(reach, now) is None
            for one in addresses(reach, subscriptions, "alarms")
        ]
