"""Which browsers take notifications, and for whom.

A subscription counts while its person is signed in on its device: a device that was removed hears nothing more. A
browser that comes again with the same endpoint, whoever is signed in then, has it for that person alone.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from msgspec import Struct

from evenwater.storage.database import Database, in_text

MOST_OF_A_PERSON = 20

_COLUMNS = (
    "push_subscription.id, push_subscription.person_id, push_subscription.device, endpoint, p256dh, auth,"
    " wants_list, wants_alarms, made_at, device_label"
)
_IN_USE = (
    " FROM push_subscription JOIN session ON session.person_id = push_subscription.person_id"
    " AND session.device = push_subscription.device WHERE revoked_at IS NULL AND expires_at > ?"
)


class Subscription(Struct, frozen=True, kw_only=True):
    """A browser that takes notifications: where they go, and the two keys they are written for (RFC 8291)."""

    id: str
    person_id: str
    device: str
    endpoint: str
    p256dh: bytes
    auth: bytes
    wants_list: bool = True
    wants_alarms: bool = True
    made_at: datetime
    device_label: str = ""


async def keep_subscription(database: Database, one: Subscription) -> str:
    """Keep a browser's subscription, or what it changed about it; gives the id it goes by from now on.

    What the same device had before goes, and of too many the oldest.
    """
    async with database.transaction() as connection:
        await connection.execute(
            "DELETE FROM push_subscription WHERE device = ? AND endpoint <> ?", (one.device, one.endpoint)
        )
        rows = await connection.execute_fetchall(
            "INSERT INTO push_subscription"
            " (id, person_id, device, endpoint, p256dh, auth, wants_list, wants_alarms, made_at)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (endpoint) DO UPDATE SET person_id = excluded.person_id,"
            " device = excluded.device, p256dh = excluded.p256dh, auth = excluded.auth,"
            " wants_list = excluded.wants_list, wants_alarms = excluded.wants_alarms RETURNING id",
            (
                one.id,
                one.person_id,
                one.device,
                one.endpoint,
                one.p256dh,
                one.auth,
                int(one.wants_list),
                int(one.wants_alarms),
                in_text(one.made_at),
            ),
        )
        kept = str(next(iter(rows))[0])
        await connection.execute(
            "DELETE FROM push_subscription WHERE person_id = ?1 AND id NOT IN (SELECT id FROM push_subscription"
            " WHERE person_id = ?1 ORDER BY id = ?2 DESC, made_at DESC LIMIT ?3)",
            (one.person_id, kept, MOST_OF_A_PERSON),
        )
    return kept


async def subscriptions(database: Database, now: datetime) -> list[Subscription]:
    """Every subscription whose device is signed in, the oldest first."""
    rows = await database.reader.execute_fetchall(
        f"SELECT {_COLUMNS}{_IN_USE} ORDER BY made_at, push_subscription.id", (in_text(now),)
    )
    return [_subscription(row) for row in rows]


async def subscription(database: Database, subscription_id: str, now: datetime) -> Subscription | None:
    """The one of that id, while its device is signed in."""
    rows = await database.reader.execute_fetchall(
        f"SELECT {_COLUMNS}{_IN_USE} AND push_subscription.id = ?", (in_text(now), subscription_id)
    )
    return next((_subscription(row) for row in rows), None)


async def forget_subscription(database: Database, subscription_id: str) -> None:
    """The browser is gone, or wants no more."""
    async with database.transaction() as connection:
        await connection.execute("DELETE FROM push_subscription WHERE id = ?", (subscription_id,))


async def forget_device(database: Database, person_id: str, device: str) -> bool:
    """This person's device wants no more; False when it had none."""
    async with database.transaction() as connection:
        cursor = await connection.execute(
            "DELETE FROM push_subscription WHERE person_id = ? AND device = ?", (person_id, device)
        )
        return cursor.rowcount > 0


def _subscription(row: Sequence[Any]) -> Subscription:
    return Subscription(
        id=row[0],
        person_id=row[1],
        device=row[2],
        endpoint=row[3],
        p256dh=row[4],
        auth=row[5],
        wants_list=bool(row[6]),
        wants_alarms=bool(row[7]),
        made_at=datetime.fromisoformat(row[8]),
        device_label=row[9],
    )
