"""Tells the right people of what must not wait: the one on duty, then the next, each once.

What one person is to be told at one look is one message: ten jobs late at the same hour are no ten letters.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import uuid4

from msgspec.structs import replace

from evenwater.delivery.addressees import addresses, outgoing
from evenwater.delivery.render.alarm import Telling, alarm_message, notice_message
from evenwater.domain.fold import Seen
from evenwater.domain.messages import Outgoing, Reach
from evenwater.domain.reach_hours import quiet_until
from evenwater.domain.rounds.heard.alarms import Alarm, order_on_duty, to_hear
from evenwater.domain.rounds.heard.concerns import concerns
from evenwater.domain.rounds.jobs import Plan
from evenwater.domain.rounds.missed import still_missed
from evenwater.storage.alarms import match_alarms, open_alarms
from evenwater.storage.database import Database
from evenwater.storage.messages import alarm_key, alarms_told, keep_messages, withdraw_alarms
from evenwater.storage.push import Subscription

Hearing = list[tuple[Reach, list[tuple[Alarm, Telling]]]]


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
        alarms, told = await open_alarms(self._database), await alarms_told(self._database)
        found = [*concerns(plan, facts, names, now), *still_missed(alarms, told, plan, facts, now)]
        if {one.about for one in found} != {one.concern.about for one in alarms}:
            await match_alarms(self._database, found, now, [uuid4().hex for _ in found])
            alarms = await open_alarms(self._database)
        await withdraw_alarms(self._database, {one.id for one in alarms if one.on_it is None})
        as_it_is = {one.about: one for one in found}
        alarms = [replace(one, concern=as_it_is.get(one.concern.about, one.concern)) for one in alarms]
        reachable = [one for one in reaches if addresses(one, subscriptions, "alarms")]
        made = self._told(_who_hears_what(alarms, told, reachable, keepers, plan, now), subscriptions, plan, now)
        made += self._notices(reachable, subscriptions, plan, now)
        if made:
            await keep_messages(self._database, made)

    def _told(
        self, hearing: Hearing, subscriptions: Sequence[Subscription], plan: Plan, now: datetime
    ) -> list[Outgoing]:
        """One message to each person and way, whatever number of alarms it tells of."""
        made: list[Outgoing] = []
        for reach, heard in hearing:
            alarms = [alarm.id for alarm, _ in heard]
            written = alarm_message([telling for _, telling in heard], plan.ring)
            made += [
                outgoing(reach, one, alarm_key(alarms, reach.person), written, "alarms", now, alarms)
                for one in addresses(reach, subscriptions, "alarms")
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


def _who_hears_what(
    alarms: Sequence[Alarm],
    told: Mapping[str, Mapping[str, datetime]],
    reachable: Sequence[Reach],
    keepers: Sequence[str],
    plan: Plan,
    now: datetime,
) -> Hearing:
    """For each person all they are to be told of now, what may cost fish first."""
    by_person = {one.person: one for one in reachable}
    hearing: dict[str, list[tuple[Alarm, Telling]]] = {}
    for alarm in sorted(alarms, key=lambda one: not one.concern.act_now):
        on_duty = next((one.on_duty for one in plan.ponds if one.id == alarm.concern.pond), ())
        line = [one for one in order_on_duty(alarm.concern, on_duty, keepers) if one in by_person]
        heard = told.get(alarm.id, {})
        for person in to_hear(alarm, [by_person[one] for one in line], heard, now):
            after = [one for one in line[line.index(person) + 1 :] if one not in heard]
            next_name = plan.person_names.get(after[0]) if after and alarm.concern.next_too else None
            hearing.setdefault(person, []).append((alarm, Telling(alarm.concern, next_name)))
    return [(by_person[person], heard) for person, heard in hearing.items()]
