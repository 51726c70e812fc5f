"""Four ways to get it wrong; the machine must notice each. A check that cannot fail shows nothing."""

from contextlib import asynccontextmanager, suppress

import pytest
from home_server import Crash
from hypothesis import Phase
from pocket import Pocket
from sync_machine import SyncMachine
from test_sync_machine import run_machine

from evenwater.storage import database, entry_log
from evenwater.storage.database import Database
from evenwater.web.exchange import sync
from evenwater.web.plans.planning import Planner

EXAMPLES = 8
SEED = 7


def first_promise_broken(machine: type[SyncMachine] = SyncMachine) -> str:
    """What the machine says of the first promise it finds broken; "" when it finds none."""
    try:
        run_machine(machine, EXAMPLES, SEED, phases=(Phase.generate,))
    except AssertionError as error:
        print(f"red: {error}")
        return str(error)
    return ""


def test_without_a_mutant_the_same_run_is_green():
    assert first_promise_broken() == ""


def test_a_log_that_does_not_look_what_it_has(monkeypatch, tmp_path):
    for _, file in database.migrations():
        text = file.read_text(encoding="utf-8").replace("id TEXT NOT NULL UNIQUE", "id TEXT NOT NULL")
        (tmp_path / file.name).write_text(text, encoding="utf-8")
    monkeypatch.setattr(database, "MIGRATIONS", tmp_path)

    whole = entry_log._look_up

    async def nothing_is_here(connection, ids):
        _, last_seq = await whole(connection, ids)
        return {}, last_seq

    monkeypatch.setattr(entry_log, "_look_up", nothing_is_here)
    assert "twice" in first_promise_broken()


def test_a_server_that_confirms_before_it_commits(monkeypatch):
    whole_append, whole_transaction, whole_news = entry_log.append, Database.transaction, Planner.news

    @asynccontextmanager
    async def hasty_transaction(self):
        async with self._turn:
            await self.writer.execute("BEGIN IMMEDIATE")
            yield self.writer
            with suppress(Crash):  # the answer is on its way: what becomes of the commit, nobody waits to hear
                await self.writer.execute("COMMIT")

    async def hasty_append(*given):
        with monkeypatch.context() as hasty:
            hasty.setattr(Database, "transaction", hasty_transaction)
            return await whole_append(*given)

    async def news_of_a_dead_server(self, *given):
        with suppress(Crash):
            return await whole_news(self, *given)

    monkeypatch.setattr(sync, "append", hasty_append)
    monkeypatch.setattr(Planner, "news", news_of_a_dead_server)
    assert "confirmed and is not there" in first_promise_broken()
    assert Database.transaction is whole_transaction


def test_a_phone_that_forgets_before_it_hears():
    class Hasty(Pocket):
        def call(self, now):
            call = super().call(now)
            for entry in call.sent:
                del self.store.outbox[entry["id"]]
            return call

    class Machine(SyncMachine):
        pocket = Hasty

    assert "nowhere" in first_promise_broken(Machine)


def test_a_cursor_that_goes_by_the_clock(monkeypatch):
    async def page_since_a_moment(database, cursor, horizon, limit):
        entries, _, _ = await entry_log.page_since(database, 0, horizon, 10_000)
        stamps = [round(one.received_at.timestamp() * 1000) for one in entries]
        newer = [one for one, stamp in zip(entries, stamps, strict=True) if stamp > cursor]
        return newer, max([cursor, *stamps]), False

    monkeypatch.setattr(sync, "page_since", page_since_a_moment)

    async def epoch_for_any(database, epoch, cursor):
        return await database.epoch()

    monkeypatch.setattr(sync, "epoch_for", epoch_for_any)  # it would take a moment for a place far past the end
    monkeypatch.setattr(sync, "_past_own", lambda cursor, kept: cursor)
    assert "a phone knows another log" in first_promise_broken()


@pytest.fixture(autouse=True)
def no_seed_stays_on_the_machine(monkeypatch):
    """Hypothesis notes the seed on the class it runs."""
    monkeypatch.setattr(SyncMachine, "_hypothesis_internal_use_seed", None, raising=False)
