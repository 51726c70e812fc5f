"""The real application over a real file, a line to it that can fail, and a process that can die at a named point."""

import hashlib
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import httpx
from pocket import Heard, NoSignal

from evenwater.domain.people import Person
from evenwater.serving import open_database
from evenwater.settings import Settings
from evenwater.storage import people
from evenwater.storage.entry_log import page_since
from evenwater.web.app import create_app

HOTEL_PAGE = Heard(200, "text/html", b"<!doctype html><title>Welcome</title><form>Your room number</form>")
PROBLEM = b'{"code":"unforeseen","what":"","where":"","right":""}'
LINE_FAULTS = (
    "lost request",
    "lost answer",
    "delivered twice, first answer heard",
    "delivered twice, second answer heard",
    "request cut",
    "answer cut",
    "answer for fewer entries",
    "500 before",
    "500 after",
    "not signed in",
    "hotel page",
)
CRASH_POINTS = ("before the insert", "after some rows", "before commit", "after commit")


class Crash(Exception):
    """The process is gone."""


class DyingWriter:
    """The writer's connection until the process dies, at a point of the next call that brings entries."""

    def __init__(self, real: Any, point: str) -> None:
        self._real, self._point = real, point
        self._inserting, self.dead = False, False

    def __getattr__(self, name: str) -> Any:
        if self.dead:
            raise Crash
        return getattr(self._real, name)

    async def execute(self, statement: str, *values: Any) -> Any:
        if self.dead:
            raise Crash
        ends = statement == "COMMIT" and self._inserting
        if ends and self._point == "before commit":
            self._die()
        result = await self._real.execute(statement, *values)
        if ends and self._point == "after commit":
            self._die()
        return result

    async def executemany(self, statement: str, rows: list[Any]) -> Any:
        self._inserting = True
        if self._point == "before the insert":
            self._die()
        if self._point == "after some rows":
            await self._real.executemany(statement, rows[: (len(rows) + 1) // 2])
            self._die()
        return await self._real.executemany(statement, rows)

    def _die(self) -> None:
        self.dead = True
        raise Crash


class HomeServer:
    """A household's server that can be cut off, killed, restored and upgraded."""

    def __init__(self, folder: Path, clock: Callable[[], datetime]) -> None:
        frontend = folder / "frontend"  # no browser calls here, so one page is app enough
        frontend.mkdir()
        (frontend / "index.html").write_text("<!doctype html><title>evenwater</title>")
        self.settings = Settings(data=folder / "data", frontend=frontend)
        self.clock = clock
        self.restores = 0

    async def open(self) -> None:
        self.database = await open_database(self.settings)
        self.app = create_app(self.database, self.settings, self.clock)

    async def close(self) -> None:
        """Let go of the file. What was not committed is gone, as it is when the process is killed."""
        await self.database.reader.close()
        await getattr(self.database.writer, "_real", self.database.writer).close()

    async def reopen(self) -> None:
        await self.close()
        await self.open()

    async def sign_in(self, person: str, device: str) -> None:
        await people.add_person(self.database, Person(person, f"Keeper {person[:8]}", self.clock()), "no passphrase")
        token, session_id = _token(device), str(UUID(int=UUID(device).int + 1))
        await people.begin_session(self.database, person, device, "", token, self.clock(), session_id)

    async def hear(self, body: bytes, device: str, fault: str = "") -> Heard:
        """A call over a line with that fault.

        Raises:
            NoSignal: nothing comes back.
        """
        if fault == "lost request":
            raise NoSignal
        if fault in ("500 before", "hotel page"):
            return HOTEL_PAGE if fault == "hotel page" else Heard(500, "application/json", PROBLEM)
        if fault in CRASH_POINTS:
            return await self._hear_while_dying(body, device, fault)
        sent = body[: len(body) // 2] if fault == "request cut" else body
        heard = await self._deliver(sent, "" if fault == "not signed in" else _token(device))
        if fault.startswith("delivered twice"):
            second = await self._deliver(body, _token(device))
            return heard if "first" in fault else second
        return _spoilt(heard, fault)

    async def _hear_while_dying(self, body: bytes, device: str, point: str) -> Heard:
        writer = DyingWriter(self.database.writer, point)
        self.database.writer = writer  # type: ignore[assignment]
        heard = await self._deliver(body, _token(device))
        await self.reopen()
        # A process that died says no more; the 500 that came of it here was never sent.
        if writer.dead and heard.status == 500:
            raise NoSignal
        return heard

    async def _deliver(self, body: bytes, token: str) -> Heard:
        headers = {"Origin": "http://localhost", "Content-Type": "application/json"}
        cookies = {"evenwater_session": token} if token else {}
        transport = httpx.ASGITransport(self.app)  # type: ignore[arg-type]
        async with httpx.AsyncClient(transport=transport, base_url="http://localhost", cookies=cookies) as client:
            answer = await client.post("/api/sync", content=body, headers=headers)
        return Heard(answer.status_code, answer.headers["content-type"].partition(";")[0], answer.content)

    async def back_up(self, file: Path) -> None:
        file.unlink(missing_ok=True)
        await self.database.reader.execute("VACUUM INTO ?", (str(file),))

    async def restore(self, backup: Path) -> None:
        """Put an older copy of the log in place, under a new epoch."""
        await self.close()
        for file in self.settings.data.glob("evenwater.sqlite*"):
            file.unlink()
        self.settings.database.write_bytes(backup.read_bytes())
        self.restores += 1
        with closing(sqlite3.connect(self.settings.database)) as connection, connection:
            connection.execute("UPDATE meta SET value = ? WHERE key = 'epoch'", (f"restored-{self.restores}",))
        await self.open()

    async def log(self) -> list[tuple[int, str]]:
        """(seq, id) of all that is kept."""
        rows = await self.database.reader.execute_fetchall("SELECT seq, id FROM entry ORDER BY seq")
        return [(row[0], row[1]) for row in rows]

    async def whole_log(self) -> list[Any]:
        """All that is kept, as it is handed on."""
        page, _, _ = await page_since(self.database, 0, datetime.min.replace(tzinfo=self.clock().tzinfo), 100_000)
        return page


def _token(device: str) -> str:
    return hashlib.sha256(device.encode()).hexdigest()


def _spoilt(heard: Heard, fault: str) -> Heard:
    if fault == "lost answer":
        raise NoSignal
    if fault == "500 after":
        return Heard(500, "application/json", PROBLEM)
    if fault == "answer cut":
        return Heard(heard.status, heard.media_type, heard.body[: len(heard.body) // 2])
    if fault == "answer for fewer entries":
        return Heard(heard.status, heard.media_type, heard.body.replace(b'"verdicts":[{', b'"verdicts":[],"x":[{', 1))
    return heard
