"""The real application over a real file, with a line that can fail and a process that can die at a named point."""

import asyncio
import hashlib
import json
import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

import httpx

from evenwater.domain.people import Person
from evenwater.settings import Settings
from evenwater.storage import people
from evenwater.storage.database import Database
from evenwater.storage.entry_log import replay_deferred
from evenwater.web.app import create_app

FAULTS = (
    *("ok",) * 6,
    "lost request",
    "lost ack",
    "duplicate delivery",
    "truncated",
    "500 before",
    "500 after",
    "401",
    "hotel page",
    "crash before insert",
    "crash after some rows",
    "crash before commit",
    "crash after commit",
)


class Crash(Exception):
    """The process is gone."""


class DyingWriter:
    """The writer's connection, until it reaches the point where the process dies; after that, nothing answers."""

    def __init__(self, real: Any, point: str) -> None:
        self._real, self._point, self.dead = real, point, False

    def __getattr__(self, name: str) -> Any:
        if self.dead:
            raise Crash
        return getattr(self._real, name)

    async def execute(self, statement: str, *values: Any) -> Any:
        if self.dead:
            raise Crash
        if statement == "COMMIT" and self._point == "before commit":
            self._die()
        result = await self._real.execute(statement, *values)
        if statement == "COMMIT" and self._point == "after commit":
            self._die()
        return result

    async def executemany(self, statement: str, rows: list[Any]) -> Any:
        if self._point == "before insert":
            self._die()
        if self._point == "after some rows":
            await self._real.executemany(statement, rows[: len(rows) // 2])
            self._die()
        return await self._real.executemany(statement, rows)

    async def rollback(self) -> None:
        raise Crash

    def _die(self) -> None:
        self.dead = True
        raise Crash


class HomeServer:
    """A household's server that can be cut off, killed, restored and upgraded."""

    def __init__(self, folder: Path, frontend: Path, clock: Callable[[], datetime]) -> None:
        self.settings = Settings(data=folder, frontend=frontend)
        self.clock = clock
        self.tokens: dict[str, str] = {}
        self.person = str(uuid4())

    async def open(self) -> None:
        self.database = await Database.open(self.settings.database)
        await replay_deferred(self.database)
        self.app = create_app(self.database, self.settings, self.clock)

    async def close(self) -> None:
        await self.database.reader.close()
        await getattr(self.database.writer, "_real", self.database.writer).close()

    async def begin(self, devices: list[str]) -> None:
        now = self.clock()
        await people.add_first_person(self.database, Person(self.person, "Marit", now), "no passphrase opens this")
        for device in devices:
            self.tokens[device] = hashlib.sha256(device.encode()).hexdigest()
            await people.begin_session(self.database, self.person, device, "", self.tokens[device], now, str(uuid4()))

    async def ask(self, call: dict[str, object], fault: str) -> dict[str, object] | None:
        """A call through a line with that fault; what a phone would take as the server's own answer, or None."""
        if fault in ("lost request", "500 before", "401", "hotel page"):
            return None
        body = json.dumps(call).encode()
        if fault == "truncated":
            body = body[: len(body) // 2]
        if fault.startswith("crash "):
            return await self._crash(body, str(call["device"]), fault.removeprefix("crash "))
        answer = await self._post(body, str(call["device"]))
        if fault == "duplicate delivery":
            answer = await self._post(body, str(call["device"]))
        return None if fault in ("lost ack", "500 after") else answer

    async def _post(self, body: bytes, device: str) -> dict[str, object] | None:
        headers = {"Origin": "http://localhost", "Content-Type": "application/json"}
        cookies = {"evenwater_session": self.tokens[device]}
        transport = httpx.ASGITransport(self.app)
        async with httpx.AsyncClient(transport=transport, base_url="http://localhost", cookies=cookies) as client:
            answer = await client.post("/api/sync", content=body, headers=headers)
        if answer.status_code == 200:
            return answer.json()
        assert answer.status_code in (400, 500, 503), answer.text
        return None

    async def _crash(self, body: bytes, device: str, point: str) -> dict[str, object] | None:
        self.database.writer = DyingWriter(self.database.writer, point)
        answer = await self._post(body, device)
        died = self.database.writer.dead
        await self.close()
        await self.open()
        return None if died else answer

    async def restore(self, backup: Path) -> None:
        """Put an older copy of the log in place: as a restore does, under a new epoch."""
        await self.close()
        for file in self.settings.data.glob("evenwater.sqlite*"):
            file.unlink()
        self.settings.database.write_bytes(backup.read_bytes())
        with sqlite3.connect(self.settings.database) as connection:
            connection.execute("UPDATE meta SET value = ? WHERE key = 'epoch'", (uuid4().hex,))
        connection.close()
        await self.open()

    async def backup(self, file: Path) -> None:
        file.unlink(missing_ok=True)
        await self.database.reader.execute("VACUUM INTO ?", (str(file),))

    async def log(self) -> list[tuple[int, str, str]]:
        """(seq, id, content) of all that is kept."""
        rows = await self.database.reader.execute_fetchall("SELECT seq, id, content FROM entry ORDER BY seq")
        return [(row[0], row[1], row[2]) for row in rows]


def wait(loop: asyncio.AbstractEventLoop, awaitable: Any) -> Any:
    """Run to the end on the machine's own loop."""
    return loop.run_until_complete(awaitable)
