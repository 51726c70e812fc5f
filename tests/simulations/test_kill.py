"""SIGKILL at random moments while a device sends: what was confirmed is there, once; what was not is sent again.

50 kills in the normal run, 500 with `--long`; `--seed N` picks the moments.
"""

import multiprocessing
import random
import socket
import sqlite3
import threading
import time
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import httpx

from evenwater.main import run

# A server started by fork from a process that has imported everything: the real one, without a second of imports each.
STARTED = multiprocessing.get_context("forkserver")
STARTED.set_forkserver_preload(["evenwater.main"])
DEVICE = str(UUID(int=5 << 64))
BATCH = 20


class Server:
    """The real command in a process of its own, to be killed and started again on the same data and port."""

    def __init__(self, data: Path) -> None:
        with socket.create_server(("127.0.0.1", 0)) as found:
            self.port = found.getsockname()[1]
        self.base_url = f"http://127.0.0.1:{self.port}"
        self._command = ["serve", "--port", str(self.port), "--data", str(data)]

    def start(self) -> None:
        self._process = STARTED.Process(target=run, args=(self._command,))
        self._process.start()
        until = time.monotonic() + 60
        while True:
            try:
                httpx.get(self.base_url + "/health", timeout=5)
                return
            except httpx.TransportError:
                assert self._process.is_alive(), "the server ended by itself"
                assert time.monotonic() < until, "the server does not answer"
                time.sleep(0.01)  # nothing to wait on but the port itself

    def kill(self) -> None:
        self._process.kill()
        self._process.join()


class Sender:
    """A device that keeps what is not confirmed and sends it until it is."""

    def __init__(self, base_url: str, chance: random.Random) -> None:
        self.client = httpx.Client(base_url=base_url, headers={"Origin": base_url}, timeout=10)
        told = {"name": "Marit", "passphrase": "four small words here", "device": DEVICE}
        self.person = self.client.post("/api/people/first", json=told).raise_for_status().json()["person"]["id"]
        self.chance = chance
        self.waiting: list[dict[str, object]] = []
        self.confirmed: dict[str, int] = {}
        self.made = 0

    def write(self, count: int) -> None:
        now = datetime.now(UTC)
        for _ in range(count):
            self.made += 1
            stamp = {"happened_at": now.isoformat(), "recorded_at": now.isoformat(), "local_date": str(now.date())}
            who = {"device": DEVICE, "author": self.person, "pond": "main", "zone": "UTC"}
            what = {"id": str(UUID(int=self.made)), "v": 1, "kind": "note", "text": f"note {self.made}"}
            self.waiting.append({**what, **who, **stamp})

    def send(self) -> bool:
        """One batch; False when the line broke, and nothing is known of it."""
        batch = self.waiting[:BATCH]
        call = {"device": DEVICE, "device_now": datetime.now(UTC).isoformat(), "app_version": "test", "epoch": None}
        try:
            answer = self.client.post("/api/sync", json={**call, "cursor": 2**40, "entries": batch, "want_plan": False})
        except httpx.TransportError:
            return False
        assert answer.status_code == 200, answer.text
        for verdict in answer.json()["verdicts"]:
            assert verdict["verdict"] in ("accepted", "already_here")
            assert self.confirmed.setdefault(verdict["id"], verdict["seq"]) == verdict["seq"]
        self.waiting = self.waiting[len(batch) :]
        return True


def test_what_was_confirmed_survives_every_kill_and_nothing_is_there_twice(tmp_path, kills, seed):
    chance = random.Random(seed)
    server = Server(tmp_path)
    server.start()
    sender = Sender(server.base_url, chance)
    broken = 0
    try:
        for _ in range(kills):
            killer = threading.Timer(chance.uniform(0.0, 0.08), server.kill)
            killer.start()
            alive = True
            while alive:
                sender.write(chance.randrange(1, BATCH))
                alive = sender.send()
            broken += 1
            killer.join()
            server.start()
        while sender.waiting:
            assert sender.send()
    finally:
        server.kill()
        sender.client.close()
    print(f"seed {seed}: {broken} kills, {len(sender.confirmed)} entries confirmed")
    rows = sqlite3.connect(tmp_path / "evenwater.sqlite").execute("SELECT id, seq FROM entry").fetchall()
    assert len(rows) == len(dict(rows)) == sender.made
    assert dict(rows) == sender.confirmed
    assert sorted(seq for _, seq in rows) == list(range(1, sender.made + 1))
