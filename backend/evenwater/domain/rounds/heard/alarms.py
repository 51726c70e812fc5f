"""What people must hear of though they are not looking, who hears first, and who next.

- A concern is something that is so now. It becomes an alarm when it is first noticed, stays one while it lasts, and is
  over when it no longer is so. `about` tells one from another.
- The person on duty hears first; the next after half an hour, unless somebody said "I am on it" or it is over. Each
  hears once.
- Quiet hours are kept, except where waiting till morning may cost fish: somebody says that something is wrong, water
  runs into the pond past its time, the power is out. Those are `act_now`.
- Who reported something is not told of it.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final, Literal

from msgspec import Struct

from evenwater.domain.messages import Reach
from evenwater.domain.reach_hours import quiet_until

NEXT_AFTER: Final = timedelta(minutes=30)
"""Time enough to be in the shower, too little for a pond to come to harm. Our own rule of thumb."""

AlarmKind = Literal["job", "trouble", "water_running", "power_out", "warning", "silence"]


class Concern(Struct, frozen=True, kw_only=True):
    """Something that is so, in one sentence; since when, and what to do first.

    `whose`: people it is for, before whoever is on duty. `not_to`: who reported it. `next_too`: whether the next one on
    duty hears as well.
    """

    about: str
    what: AlarmKind
    pond: str
    at: datetime
    title: str
    says: str
    first: tuple[str, ...] = ()
    act_now: bool = False
    next_too: bool = True
    whose: tuple[str, ...] = ()
    not_to: str | None = None


class Alarm(Struct, frozen=True, kw_only=True):
    """A concern since it was noticed; `on_it`: who said that they are on it."""

    id: str
    concern: Concern
    raised_at: datetime
    over_at: datetime | None = None
    on_it: str | None = None
    on_it_at: datetime | None = None


def order_on_duty(concern: Concern, on_duty: Sequence[str], keepers: Sequence[str]) -> list[str]:
    """Who may have to hear, first to last: whose it is, then who is on duty; all keepers where nobody was set for duty.

    `keepers` are all who run the household, as they joined; others are left out.
    """
    asked = [*concern.whose, *(on_duty or keepers)]
    return [one for one in dict.fromkeys(asked) if one in keepers and one != concern.not_to]


def to_hear(alarm: Alarm, order: Sequence[Reach], told: Mapping[str, datetime], now: datetime) -> list[str]:
    """Who is to be told now.

    Args:
        alarm: One that is not over.
        order: How everybody in line who can be reached at all wants to be reached, first to last.
        told: When those were told who have been, by person.
        now: The moment.
    """
    if alarm.on_it is not None or alarm.over_at is not None:
        return []
    line = order if alarm.concern.next_too else order[:1]
    at, hear = alarm.raised_at, list[str]()
    for reach in line:
        if at > now:
            break
        if reach.person in told:
            at = told[reach.person] + NEXT_AFTER
            continue
        if alarm.concern.act_now or quiet_until(reach, now) is None:
            hear.append(reach.person)
            at = now + NEXT_AFTER
        else:  # it waits for the morning, and the next one does not wait for that
            at += NEXT_AFTER
    return hear
