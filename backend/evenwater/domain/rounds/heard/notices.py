"""What stands on the round that is no job, about messages and alarms: what did not go out, what people heard of."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.messages import Message
from evenwater.domain.rounds.heard.alarms import Alarm
from evenwater.domain.rounds.jobs import Notice

GIVEN_UP_SHOWN: Final = timedelta(days=2)
TOLD_FOR: Final = timedelta(days=3)
PUT_BACK_TOLD_FOR: Final = timedelta(days=14)
_BY: Final = {"email": "by e-mail", "push": "as a notification"}


class NotTaken(Struct, frozen=True):
    """What a helper recorded and was not taken: it may have been done, and counts for nothing. `at`: by their phone."""

    entry: str
    hand_over: str
    helper: str
    pond: str
    at: datetime
    what: str


class PutBack(Struct, frozen=True):
    """The household was restored from a backup: when that was made, when it was put back.

    `access_ended`: whether links and keys have to be made anew.
    """

    backup_made_at: datetime
    restored_at: datetime
    access_ended: bool = True


class NoBackup(Struct, frozen=True):
    """The daily backup fails: since its first try that did, and why the last one did."""

    since: datetime
    problem: str


def put_back_notices(put_back: PutBack | None, zone: ZoneInfo) -> list[Notice]:
    """Which days may lack something, for as long as somebody may still miss it."""
    if put_back is None:
        return []
    text = (
        f"This household was put back from the backup of {_told(put_back.backup_made_at, zone)}. What a phone recorded"
        " since comes back when it is opened; what else came in those days, of probes for one, may be missing."
    )
    text += " Make helpers' links and probe keys anew." if put_back.access_ended else ""
    at = put_back.restored_at
    return [Notice(id=f"restored/{at:%Y%m%dT%H%M%S}", what="restored", at=at, text=text)]


def no_backup_notices(trouble: NoBackup | None, zone: ZoneInfo) -> list[Notice]:
    """That none could be made, since when, and why; until one is."""
    if trouble is None:
        return []
    text = f"No backup could be made since {_told(trouble.since, zone)}: {trouble.problem}. It is tried every hour."
    return [Notice(id=f"no-backup/{trouble.since:%Y%m%dT%H%M%S}", what="no_backup", at=trouble.since, text=text)]


def _told(at: datetime, zone: ZoneInfo) -> str:
    local = at.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b}, {local:%H:%M}"


def not_taken_notices(refused: Sequence[NotTaken], names: Mapping[str, str], zone: ZoneInfo) -> list[Notice]:
    """One for each helper: what was refused last, how much more there is, and what a keeper can do.

    `refused`: the oldest first.
    """
    by_helper: dict[str, list[NotTaken]] = {}
    for one in refused:
        by_helper.setdefault(one.helper, []).append(one)
    return [
        Notice(
            id=f"not-taken/{last.entry}",
            what="not_taken",
            at=last.at,
            text=_not_taken(last, len(all_of) - 1, names.get(helper, "a helper"), zone),
            pond=last.pond,
        )
        for helper, all_of in by_helper.items()
        for last in all_of[-1:]
    ]


def _not_taken(last: NotTaken, before: int, name: str, zone: ZoneInfo) -> str:
    at = last.at.astimezone(zone)
    were = "was" if before == 1 else "were"
    more = f" {before} more of the last days {were} not taken either." if before else ""
    return (
        f"What {name} recorded on {at:%a} {at.day} {at:%b} at {at:%H:%M} was not taken: {last.what}. It may have been"
        f" done all the same, and counts for nothing here: ask, and record it yourself.{more}"
    )


def not_sent_notices(troubled: Sequence[Message]) -> list[Notice]:
    """One for each person and way: that something did not go out, why, and whether it is tried again.

    `troubled`: the oldest first, waiting after a failure or given up.
    """
    grouped: dict[tuple[str, str, bool], list[Message]] = {}
    for one in troubled:
        grouped.setdefault((one.person, one.channel, one.state == "given_up"), []).append(one)
    return [
        Notice(
            id=f"not-sent/{messages[0].id}",
            what="not_sent",
            at=messages[-1].made_at,
            text=_not_sent(messages, channel, given_up),
            people=(person,),
        )
        for (person, channel, given_up), messages in grouped.items()
    ]


def _not_sent(messages: Sequence[Message], channel: str, given_up: bool) -> str:
    what = f"“{messages[0].subject}”" if len(messages) == 1 else f"{len(messages)} messages"
    have = "was" if len(messages) == 1 else "were"
    then = "It is not tried again." if given_up else "It is tried again by itself."
    return f"{what} {have} not sent {_BY[channel]}: {messages[-1].trouble}. {then}"


def alarm_notices(
    alarms: Sequence[Alarm], told: Mapping[str, Mapping[str, datetime]], names: Mapping[str, str], zone: ZoneInfo
) -> list[Notice]:
    """One for each alarm that somebody was told of, or that comes from somebody away: who heard, who is on it.

    Args:
        alarms: Those that are not over.
        told: When each person was told, by alarm and person.
        names: Keepers' names by id.
        zone: In which clock times are said.
    """
    found: list[Notice] = []
    for alarm in alarms:
        concern = alarm.concern
        heard = told.get(alarm.id, {})
        others = tuple(one for one in names if one != concern.not_to)
        if not heard and (concern.what not in ("trouble", "silence") or not others):
            continue
        says = [f"{concern.title}. {concern.says}" if concern.what in ("trouble", "silence") else f"{concern.title}."]
        says += [
            f"{names[person]} was told at {at.astimezone(zone):%H:%M}."
            for person, at in heard.items()
            if person in names
        ]
        if alarm.on_it is not None and alarm.on_it_at is not None:
            who = names.get(alarm.on_it, "Somebody")
            says.append(f"{who} is on it, since {alarm.on_it_at.astimezone(zone):%H:%M}.")
        people = others if concern.what == "trouble" and not heard else ()
        what = "silence" if concern.what == "silence" else "helper" if concern.what == "trouble" else "alarm"
        found.append(
            Notice(
                id=f"alarm/{alarm.id}",
                what=what,
                at=alarm.raised_at,
                text=" ".join(says),
                pond=concern.pond,
                people=people,
                alarm=alarm.id if alarm.on_it is None and alarm.over_at is None else None,
            )
        )
    return found
