"""Four ways to get it wrong; the machine must notice each. A check that cannot fail shows nothing."""

from contextlib import asynccontextmanager

import pytest
from hypothesis import Phase
from pocket import Pocket
from sync_machine import SyncMachine
from test_sync_machine import run_machine

from evenwater.storage import database, entry_log
from evenwater.storage.database import Database
from evenwater.web import sync

EXAMPLES = 25


def goes_red(machine=SyncMachine) -> bool:
    try:
        run_machine(machine, EXAMPLES, 7, phases=(Phase.generate,))
    except Exception as error:  # whatever broke first, the machine noticed
        print(f"red: {error!r:.200}")
        return True
    return False


def test_without_a_mutant_the_same_run_is_green():
    assert not goes_red()


def test_a_log_that_keeps_what_it_has_already(monkeypatch, tmp_path):
    for _, file in database.migrations():
        text = file.read_text(encoding="utf-8").replace("id TEXT NOT NULL UNIQUE", "id TEXT NOT NULL")
        (tmp_path / file.name).write_text(text, encoding="utf-8")
    monkeypatch.setattr(database, "MIGRATIONS", tmp_path)

    async def nothing_is_here(connection, arrivals):
        return {}

    monkeypatch.setattr(entry_log, "_already_kept", nothing_is_here)
    assert goes_red()


def test_a_server_that_confirms_before_it_commits(monkeypatch):
    well, hasty_ones = Database.transaction, set()

    @asynccontextmanager
    async def hasty(self):
        async with self._turn:
            if self.writer.in_transaction:
                await self.writer.execute("COMMIT")
            await self.writer.execute("BEGIN IMMEDIATE")
            yield self.writer

    async def append(database, *more):
        hasty_ones.add(database)
        try:
            return await entry_log.append(database, *more)
        finally:
            hasty_ones.discard(database)

    monkeypatch.setattr(Database, "transaction", lambda self: (hasty if self in hasty_ones else well)(self))
    monkeypatch.setattr(sync, "append", append)
    assert goes_red()


def test_a_phone_that_forgets_before_it_hears():
    class Hasty(Pocket):
        deletes_first = True

    class Machine(SyncMachine):
        pocket = Hasty

    assert goes_red(Machine)


def test_a_cursor_that_goes_by_the_clock(monkeypatch):
    async def page_since_a_moment(database, cursor, horizon, limit):
        entries, _, _ = await entry_log.page_since(database, 0, horizon, 10_000)
        stamps = [round(one.received_at.timestamp() * 1000) for one in entries]
        newer = [one for one, stamp in zip(entries, stamps, strict=True) if stamp > cursor]
        return newer, max([cursor, *stamps]), False

    monkeypatch.setattr(sync, "page_since", page_since_a_moment)
    monkeypatch.setattr(sync, "_past_own", lambda cursor, kept: cursor)
    assert goes_red()


@pytest.fixture(autouse=True)
def version_is_put_back(monkeypatch):
    from evenwater.domain import entries

    monkeypatch.setattr(entries, "VERSION", entries.VERSION)
