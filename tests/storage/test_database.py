"""One file, one writer: made, migrated, refused, locked, full and interrupted."""

import asyncio
import shutil
import sqlite3
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from pathlib import Path

import pytest

from evenwater.storage import database as storage
from evenwater.storage.database import Database
from evenwater.storage.errors import NotOurs, StorageUnavailable

KEEP = "INSERT INTO meta VALUES (?, ?)"
SECOND = "CREATE TABLE second (n INTEGER NOT NULL) STRICT;\nINSERT INTO second VALUES (2);"
THIRD = "ALTER TABLE second ADD COLUMN more TEXT;"


@asynccontextmanager
async def opened(path: Path) -> AsyncIterator[Database]:
    database = await Database.open(path)
    try:
        yield database
    finally:
        await database.close()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "data" / "evenwater.sqlite"


@pytest.fixture
def later_version(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The migrations of a program that goes on from our first; more can be added to the folder."""
    folder = tmp_path / "migrations"
    folder.mkdir()
    shutil.copy(storage.MIGRATIONS / "0001_start.sql", folder)
    (folder / "0002_second.sql").write_text(SECOND)
    monkeypatch.setattr(storage, "MIGRATIONS", folder)
    return folder


def look(path: Path, statement: str) -> list[tuple[object, ...]]:
    """Ask the file itself, past the program."""
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(statement).fetchall()


def bytes_of(path: Path) -> bytes:
    return path.read_bytes()


async def keep(database: Database, key: str, value: str = "x") -> None:
    async with database.transaction() as connection:
        await connection.execute(KEEP, (key, value))


async def kept(database: Database) -> set[str]:
    return {row[0] for row in await database.reader.execute_fetchall("SELECT key FROM meta")} - {"epoch"}


async def test_a_new_file_is_made_with_its_folder_and_keeps_what_is_confirmed_on_the_disk(path: Path) -> None:
    async with opened(path) as database:
        assert await database.schema_number() == len(list(storage.MIGRATIONS.glob("*.sql")))
        pragmas = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
        for name, right in pragmas.items():
            for connection in (database.writer, database.reader):
                assert next(iter(await connection.execute_fetchall(f"PRAGMA {name}")))[0] == right, name


async def test_a_log_keeps_its_epoch_and_no_two_logs_share_one(tmp_path: Path) -> None:
    async with opened(tmp_path / "one.sqlite") as one, opened(tmp_path / "other.sqlite") as other:
        epoch = await one.epoch()
        assert epoch != await other.epoch()
    async with opened(tmp_path / "one.sqlite") as one:
        assert await one.epoch() == epoch


async def test_the_file_is_copied_aside_before_each_migration(path: Path, later_version: Path) -> None:
    (later_version / "0002_second.sql").rename(later_version / "not yet")
    async with opened(path) as database:
        await keep(database, "from before")
        epoch = await database.epoch()
    (later_version / "not yet").rename(later_version / "0002_second.sql")
    (later_version / "0003_third.sql").write_text(THIRD)
    async with opened(path) as database:
        assert await database.schema_number() == 3
        assert await database.epoch() == epoch
        assert await kept(database) == {"from before"}
    for number in (2, 3):
        aside = path.with_name(f"evenwater.before-{number:04}.sqlite")
        assert look(aside, "PRAGMA user_version") == [(number - 1,)]
        assert look(aside, "SELECT key FROM meta WHERE key <> 'epoch'") == [("from before",)]


async def test_nothing_is_copied_when_there_is_nothing_to_migrate(path: Path) -> None:
    for _ in range(2):
        async with opened(path):
            assert [file.name for file in path.parent.glob("*before*")] == []


async def test_a_copy_left_by_an_upgrade_that_was_cut_off_is_made_anew(path: Path, later_version: Path) -> None:
    (later_version / "0002_second.sql").rename(later_version / "not yet")
    async with opened(path) as database:
        await keep(database, "from before")
    (later_version / "not yet").rename(later_version / "0002_second.sql")
    aside = path.with_name("evenwater.before-0002.sqlite")
    aside.write_bytes(b"half a copy")
    async with opened(path) as database:
        assert await database.schema_number() == 2
    assert look(aside, "SELECT key FROM meta WHERE key <> 'epoch'") == [("from before",)]


async def test_a_migration_that_fails_half_way_leaves_the_file_as_it_was(path: Path, later_version: Path) -> None:
    (later_version / "0002_second.sql").rename(later_version / "not yet")
    async with opened(path) as database:
        await keep(database, "from before")
    (later_version / "0002_second.sql").write_text(SECOND + "\nCREATE TABLE second (again INTEGER);")
    with pytest.raises(StorageUnavailable, match="already exists"):
        await Database.open(path)
    assert look(path, "PRAGMA user_version") == [(1,)]
    assert look(path, "SELECT name FROM sqlite_schema WHERE name = 'second'") == []
    (later_version / "0002_second.sql").write_text(SECOND)
    async with opened(path) as database:
        assert await kept(database) == {"from before"}
        assert look(path, "SELECT n FROM second") == [(2,)]


async def test_a_file_of_a_newer_version_is_refused_and_left_alone(path: Path) -> None:
    async with opened(path) as database:
        await database.writer.execute("PRAGMA user_version=99")
    before = bytes_of(path)
    with pytest.raises(NotOurs, match="schema 99"):
        await Database.open(path)
    assert bytes_of(path) == before


async def test_a_file_that_is_no_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter").write_text("to the fish dealer " * 100)
    with pytest.raises(NotOurs):
        await Database.open(tmp_path / "letter")
    assert bytes_of(tmp_path / "letter") == b"to the fish dealer " * 100


async def test_a_folder_that_cannot_be_made_is_said_to_be_unavailable(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(StorageUnavailable, match="file"):
        await Database.open(tmp_path / "file" / "evenwater.sqlite")


async def test_a_locked_file_is_unavailable_and_nothing_is_half_written(path: Path) -> None:
    async with opened(path) as database:
        await database.writer.execute("PRAGMA busy_timeout=20")
        with closing(sqlite3.connect(path, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(StorageUnavailable, match="locked"):
                await keep(database, "while locked")
            assert await kept(database) == set()
        await keep(database, "after")
        assert await kept(database) == {"after"}


async def test_a_full_disk_is_unavailable_and_nothing_is_half_written(path: Path) -> None:
    async with opened(path) as database:
        (pages,) = next(iter(await database.writer.execute_fetchall("PRAGMA page_count")))
        await database.writer.execute(f"PRAGMA max_page_count={pages}")
        with pytest.raises(StorageUnavailable, match="full"):
            async with database.transaction() as connection:
                await connection.execute(KEEP, ("small", "x"))
                await connection.execute(KEEP, ("large", "x" * 100_000))
        assert await kept(database) == set()
        await database.writer.execute(f"PRAGMA max_page_count={pages + 100}")
        await keep(database, "after", "x" * 100_000)
        assert await kept(database) == {"after"}


async def test_an_error_inside_a_transaction_leaves_nothing_and_is_handed_on(path: Path) -> None:
    async with opened(path) as database:
        with pytest.raises(ZeroDivisionError):
            async with database.transaction() as connection:
                await connection.execute(KEEP, ("half", "x"))
                raise ZeroDivisionError
        assert await kept(database) == set()
        await keep(database, "after")


async def test_transactions_take_turns(path: Path) -> None:
    async with opened(path) as database:
        order: list[str] = []

        async def write(name: str) -> None:
            async with database.transaction() as connection:
                order.append(f"{name} begins")
                await connection.execute(KEEP, (name, "x"))
                await asyncio.sleep(0)
                order.append(f"{name} ends")

        await asyncio.gather(*(write(name) for name in "abc"))
        assert order == [f"{name} {what}" for name in "abc" for what in ("begins", "ends")]


class HeldWriter:
    """Holds the writer's thread still, so that what is asked of it meanwhile waits."""

    def __init__(self, database: Database) -> None:
        self.database, self.go_on = database, threading.Event()

    async def __aenter__(self) -> "HeldWriter":
        await self.database.writer.create_function("hold", 0, lambda: self.go_on.wait(20))
        self.holding = asyncio.create_task(self.database.writer.execute_fetchall("SELECT hold()"))
        await asyncio.sleep(0)
        return self

    async def __aexit__(self, *_: object) -> None:
        self.go_on.set()
        await self.holding


async def test_a_caller_who_goes_away_inside_a_transaction_leaves_nothing(path: Path) -> None:
    async with opened(path) as database:
        inside = asyncio.Event()

        async def write() -> None:
            async with database.transaction() as connection:
                await connection.execute(KEEP, ("half", "x"))
                inside.set()
                await asyncio.Event().wait()

        task = asyncio.create_task(write())
        await inside.wait()
        task.cancel()
        with pytest.raises(asyncio.CancelledError):
            await task
        await keep(database, "after")
        assert await kept(database) == {"after"}


async def test_a_caller_who_goes_away_while_it_begins_leaves_no_transaction_open(path: Path) -> None:
    async with opened(path) as database:
        async with HeldWriter(database):
            task = asyncio.create_task(keep(database, "half"))
            await asyncio.sleep(0)
            task.cancel()
            await asyncio.sleep(0)
        with pytest.raises(asyncio.CancelledError):
            await task
        await keep(database, "after")
        assert await kept(database) == {"after"}


async def test_a_caller_who_goes_away_while_it_commits_is_told_so_and_the_entry_stays(path: Path) -> None:
    async with opened(path) as database:
        about_to_commit = asyncio.Event()

        async def write() -> None:
            async with database.transaction() as connection:
                await connection.execute(KEEP, ("whole", "x"))
                about_to_commit.set()
                await held.wait()

        held = asyncio.Event()
        task = asyncio.create_task(write())
        await about_to_commit.wait()
        async with HeldWriter(database):
            held.set()
            await asyncio.sleep(0)
            task.cancel()
            await asyncio.sleep(0)
        with pytest.raises(asyncio.CancelledError):
            await task
        await keep(database, "after")
        assert await kept(database) == {"whole", "after"}


async def test_closing_waits_for_the_transaction_under_way(path: Path) -> None:
    database = await Database.open(path)
    begun = asyncio.Event()

    async def write() -> None:
        async with database.transaction() as connection:
            begun.set()
            await asyncio.sleep(0)
            await connection.execute(KEEP, ("whole", "x"))

    task = asyncio.create_task(write())
    await begun.wait()
    await database.close()
    await task
    assert look(path, "SELECT key FROM meta WHERE key = 'whole'") == [("whole",)]
