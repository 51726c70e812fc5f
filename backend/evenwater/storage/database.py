"""One SQLite file, one writer, any number of readers.

- WAL with synchronous=FULL: what was confirmed is on the disk.
- Writing goes through `transaction()`, one at a time; it commits whole or leaves nothing.
- Migrations are numbered files, forward only; the file is copied aside before each.
"""

import asyncio
import logging
import re
import sqlite3
import uuid
from collections.abc import AsyncGenerator, Coroutine
from contextlib import asynccontextmanager, closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, TypeVar

import aiosqlite

from evenwater.storage.errors import NotOurs, StorageUnavailable

Of = TypeVar("Of")

_log = logging.getLogger("evenwater.storage")

MIGRATIONS = Path(__file__).parent / "migrations"
_PRAGMAS = "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON; PRAGMA busy_timeout=5000;"


def in_text(moment: datetime) -> str:
    """A moment as it is kept: UTC, milliseconds, sortable."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds")[:23] + "Z"


def migrations() -> list[tuple[int, Path]]:
    """(number, file) of every migration, ascending."""
    return sorted((int(re.match(r"\d+", file.name)[0]), file) for file in MIGRATIONS.glob("[0-9]*.sql"))  # type: ignore[index]


class Database:
    """An open household. Make one with `Database.open`."""

    def __init__(self, path: Path, writer: aiosqlite.Connection, reader: aiosqlite.Connection) -> None:
        self.path = path
        self.writer = writer
        self.reader = reader
        self._turn = asyncio.Lock()
        self._aside: set[asyncio.Task[Any]] = set()

    @classmethod
    async def open(cls, path: Path) -> "Database":
        """Open the file, making or migrating it first.

        Raises:
            StorageUnavailable: the folder cannot be written, or another process holds the file.
            NotOurs: it is no database of ours, or a newer one.
        """
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            writer = await _connect(path)
            try:
                await _migrate(path, writer)
                reader = await _connect(path)
            except BaseException:
                await writer.close()
                raise
        except (sqlite3.OperationalError, OSError) as error:
            raise StorageUnavailable(f"{path}: {error}") from error
        except sqlite3.DatabaseError as error:
            raise NotOurs(f"{path} is not a database of this program ({error})") from error
        return cls(path, writer, reader)

    @classmethod
    async def open_as_is(cls, path: Path) -> "Database | None":
        """Open a file whose tables are of this version; None, and nothing changed, when they are older.

        Raises:
            StorageUnavailable, NotOurs: as of `open`.
        """
        return None if _number_of(path) < migrations()[-1][0] else await cls.open(path)

    async def close(self) -> None:
        """Let what goes on aside end, finish the write under way, then close."""
        await asyncio.gather(*self._aside, return_exceptions=True)
        async with self._turn:
            await self.reader.close()
            await self.writer.close()

    def aside(self, work: Coroutine[Any, Any, Of]) -> "asyncio.Task[Of]":
        """Begin work that reads from here and that nobody may wait for; the file stays open until it is done."""
        task = asyncio.create_task(work)
        self._aside.add(task)
        task.add_done_callback(self._aside.discard)
        return task

    @asynccontextmanager
    async def transaction(self) -> AsyncGenerator[aiosqlite.Connection]:
        """The writer, alone, inside a transaction: committed at the end, rolled back on any error.

        Raises:
            StorageUnavailable: disk full, file locked or gone; nothing was kept.
        """
        async with self._turn:
            try:
                await self.writer.execute("BEGIN IMMEDIATE")
                yield self.writer
                await self.writer.execute("COMMIT")
            except sqlite3.OperationalError as error:
                await self._roll_back()
                raise StorageUnavailable(str(error)) from error
            except BaseException:
                await self._roll_back()
                raise

    async def _roll_back(self) -> None:
        # Asked of the writer's own thread, behind a BEGIN or COMMIT that a caller who has gone away left there; with no
        # transaction open it does nothing. Shielded: the next one must find none open.
        await asyncio.shield(self.writer.rollback())

    async def schema_number(self) -> int:
        """The number of the last migration applied."""
        return await _user_version(self.reader)

    async def epoch(self) -> str:
        """The log's identity; a restored log has another, and devices then send again what it may lack."""
        rows = await self.reader.execute_fetchall("SELECT value FROM meta WHERE key = 'epoch'")
        return str(next(iter(rows))[0])

    async def begin_epoch(self) -> str:
        """Give the log a new identity; returns it."""
        epoch = uuid.uuid4().hex
        _log.warning("the log begins a new epoch: every device sends again what it holds")
        async with self.transaction() as connection:
            await connection.execute("UPDATE meta SET value = ? WHERE key = 'epoch'", (epoch,))
        return epoch


async def _connect(path: Path) -> aiosqlite.Connection:
    connection = await aiosqlite.connect(path, isolation_level=None)
    try:
        await connection.executescript(_PRAGMAS)
    except BaseException:
        await connection.close()
        raise
    return connection


def _number_of(path: Path) -> int:
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as found:
            return int(found.execute("PRAGMA user_version").fetchone()[0])
    except sqlite3.OperationalError as error:
        raise StorageUnavailable(f"{path}: {error}") from error
    except sqlite3.DatabaseError as error:
        raise NotOurs(f"{path} is not a database of this program ({error})") from error


async def _user_version(connection: aiosqlite.Connection) -> int:
    rows = await connection.execute_fetchall("PRAGMA user_version")
    return int(next(iter(rows))[0])


async def _migrate(path: Path, connection: aiosqlite.Connection) -> None:
    have = found = await _user_version(connection)
    steps = migrations()
    if have > steps[-1][0]:
        raise NotOurs(f"{path} was written by a newer version (schema {have}); this one knows {steps[-1][0]}")
    for number, file in steps:
        if number <= have:
            continue
        if found:
            aside = path.with_name(f"{path.stem}.before-{number:04}{path.suffix}")
            aside.unlink(missing_ok=True)  # left by an upgrade that was cut off
            await connection.execute("VACUUM INTO ?", (str(aside),))
        script = file.read_text(encoding="utf-8")
        extra = "" if have else f"INSERT INTO meta VALUES ('epoch', '{uuid.uuid4().hex}');"
        await connection.executescript(f"BEGIN;\n{script}\n{extra}\nPRAGMA user_version={number};\nCOMMIT;")
        have = number
    if found and found != have:
        _log.info(
            "the tables were brought from number %d to %d; the file was copied aside before each step", found, have
        )
