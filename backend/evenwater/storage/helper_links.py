"""The links helpers come by, and the devices bound to them.

- Of a link's secret and of a device's token only the SHA-256 is kept; both are random enough to need no slow hash.
- A link is bound to one device at a time. What decides whether it may move to another is in `domain/away/links.py`;
  asking and binding happen in one transaction, so that two phones cannot both be first.
- What was revoked or has ended keeps its row and opens nothing.
"""

from contextlib import suppress
from datetime import datetime
from typing import Any

import aiosqlite

from evenwater.domain.away.links import Bound, HelperDevice, HelperLink, may_bind, still_may_move
from evenwater.domain.people import SEEN_EVERY
from evenwater.storage.database import Database, in_text
from evenwater.storage.errors import StorageUnavailable
from evenwater.storage.people import token_hash

_LINK = "id, hand_over, helper, made_at, made_by, first_bound_at, moves, may_move, revoked_at"
_DEVICE = "id, link, device, label, bound_at, last_seen_at, ended_at"


async def add_link(database: Database, link: HelperLink, secret: str) -> None:
    """Keep a new link. The ones before of the same helper end, and their devices with them."""
    async with database.transaction() as connection:
        rows = await connection.execute_fetchall(
            "SELECT id FROM helper_link WHERE hand_over = ? AND helper = ? AND revoked_at IS NULL",
            (link.hand_over, link.helper),
        )
        for (before,) in rows:
            await _revoke(connection, before, link.made_at)
        await connection.execute(
            "INSERT INTO helper_link (id, secret_sha256, hand_over, helper, made_at, made_by)"
            " VALUES (?, ?, ?, ?, ?, ?)",
            (link.id, token_hash(secret), link.hand_over, link.helper, in_text(link.made_at), link.made_by),
        )


async def links_of(database: Database, hand_over: str) -> list[tuple[HelperLink, list[HelperDevice]]]:
    """Every link there ever was of a hand-over with its devices, the newest first."""
    links = await _rows(
        database, f"SELECT {_LINK} FROM helper_link WHERE hand_over = ? ORDER BY made_at DESC, id", hand_over
    )
    devices = await _rows(
        database,
        f"SELECT {_DEVICE} FROM helper_device WHERE link IN (SELECT id FROM helper_link WHERE hand_over = ?)"
        " ORDER BY bound_at DESC, id",
        hand_over,
    )
    found = [_device(row) for row in devices]
    return [(link, [one for one in found if one.link == link.id]) for link in map(_link, links)]


async def link_by_secret(database: Database, secret: str) -> tuple[HelperLink, list[HelperDevice]] | None:
    """The link of that secret, with the devices that are bound to it now."""
    rows = await _rows(database, f"SELECT {_LINK} FROM helper_link WHERE secret_sha256 = ?", token_hash(secret))
    if not rows:
        return None
    return _link(rows[0]), await _bound_now(database.reader, rows[0][0])


async def revoke_link(database: Database, hand_over: str, link: str, now: datetime) -> bool:
    """End a link and its devices; False when the hand-over has no open one of that id."""
    async with database.transaction() as connection:
        return await _revoke(connection, link, now, hand_over)


async def allow_move(database: Database, hand_over: str, link: str) -> bool:
    """Let a link move once more; False when the hand-over has no open one of that id."""
    async with database.transaction() as connection:
        cursor = await connection.execute(
            "UPDATE helper_link SET may_move = 1 WHERE id = ? AND hand_over = ? AND revoked_at IS NULL",
            (link, hand_over),
        )
        return cursor.rowcount == 1


