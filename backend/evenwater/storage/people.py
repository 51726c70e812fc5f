"""The people of the household and the devices they are signed in on.

- A session's token is never kept, only its SHA-256; 256 random bits need no slow hash.
- A session slides: each time it is seen it lives 90 days on. That is written at most once an hour, so that a sync
  stays one write.
- A session that was revoked or has run out keeps its row and opens nothing.
"""

import hashlib
from contextlib import suppress
from datetime import datetime
from typing import Any

import aiosqlite

from evenwater.domain.people import SEEN_EVERY, SESSION_LIFE, Credential, Person, Session, SignedIn, name_key
from evenwater.storage.database import Database, in_text
from evenwater.storage.errors import StorageUnavailable


def token_hash(token: str) -> bytes:
    """What is kept of a token."""
    return hashlib.sha256(token.encode()).digest()


async def person_names(database: Database) -> dict[str, str]:
    """Everybody's name by id."""
    return {person.id: person.name for person in await people(database)}


async def people(database: Database) -> list[Person]:
    """Everybody, the one who came first first."""
    rows = await database.reader.execute_fetchall("SELECT id, name, created_at FROM person ORDER BY created_at, id")
    return [_person(row) for row in rows]


async def has_people(database: Database) -> bool:
    """Whether anybody runs this household yet."""
    return bool(await _rows(database, "SELECT 1 FROM person LIMIT 1"))


async def add_first_person(database: Database, person: Person, passphrase_hash: str) -> bool:
    """Keep the first person; False, and nothing kept, when somebody was quicker."""
    return await _insert(database, person, passphrase_hash, "NOT EXISTS (SELECT 1 FROM person)")


async def add_person(database: Database, person: Person, passphrase_hash: str) -> bool:
    """Keep one more person; False, and nothing kept, when the name is taken."""
    return await _insert(database, person, passphrase_hash, "NOT EXISTS (SELECT 1 FROM person WHERE name_key = ?3)")


async def _insert(database: Database, person: Person, passphrase_hash: str, condition: str) -> bool:
    async with database.transaction() as connection:
        cursor = await connection.execute(
            f"INSERT INTO person (id, name, name_key, passphrase_hash, created_at) SELECT ?1, ?2, ?3, ?4, ?5"
            f" WHERE {condition}",
            (person.id, person.name, name_key(person.name), passphrase_hash, in_text(person.created_at)),
        )
        return cursor.rowcount == 1


async def credential(database: Database, name: str, device: str = "") -> Credential | None:
    """The person of that name, however it is written, with the hash to check a passphrase against."""
    rows = await _rows(
        database,
        "SELECT id, name, created_at, passphrase_hash,"
        " EXISTS (SELECT 1 FROM session WHERE person_id = person.id AND device = ?) FROM person WHERE name_key = ?",
        device,
        name_key(name),
    )
    return next((Credential(_person(row), row[3], bool(row[4])) for row in rows), None)


async def set_passphrase(database: Database, person_id: str, passphrase_hash: str, now: datetime) -> int:
    """Give a person a new passphrase and end all their sessions. Returns how many ended."""
    async with database.transaction() as connection:
        await connection.execute("UPDATE person SET passphrase_hash = ? WHERE id = ?", (passphrase_hash, person_id))
        return await _revoke(connection, now, "person_id = ? AND expires_at > ?", person_id, in_text(now))


async def begin_session(
    database: Database, person_id: str, device: str, device_label: str, token: str, now: datetime, session_id: str
) -> Session:
    """Sign a device in. What this person was signed in by on the same device ends."""
    session = Session(session_id, person_id, device, device_label, now, now, now + SESSION_LIFE)
    async with database.transaction() as connection:
        await _revoke(connection, now, "person_id = ? AND device = ?", person_id, device)
        await connection.execute(
            "INSERT INTO session (id, token_sha256, person_id, device, device_label, created_at, last_seen_at,"
            " expires_at) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (
                session.id,
                token_hash(token),
                person_id,
                device,
                device_label,
                in_text(now),
                in_text(now),
                in_text(session.expires_at),
            ),
        )
    return session


async def use_session(database: Database, token: str, now: datetime) -> tuple[SignedIn, bool] | None:
    """Whom a token stands for, and whether its session was just made to live on; None when it opens nothing.

    One indexed read, and a write when it was last seen an hour ago or more. A disk that is full stops the write,
    not the person.
    """
    rows = await _rows(
        database,
        "SELECT person.id, person.name, session.id, session.device, session.last_seen_at"
        " FROM session JOIN person ON person.id = session.person_id"
        " WHERE token_sha256 = ? AND revoked_at IS NULL AND expires_at > ?",
        token_hash(token),
        in_text(now),
    )
    if not rows:
        return None
    signed_in = SignedIn(*rows[0][:4])
    if now - datetime.fromisoformat(rows[0][4]) < SEEN_EVERY:
        return signed_in, False
    with suppress(StorageUnavailable):
        await _see(database, signed_in.session_id, now)
        return signed_in, True
    return signed_in, False


async def _see(database: Database, session_id: str, now: datetime) -> None:
    async with database.transaction() as connection:
        await connection.execute(
            "UPDATE session SET last_seen_at = ?, expires_at = ? WHERE id = ?",
            (in_text(now), in_text(now + SESSION_LIFE), session_id),
        )


async def move_session(database: Database, session_id: str, device: str) -> None:
    """Give a session to the id its device now goes by: a browser whose storage was cleared makes a new one."""
    async with database.transaction() as connection:
        await connection.execute("UPDATE session SET device = ? WHERE id = ?", (device, session_id))


async def revoke_session(database: Database, session_id: str, now: datetime) -> bool:
    """End a session; False when no open one has that id."""
    async with database.transaction() as connection:
        return await _revoke(connection, now, "id = ? AND expires_at > ?", session_id, in_text(now)) == 1


async def open_sessions(database: Database, now: datetime) -> list[Session]:
    """Every session that still opens something, the one seen last first."""
    rows = await _rows(
        database,
        "SELECT id, person_id, device, device_label, created_at, last_seen_at, expires_at FROM session"
        " WHERE revoked_at IS NULL AND expires_at > ? ORDER BY last_seen_at DESC, id",
        in_text(now),
    )
    return [Session(*row[:4], *map(datetime.fromisoformat, row[4:])) for row in rows]


async def _revoke(connection: aiosqlite.Connection, now: datetime, condition: str, *values: str) -> int:
    cursor = await connection.execute(
        f"UPDATE session SET revoked_at = ? WHERE revoked_at IS NULL AND {condition}", (in_text(now), *values)
    )
    return cursor.rowcount


async def _rows(database: Database, statement: str, *values: Any) -> list[Any]:
    return list(await database.reader.execute_fetchall(statement, values))


def _person(row: Any) -> Person:
    return Person(row[0], row[1], datetime.fromisoformat(row[2]))
