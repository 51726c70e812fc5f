"""Messages on their way to people, and what became of them.

- A message is kept before it is sent, under a key that is there once. What is waiting after a crash goes out again with
  the same id, so that a second copy can be known for one.
- What a message said is blanked once it has gone: it holds what the household does, and links that act.
"""

from collections.abc import Collection, Sequence
from datetime import datetime, timedelta
from typing import Any

import msgspec

from evenwater.domain.messages import Message, Outgoing, WayOut
from evenwater.storage.database import Database, in_text
from evenwater.storage.people import token_hash

KEPT_FOR = timedelta(days=60)
WAYS_OUT_FOR = timedelta(days=400)
"""A way out of an old message still works: whoever wants no more should not have to look for the newest."""

_JOINS = "+"
_FIELDS = Message.__struct_fields__
_COLUMNS = ", ".join(f'"{name}"' for name in _FIELDS)
_MARKS = ", ".join("?" * len(_FIELDS))


async def keep_messages(database: Database, outgoing: Sequence[Outgoing]) -> list[Message]:
    """Keep messages to be sent, in one transaction; gives those that are new. A key that is there stays as it is."""
    kept: list[Message] = []
    async with database.transaction() as connection:
        for one in outgoing:
            cursor = await connection.execute(
                f"INSERT INTO message ({_COLUMNS}) VALUES ({_MARKS}) ON CONFLICT (key) DO NOTHING",
                _row(one.message),
            )
            if cursor.rowcount != 1:
                continue
            kept.append(one.message)
            await connection.executemany(
                "INSERT INTO way_out (token_sha256, act, person, alarm, made_at) VALUES (?, ?, ?, ?, ?)",
                [
                    (token_hash(token), way.act, way.person, _JOINS.join(way.alarms) or None, in_text(way.made_at))
                    for token, way in one.ways.items()
                ],
            )
    return kept


async def due_messages(database: Database, now: datetime) -> list[Message]:
    """Those waiting whose turn has come, the oldest first."""
    return await _found(database, "state = 'waiting' AND next_try_at <= ? ORDER BY made_at, id", in_text(now))


async def message_keys(database: Database, begins: str) -> dict[str, datetime]:
    """When each message was made whose key begins so."""
    rows = await database.reader.execute_fetchall(
        "SELECT key, made_at FROM message WHERE key >= ?1 AND key < ?1 || char(1114111)", (begins,)
    )
    return {key: datetime.fromisoformat(made_at) for key, made_at in rows}


def alarm_key(alarms: Sequence[str], person: str) -> str:
    """The key of what tells one person of those alarms, without its way."""
    return f"alarm/{_JOINS.join(alarms)}/{person}"


async def alarms_told(database: Database) -> dict[str, dict[str, datetime]]:
    """When each person was first told of each alarm, by alarm and person."""
    told: dict[str, dict[str, datetime]] = {}
    for key, at in (await message_keys(database, "alarm/")).items():
        _, alarms, person, *_ = key.split("/")
        for one in _ids(alarms):
            told.setdefault(one, {}).setdefault(person, at)
    return told


async def withdraw_alarms(database: Database, still: Collection[str]) -> None:
    """Drop what could not be sent yet and tells of no alarm that somebody must still hear of; `still`: ids of those."""
    failed = await _found(database, "state = 'waiting' AND tries > 0 AND key >= 'alarm/' AND key < 'alarm0'")
    past = [(one.id,) for one in failed if not set(_ids(one.key.split("/")[1])) & set(still)]
    if past:
        async with database.transaction() as connection:
            await connection.executemany("DELETE FROM message WHERE id = ? AND state = 'waiting'", past)


async def mark_sent(database: Database, message: Message, now: datetime) -> None:
    """It was taken."""
    await _mark(database, message, "state = 'sent', sent_at = ?, text = '', html = NULL, ways_out = '{}'", in_text(now))


async def mark_not_sent(database: Database, message: Message, why: str, next_try_at: datetime | None) -> None:
    """It was not taken: tried again then, or given up."""
    if next_try_at is None:
        await _mark(database, message, "state = 'given_up', trouble = ?, text = '', html = NULL, ways_out = '{}'", why)
    else:
        await _mark(database, message, "trouble = ?, next_try_at = ?", why, in_text(next_try_at))


async def _mark(database: Database, message: Message, change: str, *values: str) -> None:
    async with database.transaction() as connection:
        await connection.execute(f"UPDATE message SET tries = tries + 1, {change} WHERE id = ?", (*values, message.id))


async def redirect(database: Database, person: str, to: str, now: datetime) -> None:
    """Send a person's waiting e-mails to another address, and try at once."""
    async with database.transaction() as connection:
        await connection.execute(
            "UPDATE message SET \"to\" = ?, next_try_at = ? WHERE state = 'waiting' AND channel = 'email'"
            " AND person = ?",
            (to, in_text(now), person),
        )


async def withdraw(database: Database, person: str, begins: str = "") -> None:
    """Drop a person's waiting e-mails whose key begins so: they are not wanted any more."""
    async with database.transaction() as connection:
        await connection.execute(
            "DELETE FROM message WHERE state = 'waiting' AND channel = 'email' AND person = ?"
            " AND substr(key, 1, ?) = ?",
            (person, len(begins), begins),
        )


async def messages_of(database: Database, person: str, most: int = 5) -> list[Message]:
    """A person's last messages, the newest first."""
    return await _found(database, "person = ? ORDER BY made_at DESC, id LIMIT ?", person, most)


async def troubled_messages(database: Database, since: datetime) -> list[Message]:
    """Those that did not go out: waiting after a failure, or given up since then; the oldest first."""
    return await _found(
        database,
        "(state = 'waiting' AND tries > 0) OR (state = 'given_up' AND made_at >= ?) ORDER BY made_at, id",
        in_text(since),
    )


async def way_out(database: Database, token: str) -> WayOut | None:
    """What a token does; None when it does nothing."""
    rows = await database.reader.execute_fetchall(
        "SELECT act, person, alarm, made_at FROM way_out WHERE token_sha256 = ?", (token_hash(token),)
    )
    return next(
        (
            WayOut(act=act, person=person, alarms=_ids(alarms or ""), made_at=datetime.fromisoformat(made_at))
            for act, person, alarms, made_at in rows
        ),
        None,
    )


async def forget_old_messages(database: Database, now: datetime) -> None:
    """Drop what nobody asks for any more."""
    async with database.transaction() as connection:
        await connection.execute("DELETE FROM message WHERE made_at < ?", (in_text(now - KEPT_FOR),))
        await connection.execute("DELETE FROM way_out WHERE made_at < ?", (in_text(now - WAYS_OUT_FOR),))


async def _found(database: Database, condition: str, *values: Any) -> list[Message]:
    rows = await database.reader.execute_fetchall(f"SELECT {_COLUMNS} FROM message WHERE {condition}", values)
    return [_message(row) for row in rows]


def _ids(joined: str) -> tuple[str, ...]:
    return tuple(filter(None, joined.split(_JOINS)))


def _row(message: Message) -> list[Any]:
    built = msgspec.structs.asdict(message)
    built["ways_out"] = msgspec.json.encode(message.ways_out).decode()
    return [in_text(value) if isinstance(value, datetime) else value for value in built.values()]


def _message(row: Sequence[Any]) -> Message:
    built = dict(zip(_FIELDS, row, strict=True))
    return msgspec.convert(built | {"ways_out": msgspec.json.decode(built["ways_out"])}, Message)
