"""Jobs that were late when their day ended: the round drops them, and whoever was asleep has not heard of them yet."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Final

from msgspec.structs import replace

from evenwater.domain.entries import NotDone, Tick, zone_named
from evenwater.domain.fold import Seen, job_key
from evenwater.domain.rounds.heard.alarms import Alarm, Concern
from evenwater.domain.rounds.jobs import Plan

_TOLD_FOR: Final = timedelta(hours=24)


def still_missed(
    alarms: Sequence[Alarm],
    told: Mapping[str, Mapping[str, datetime]],
    plan: Plan,
    facts: Sequence[Seen],
    now: datetime,
) -> list[Concern]:
    """What was not done by the end of its day, is not done now, and was told to nobody before this day began.

    It lasts until a day after the job's hour, or until somebody records anything about that standing job.

    Args:
        alarms: Those that are not over.
        told: When each person was told, by alarm and person.
        plan: The plan as it stands.
        facts: The standing facts it was made of.
        now: The moment.
    """
    zone = zone_named(plan.zone)
    today = now.astimezone(zone).date()
    on_the_round = {f"job/{job.pond}/{job.id}" for day in plan.days if day.date == today for job in day.jobs}
    found: list[Concern] = []
    for alarm in alarms:
        concern = alarm.concern
        heard_on = [at.astimezone(zone).date() for at in told.get(alarm.id, {}).values()]
        if (
            concern.what == "job"
            and concern.about not in on_the_round
            and now - concern.at <= _TOLD_FOR
            and _first(heard_on, today) >= today
            and not _answered(concern, facts)
        ):
            due = concern.at.astimezone(zone)
            found.append(
                replace(
                    concern, says=f"It was due by {due:%H:%M} on {due:%A}, and nobody has recorded that it was done."
                )
            )
    return found


def _first(dates: Sequence[date], otherwise: date) -> date:
    return min(dates, default=otherwise)


def _answered(concern: Concern, facts: Sequence[Seen]) -> bool:
    """Whether that job was answered, or its standing job at any time since: covers that came off are past going on."""
    _, pond, *key = concern.about.split("/")
    return any(
        isinstance(one.entry, Tick | NotDone)
        and one.entry.pond == pond
        and one.entry.standing_job == key[0]
        and (one.at >= concern.at or job_key(one.entry) == "/".join(key))
        for one in facts
    )
