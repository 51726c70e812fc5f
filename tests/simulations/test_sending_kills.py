"""SIGKILL at random moments around the hour of the daily list: every person's list arrives, day after day.

A second copy may come only where the kill fell after the mail server had taken a letter and before we had written that
down; it bears the same Message-ID, so that a mail program can know it for the same. Both are counted, and are equal.

20 kills in the normal run, 200 with `--long`; `--seed N` picks the moments.
"""

import asyncio
import multiprocessing
import random
import socket
import sqlite3
import threading
import time
from collections import Counter
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from clocked_server import run_with_clock
from post_office import PostOffice, free_port

from evenwater.domain.messages import Reach
from evenwater.domain.people import Person
from evenwater.storage.database import Database
from evenwater.storage.people import add_person
from evenwater.storage.reach import keep_reach

STARTED = multiprocessing.get_context("forkserver")
STARTED.set_forkserver_preload(["evenwater.main"])
PEOPLE = ("marit", "tove", "aki", "jo")
FIRST_DAY = datetime(2026, 11, 3, 7, tzinfo=UTC)


class Server:
    """The real command in a process of its own; `set_clock` sets its clock while it runs."""

    def __init__(self, data: Path, office: PostOffice) -> None:
        self._port = free_port()
        self._frontend = data / "frontend"
        self._frontend.mkdir()
        (self._frontend / "index.html").write_text("<!doctype html><title>evenwater</title>")
        self._shift_s = STARTED.Value("d", 0.0)
        self._command = ["serve", "--port", str(self._port), "--data", str(data), "--mail-from", "pond@example.org"]
        self._command += ["--smtp-host", "127.0.0.1", "--smtp-port", str(office.port), "--smtp-security", "none"]

    def set_clock(self, now: datetime) -> None:
        self._shift_s.value = (now - datetime.now(UTC)).total_seconds()

    def start(self) -> None:
        self._process = STARTED.Process(target=run_with_clock, args=(self._command, self._frontend, self._shift_s))
        self._process.start()
        until = time.monotonic() + 60
        while True:
            try:
                with socket.create_connection(("127.0.0.1", self._port), timeout=5):
                    return
            except OSError:
                assert self._process.is_alive(), "the server ended by itself"
                assert time.monotonic() < until, "the server does not answer"
                time.sleep(0.02)  # nothing to wait on but the port itself

    def kill(self) -> None:
        self._process.kill()
        self._process.join()


async def settle(data: Path) -> None:
    """People who want their list at seven; without a pond, since what is killed here is the sending."""
    database = await Database.open(data / "evenwater.sqlite")
    for number, name in enumerate(PEOPLE):
        await add_person(database, Person(name, name.title(), FIRST_DAY + timedelta(minutes=number)), "hash")
        reach = Reach(person=name, list_at="07:00", email=f"{name}@example.org", email_alarms=False)
        await keep_reach(database, reach, FIRST_DAY)
    await database.close()


def waiting_ids(data: Path) -> set[str]:
    """What had not been written down as sent when the process died."""
    with closing(sqlite3.connect(data / "evenwater.sqlite")) as connection:
        return {row[0] for row in connection.execute("SELECT id FROM message WHERE state = 'waiting'")}


@pytest.fixture
def sending_kills(full_size: bool) -> int:
    return 200 if full_size else 20


def test_every_list_arrives_and_a_second_copy_only_out_of_the_gap(tmp_path, sending_kills, seed):
    chance = random.Random(seed)
    asyncio.run(settle(tmp_path))
    in_gap, expected = Counter(), 0
    with PostOffice().open() as office:
        server = Server(tmp_path, office)
        server.set_clock(FIRST_DAY - timedelta(hours=1))
        server.start()
        try:
            for day in range(sending_kills):
                expected += len(PEOPLE)
                _kill_around_the_hour(server, office, FIRST_DAY + timedelta(days=day), chance)
                office.wait_for_nobody_on_the_line()
                in_gap.update(waiting_ids(tmp_path) & set(office.ids))
                server.start()
                office.wait_until(lambda: len(set(office.ids)) == expected)  # noqa: B023 - called at once
                office.wait_until(lambda: not waiting_ids(tmp_path))
        finally:
            server.kill()
        office.wait_for_nobody_on_the_line()
        copies = Counter(office.ids)
    second = {one: count - 1 for one, count in copies.items() if count > 1}
    print(f"seed {seed}: {sending_kills} kills, {len(copies)} lists, all arrived; {sum(in_gap.values())} kills fell")
    print(f"between the mail server's 250 and our commit, {sum(second.values())} second copies came")
    days = Counter((letter["To"], letter["Date"].datetime.date()) for letter in _firsts(office))
    assert len(days) == expected and set(days.values()) == {1}
    assert second == dict(in_gap)


def _kill_around_the_hour(server: Server, office: PostOffice, hour: datetime, chance: random.Random) -> None:
    """From just before the hour on: at a random moment, or a random moment after a letter was taken."""
    before = timedelta(seconds=chance.uniform(0.0, 0.05))
    if chance.random() < 0.5:
        killer = threading.Timer(chance.uniform(0.0, 0.25), server.kill)
        server.set_clock(hour - before)
        killer.start()
        killer.join()
        return
    count, delay_s = len(office.taken) + chance.randrange(1, len(PEOPLE) + 1), chance.uniform(0.0, 0.003)
    server.set_clock(hour - before)
    office.wait_for(count)
    time.sleep(delay_s)  # this is the moment that was drawn
    server.kill()


def _firsts(office: PostOffice) -> list[Any]:
    seen: dict[str, Any] = {}
    for name, letter in zip(office.ids, office.taken, strict=True):
        seen.setdefault(name, letter)
    return list(seen.values())