async def bind_device(database: Database, device: HelperDevice, token: str) -> Bound | None:
    """Bind a device to its link; what was bound before ends. None, and nothing changed, when it may not move."""
    async with database.transaction() as connection:
        rows = list(await connection.execute_fetchall(f"SELECT {_LINK} FROM helper_link WHERE id = ?", (device.link,)))
        link, before = _link(rows[0]), await _bound_now(connection, device.link)
        bound = may_bind(link, before, device.device, device.bound_at)
        if bound is None:
            return None
        now = in_text(device.bound_at)
        await connection.execute(
            "UPDATE helper_link SET first_bound_at = ifnull(first_bound_at, ?), moves = moves + ?, may_move = ?"
            " WHERE id = ?",
            (now, int(bound == "moved"), int(still_may_move(link, bound, device.bound_at)), link.id),
        )
        await connection.execute(
            "UPDATE helper_device SET ended_at = ? WHERE link = ? AND ended_at IS NULL", (now, link.id)
        )
        await connection.execute(
            "INSERT INTO helper_device (id, token_sha256, link, device, label, bound_at, last_seen_at)"
            " VALUES (?, ?, ?, ?, ?, ?, ?)",
            (device.id, token_hash(token), link.id, device.device, device.label, now, now),
        )
        return bound


async def device_by_token(database: Database, token: str) -> tuple[HelperLink, HelperDevice] | None:
    """The device a token stands for with its link, also when either has ended."""
    rows = await _rows(database, f"SELECT {_DEVICE} FROM helper_device WHERE token_sha256 = ?", token_hash(token))
    if not rows:
        return None
    device = _device(rows[0])
    (link,) = await _rows(database, f"SELECT {_LINK} FROM helper_link WHERE id = ?", device.link)
    return _link(link), device


async def see_device(database: Database, device: HelperDevice, now: datetime) -> bool:
    """Write that a device was seen, once an hour; whether that was written. A disk that is full stops nobody."""
    if now - device.last_seen_at < SEEN_EVERY:
        return False
    with suppress(StorageUnavailable):
        async with database.transaction() as connection:
            await connection.execute(
                "UPDATE helper_device SET last_seen_at = ? WHERE id = ?", (in_text(now), device.id)
            )
        return True
    return False


async def rename_device(database: Database, device_id: str, device: str) -> None:
    """Give a bound device to the id its browser now goes by."""
    async with database.transaction() as connection:
        await connection.execute("UPDATE helper_device SET device = ? WHERE id = ?", (device, device_id))


async def _revoke(connection: aiosqlite.Connection, link: str, now: datetime, hand_over: str | None = None) -> bool:
    cursor = await connection.execute(
        "UPDATE helper_link SET revoked_at = ?1 WHERE id = ?2 AND revoked_at IS NULL"
        " AND (?3 IS NULL OR hand_over = ?3)",
        (in_text(now), link, hand_over),
    )
    if cursor.rowcount != 1:
        return False
    await connection.execute(
        "UPDATE helper_device SET ended_at = ? WHERE link = ? AND ended_at IS NULL", (in_text(now), link)
    )
    return True


async def _bound_now(connection: aiosqlite.Connection, link: str) -> list[HelperDevice]:
    rows = await connection.execute_fetchall(
        f"SELECT {_DEVICE} FROM helper_device WHERE link = ? AND ended_at IS NULL", (link,)
    )
    return [_device(row) for row in rows]


async def _rows(database: Database, statement: str, *values: Any) -> list[Any]:
    return list(await database.reader.execute_fetchall(statement, values))


def _moment(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None


def _link(row: Any) -> HelperLink:
    return HelperLink(
        id=row[0],
        hand_over=row[1],
        helper=row[2],
        made_at=datetime.fromisoformat(row[3]),
        made_by=row[4],
        first_bound_at=_moment(row[5]),
        moves=row[6],
        may_move=bool(row[7]),
        revoked_at=_moment(row[8]),
    )


def _device(row: Any) -> HelperDevice:
    return HelperDevice(
        id=row[0],
        link=row[1],
        device=row[2],
        label=row[3],
        bound_at=datetime.fromisoformat(row[4]),
        last_seen_at=datetime.fromisoformat(row[5]),
        ended_at=_moment(row[6]),
    )
