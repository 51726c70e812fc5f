"""What people had to hear of, since when, and who is on it."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

import msgspec

from evenwater.domain.rounds.heard.alarms import Alarm, Concern
from evenwater.storage.database import Database, in_text

KEPT_FOR = timedelta(days=60)
QUIET_FOR = timedelta(hours=12)
"""What was over for less than this is the same again: a level that goes to and fro about a limit is told once."""
_COLUMNS = "id, content, raised_at, over_at, on_it, on_it_at"


async def match_alarms(database: Database, now_so: Sequence[Concern], now: datetime, new_ids: Sequence[str]) -> None:
    """Make the alarms those that are so now: raise what is new, under one of `new_ids` each, and end what is over."""
    about = msgspec.json.encode([one.about for one in now_so]).decode()
    async with database.transaction() as connection:
        await connection.execute(
            "UPDATE alarm SET over_at = ? WHERE over_at IS NULL AND about NOT IN (SELECT value FROM json_each(?))",
            (in_text(now), about),
        )
        for concern, new_id in zip(now_so, new_ids, strict=True):
            again = await connection.execute(
                "UPDATE alarm SET over_at = NULL WHERE about = ?1 AND over_at >= ?2 AND raised_at ="
                " (SELECT max(raised_at) FROM alarm WHERE about = ?1)"
                " AND NOT EXISTS (SELECT 1 FROM alarm WHERE about = ?1 AND over_at IS NULL)",
                (concern.about, in_text(now - QUIET_FOR)),
            )
            if again.rowcount == 0:
                await connection.execute(
                    "INSERT INTO alarm (id, about, content, raised_at) VALUES (?, ?, ?, ?)"
                    " ON CONFLICT (about) WHERE over_at IS NULL DO NOTHING",
                    (new_id, concern.about, msgspec.json.encode(concern).decode(), in_text(now)),
                )


async def open_alarms(database: Database) -> list[Alarm]:
    """Those that are not over, the oldest first."""
    return await _found(database, "over_at IS NULL ORDER BY raised_at, id")


async def alarm(database: Database, alarm_id: str) -> Alarm | None:
    """The one of that id."""
    return next(iter(await _found(database, "id = ?", alarm_id)), None)


async def take_on(database: Database, alarm_id: str, person: str, now: datetime) -> Alarm | None:
    """Somebody is on it, unless it is over; whoever said so first stays. Gives the alarm as it stands then."""
    async with database.transaction() as connection:
        await connection.execute(
            "UPDATE alarm SET on_it = ?, on_it_at = ? WHERE id = ? AND on_it IS NULL AND over_at IS NULL",
            (person, in_text(now), alarm_id),
        )
    return await alarm(database, alarm_id)


async def forget_old_alarms(database: Database, now: datetime) -> None:
    """Drop those that were over long ago."""
    async with database.transaction() as connection:
        await connection.execute("DELETE FROM alarm WHERE over_at < ?", (in_text(now - KEPT_FOR),))


async def _found(database: Database, condition: str, *values: Any) -> list[Alarm]:
    rows = await database.reader.execute_fetchall(f"SELECT {_COLUMNS} FROM alarm WHERE {condition}", values)
    return [
        Alarm(
            id=row[0],
            concern=msgspec.json.decode(row[1], type=Concern),
            raised_at=datetime.fromisoformat(row[2]),
            over_at=datetime.fromisoformat(row[3]) if row[3] else None,
            on_it=row[4],
            on_it_at=datetime.fromisoformat(row[5]) if row[5] else None,
        )
        for row in rows
    ]
