"""A household's server for the journeys: the real application over a real file and socket, in a thread of this process,
so that its clock can be set and its line can fail. It stops and starts again with its data and its address kept."""

import asyncio
import socket
import threading
import time
from collections.abc import Coroutine
from concurrent.futures import Future
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, TypeVar
from uuid import uuid4

import uvicorn
from journeys.household import PASSPHRASE
from journeys.line import Line

from evenwater.carrying import carriers
from evenwater.delivery.clock import DeliveryClock
from evenwater.domain.people import Person
from evenwater.example import load_example
from evenwater.main import FRONTEND, SEED_SCENARIO
from evenwater.serving import open_database
from evenwater.settings import Settings
from evenwater.storage import people
from evenwater.web.access.passphrases import hash_passphrase
from evenwater.web.app import create_app

Of = TypeVar("Of")


class RunningClock:
    """A clock that runs on from where it was set."""

    def __init__(self, now: datetime) -> None:
        self.set(now)

    def set(self, now: datetime) -> None:
        """From now on it is `now`; aware."""
        self._now, self._set_at_s = now, time.monotonic()

    def __call__(self) -> datetime:
        now = self._now + timedelta(seconds=time.monotonic() - self._set_at_s)
        return now.replace(microsecond=now.microsecond // 1000 * 1000)


class Home:
    """The server at home. `line` is what lies between it and the phones. With `example` among its settings the invented
    pond is poured in first."""

    def __init__(self, data: Path, now: datetime, **settings: Any) -> None:
        self.settings = Settings(data=data, frontend=FRONTEND, **settings)
        self.clock = RunningClock(now)
        self.line = Line()
        self._port = 0
        self._thread: threading.Thread | None = None

    @property
    def url(self) -> str:
        """Where it answers, without a path; the same after each start."""
        return f"http://localhost:{self._port}"

    def start(self) -> None:
        """Serve; returns once it listens.

        What went wrong on the way is raised here.
        """
        listener = socket.create_server(("127.0.0.1", self._port))
        self._port = listener.getsockname()[1]
        started: Future[uvicorn.Server] = Future()
        self._thread = threading.Thread(target=lambda: asyncio.run(self._serve(listener, started)))
        self._thread.start()
        self._server = started.result(timeout=120)  # an example is poured first

    def look_who_must_hear(self) -> None:
        """What the server does a few times a minute where it has a mail server: make what is due, and send it."""
        asyncio.run_coroutine_threadsafe(self._delivery.look(), self._loop).result(timeout=60)

    def add_person(self, name: str) -> None:
        """One more person in the household, with the journeys' passphrase."""
        person = Person(str(uuid4()), name, self.clock())
        assert self.run(people.add_person(self.database, person, hash_passphrase(PASSPHRASE)))

    def run(self, work: Coroutine[Any, Any, Of]) -> Of:
        """Have the server's own loop do something, as what it does by itself would be done."""
        return asyncio.run_coroutine_threadsafe(work, self._loop).result(timeout=20)

    def stop(self) -> None:
        """Stop serving; the data stay. Once is enough, twice does no harm."""
        self.line.clear()
        if self._thread is not None:
            self._server.should_exit = True
            self._thread.join(timeout=20)
            self._thread = None

    def restart(self) -> None:
        """Stop, and start again at the same address with the same data."""
        self.stop()
        self.start()

    async def _serve(self, listener: socket.socket, started: "Future[uvicorn.Server]") -> None:
        try:
            self._loop = asyncio.get_running_loop()
            if self.settings.example:
                await load_example(self.settings, SEED_SCENARIO, self.clock, fresh=False)
            database = self.database = await open_database(self.settings)
        except BaseException as error:
            listener.close()
            started.set_exception(error)
            raise
        try:
            app = create_app(database, self.settings, self.clock)
            ways = carriers(self.settings, database, self.clock, self._port)
            self._delivery = DeliveryClock(database, app.state.planner.plan_and_facts, ways, self.clock)
            server = uvicorn.Server(uvicorn.Config(self.line.before(app), **_CONFIG))
            started.set_result(server)
            await server.serve(sockets=[listener])
        finally:
            await database.close()


_CONFIG: dict[str, Any] = {
    "log_config": None,
    "access_log": False,
    "proxy_headers": False,
    "lifespan": "off",
    "timeout_graceful_shutdown": 1,
}
