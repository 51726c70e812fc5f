"""The keys loggers send with: each names one pond and some of its series, and opens nothing else.

- A key is "evenwater_ID_SECRET". Of it only the SHA-256 is kept; 256 random bits need no slow hash. It is found by its
  ID and compared in constant time, also when there is none of that ID.
- A key that was revoked keeps its row and opens nothing.
"""

import hmac
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime, timedelta
from typing import Any

import msgspec

from evenwater.storage.database import Database, in_text
from evenwater.storage.errors import StorageUnavailable
from evenwater.storage.people import token_hash

SEEN_EVERY = timedelta(minutes=10)
_PREFIX = "evenwater"
_NOBODYS = token_hash("")
_COLUMNS = "id, pond, series, label, created_at, created_by, last_used_at"


class ProbeKey(msgspec.Struct, frozen=True, kw_only=True):
    """A key as it is listed; `last_used_at` is true to ten minutes."""

    id: str
    pond: str
    series: tuple[str, ...]
    label: str
    created_at: datetime
    created_by: str
    last_used_at: datetime | None = None


def token_of(key_id: str, secret: str) -> str:
    """What the logger sends."""
    return f"{_PREFIX}_{key_id}_{secret}"


async def add_probe_key(database: Database, key: ProbeKey, token: str) -> None:
    """Keep a new key."""
    async with database.transaction() as connection:
        await connection.execute(
            "INSERT INTO probe_key (id, token_sha256, pond, series, label, created_at, created_by)"
            " VALUES (?, ?, ?, ?, ?, ?, ?)",
            (
                key.id,
                token_hash(token),
                key.pond,
                msgspec.json.encode(key.series).decode(),
                key.label,
                in_text(key.created_at),
                key.created_by,
            ),
        )


async def probe_keys(database: Database) -> list[ProbeKey]:
    """Every key that still opens something, the newest first."""
    rows = await database.reader.execute_fetchall(
        f"SELECT {_COLUMNS} FROM probe_key WHERE revoked_at IS NULL ORDER BY created_at DESC, id"
    )
    return [_key(row) for row in rows]


async def use_probe_key(database: Database, token: str, now: datetime) -> ProbeKey | None:
    """The key a token is; None when it opens nothing. That it was used is written once in ten minutes.

    A disk that is full stops that write alone.
    """
    prefix, _, rest = token.partition("_")
    rows = list(
        await database.reader.execute_fetchall(
            f"SELECT {_COLUMNS}, token_sha256 FROM probe_key WHERE id = ? AND revoked_at IS NULL",
            (rest.partition("_")[0],),
        )
    )
    kept: bytes = rows[0][-1] if rows else _NOBODYS
    is_right = hmac.compare_digest(token_hash(token), kept)
    if not (rows and is_right and prefix == _PREFIX):
        return None
    key = _key(rows[0])
    if key.last_used_at is None or now - key.last_used_at >= SEEN_EVERY:
        with suppress(StorageUnavailable):
            async with database.transaction() as connection:
                await connection.execute("UPDATE probe_key SET last_used_at = ? WHERE id = ?", (in_text(now), key.id))
    return key


async def revoke_probe_key(database: Database, key_id: str, now: datetime) -> bool:
    """End a key; False when no open one has that id."""
    async with database.transaction() as connection:
        cursor = await connection.execute(
            "UPDATE probe_key SET revoked_at = ? WHERE id = ? AND revoked_at IS NULL", (in_text(now), key_id)
        )
        return cursor.rowcount == 1


def _key(row: Sequence[Any]) -> ProbeKey:
    return ProbeKey(
        id=row[0],
        pond=row[1],
        series=tuple(msgspec.json.decode(row[2], type=list[str])),
        label=row[3],
        created_at=datetime.fromisoformat(row[4]),
        created_by=row[5],
        last_used_at=datetime.fromisoformat(row[6]) if row[6] else None,
    )
