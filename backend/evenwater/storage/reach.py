"""How people want to be reached. Whoever has said nothing hears nothing."""

from datetime import datetime

import msgspec

from evenwater.domain.messages import Reach
from evenwater.storage.database import Database, in_text


async def reach_of(database: Database, person: str) -> Reach | None:
    """What a person has said; None while they have said nothing."""
    rows = await database.reader.execute_fetchall("SELECT content FROM reach WHERE person = ?", (person,))
    return next((msgspec.json.decode(content, type=Reach) for (content,) in rows), None)


async def everybody(database: Database) -> list[Reach]:
    """What everybody has said, who joined first first."""
    rows = await database.reader.execute_fetchall(
        "SELECT content FROM reach JOIN person ON person.id = reach.person ORDER BY created_at, person.id"
    )
    return [msgspec.json.decode(content, type=Reach) for (content,) in rows]


async def keep_reach(database: Database, reach: Reach, now: datetime) -> None:
    """Keep what a person says, in place of what they said before."""
    async with database.transaction() as connection:
        await connection.execute(
            "INSERT INTO reach (person, content, changed_at) VALUES (?, ?, ?)"
            " ON CONFLICT DO UPDATE SET content = excluded.content, changed_at = excluded.changed_at",
            (reach.person, msgspec.json.encode(reach).decode(), in_text(now)),
        )
