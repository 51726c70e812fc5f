"""The private calendar addresses: one a person, found by the hash of its token, gone when ended or made anew."""

import hmac
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime, timedelta
from typing import Any

from msgspec import Struct

from evenwater.domain.messages import Rings
from evenwater.storage.database import Database, in_text
from evenwater.storage.errors import StorageUnavailable
from evenwater.storage.people import token_hash

READ_EVERY = timedelta(minutes=30)
_COLUMNS = "person_id, rings, made_at, last_read_at, content_sha256, changed_at"


class Feed(Struct, frozen=True, kw_only=True):
    """Whose calendar it is, which jobs ring, since when it holds the same; `last_read_at` is true to half an hour."""

    person_id: str
    rings: Rings = "serious"
    made_at: datetime
    last_read_at: datetime | None = None
    content_sha256: bytes | None = None
    changed_at: datetime | None = None


async def make_feed(database: Database, feed: Feed, token: str) -> None:
    """Give a person a new address; the one before ends."""
    async with database.transaction() as connection:
        await connection.execute("DELETE FROM calendar_feed WHERE person_id = ?", (feed.person_id,))
        await connection.execute(
            "INSERT INTO calendar_feed (person_id, token_sha256, rings, made_at) VALUES (?, ?, ?, ?)",
            (feed.person_id, token_hash(token), feed.rings, in_text(feed.made_at)),
        )


async def feed_of(database: Database, person_id: str) -> Feed | None:
    """A person's address, if there is one."""
    return await _one(database, "person_id = ?", person_id)


async def feed_by_token(database: Database, token: str) -> Feed | None:
    """The address a token opens; None when it opens nothing."""
    wanted = token_hash(token)
    rows = list(
        await database.reader.execute_fetchall(
            f"SELECT {_COLUMNS}, token_sha256 FROM calendar_feed WHERE token_sha256 = ?", (wanted,)
        )
    )
    return _feed(rows[0]) if rows and hmac.compare_digest(rows[0][-1], wanted) else None


async def set_rings(database: Database, person_id: str, rings: Rings) -> bool:
    """Change which jobs ring; False when there is no address."""
    async with database.transaction() as connection:
        cursor = await connection.execute("UPDATE calendar_feed SET rings = ? WHERE person_id = ?", (rings, person_id))
        return cursor.rowcount == 1


async def end_feed(database: Database, person_id: str) -> bool:
    """End a person's address; False when there was none."""
    async with database.transaction() as connection:
        cursor = await connection.execute("DELETE FROM calendar_feed WHERE person_id = ?", (person_id,))
        return cursor.rowcount == 1


async def mark_read(database: Database, feed: Feed, content_sha256: bytes, now: datetime) -> datetime:
    """Note that it was read, and what it held; gives since when it has held just that.

    A disk that is full stops the note, not the calendar.
    """
    changed_at = feed.changed_at if feed.changed_at and feed.content_sha256 == content_sha256 else now
    if changed_at == now or feed.last_read_at is None or now - feed.last_read_at >= READ_EVERY:
        with suppress(StorageUnavailable):
            async with database.transaction() as connection:
                await connection.execute(
                    "UPDATE calendar_feed SET last_read_at = ?, content_sha256 = ?, changed_at = ? WHERE person_id = ?",
                    (in_text(now), content_sha256, in_text(changed_at), feed.person_id),
                )
    return changed_at


async def _one(database: Database, condition: str, value: object) -> Feed | None:
    rows = await database.reader.execute_fetchall(f"SELECT {_COLUMNS} FROM calendar_feed WHERE {condition}", (value,))
    return next((_feed(row) for row in rows), None)


def _feed(row: Sequence[Any]) -> Feed:
    return Feed(
        person_id=row[0],
        rings=row[1],
        made_at=datetime.fromisoformat(row[2]),
        last_read_at=datetime.fromisoformat(row[3]) if row[3] else None,
        content_sha256=row[4],
        changed_at=datetime.fromisoformat(row[5]) if row[5] else None,
    )
