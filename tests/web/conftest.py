"""Whole households behind the real gate, over a real file, and callers of every kind."""

import asyncio
import socket
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import AsyncExitStack, asynccontextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import httpx
import pytest
import uvicorn
from argon2 import PasswordHasher
from helper_phone import Writes, hand_over, make_link, pond_settings, use_phone

from evenwater.domain.people import Person
from evenwater.settings import Settings
from evenwater.storage import people
from evenwater.storage.database import Database
from evenwater.web.access.authority import prepare_https
from evenwater.web.access.gate import COOKIE
from evenwater.web.app import create_app

DEVICE = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"
PASSPHRASE = "eight koi in the dusk"
FIRST_DAY = date(2026, 11, 24)  # of the hand-over; the clock says 25 November, 17:02 UTC
FEED_JOB = {"text": "Feed", "shape": "feed"}
SALT_JOB = {"text": "Salt", "amount": "200 g"}
TEST_JOB = {"text": "Test KH", "asks": [{"quantity": "kh_dkh"}]}
QUICK = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)


class Household:
    """One server: its application, its file, its clock, and how to call it."""

    def __init__(self, database: Database, settings: Settings, one_time_code: str | None) -> None:
        self.database, self.settings = database, settings
        self.now = datetime(2026, 11, 25, 17, 2, 3, 120_000, tzinfo=UTC)
        https = prepare_https(settings.data / "https", settings.host_names, self.now) if settings.https else None
        self.app = create_app(database, settings, lambda: self.now, one_time_code, https)
        self.callers = AsyncExitStack()

    def caller(self, base_url: str = "http://localhost", peer: str = "127.0.0.1", **headers: str) -> httpx.AsyncClient:
        """A browser's page of this server: it sends Origin with each call, and keeps cookies."""
        transport = httpx.ASGITransport(self.app, client=(peer, 40_000))  # type: ignore[arg-type]
        caller = httpx.AsyncClient(transport=transport, base_url=base_url, headers={"Origin": base_url} | headers)
        self.callers.push_async_callback(caller.aclose)
        return caller

    def person(self, **more: Any) -> dict[str, Any]:
        """What a sign-in form sends."""
        return {"name": "Aki", "passphrase": PASSPHRASE, "device": DEVICE, "device_label": "Aki's phone"} | more

    async def settle(self) -> httpx.AsyncClient:
        """Aki runs this household: as if begun on her phone, but with a hash that is quick to make and to check."""
        aki = Person(str(uuid4()), "Aki", self.now)
        assert await people.add_first_person(self.database, aki, QUICK.hash(PASSPHRASE))
        await people.begin_session(self.database, aki.id, DEVICE, "Aki's phone", "t" * 43, self.now, str(uuid4()))
        caller = self.caller()
        caller.cookies.set(COOKIE, "t" * 43, domain="localhost.local", path="/")
        return caller

    async def begin(self, caller: httpx.AsyncClient, **more: Any) -> httpx.Response:
        return await caller.post("/api/people/first", json=self.person(**more))

    def later(self, **span: float) -> None:
        self.now += timedelta(**span)


MakeHousehold = Callable[..., Awaitable[Household]]


@pytest.fixture
async def make_household(tmp_path: Path) -> AsyncIterator[MakeHousehold]:
    """Makes households: `await make_household(one_time_code=…, public_names=…, …)`."""
    frontend = tmp_path / "frontend"
    frontend.mkdir()
    (frontend / "index.html").write_text("<!doctype html><title>evenwater</title>")
    async with AsyncExitStack() as opened:

        async def make(*, one_time_code: str | None = None, **more: Any) -> Household:
            settings = Settings(**({"data": tmp_path / str(uuid4()), "frontend": frontend} | more))
            database = await Database.open(settings.database)
            opened.push_async_callback(database.close)
            household = Household(database, settings, one_time_code)
            opened.push_async_callback(household.callers.aclose)
            return household

        yield make


@pytest.fixture
async def household(make_household: MakeHousehold) -> Household:
    return await make_household()


@pytest.fixture
async def keeper(household: Household) -> httpx.AsyncClient:
    """Aki's phone, signed in."""
    return await household.settle()


@pytest.fixture
async def writer(household: Any, keeper: httpx.AsyncClient) -> Writes:
    """The keeper's phone: two ponds, jobs of every sort, a hand-over for one pond that began yesterday."""
    person = (await keeper.get("/api/start")).json()["person"]["id"]
    writer = Writes(keeper, person, DEVICE)
    at = household.now - timedelta(days=30)
    jobs = {"feed": FEED_JOB, "salt": SALT_JOB, "test-kh": TEST_JOB}
    more = [
        writer.entry("set", at, target=f"job/{name}", field=field, value=value)
        for name, fields in jobs.items()
        for field, value in fields.items()
    ]
    given = [f"main/{job}" for job in ("cover", "buffer", "feed", "salt", "test-kh")]
    made = hand_over(writer, at, FIRST_DAY, jobs=given)
    kh = writer.entry("reading", household.now - timedelta(days=2), quantity="kh_dkh", value=4.0, step=0.5)
    warm = writer.entry("reading", household.now - timedelta(days=1), quantity="temperature_c", value=15)
    other = pond_settings(writer, at, "other", name="Quarantine")
    entries = [*pond_settings(writer, at), *other, *more, *made, kh, warm]
    assert set(await writer.verdicts(*entries, now=household.now)) == {"accepted"}
    return writer


@pytest.fixture
async def jo(household: Any, writer: Writes, keeper: httpx.AsyncClient) -> Writes:
    """The neighbour's phone."""
    return await use_phone(household.caller(), (await make_link(keeper))["secret"])


@asynccontextmanager
async def running(app: Any, listener: socket.socket, **more: Any) -> AsyncIterator[uvicorn.Config]:
    config = uvicorn.Config(
        app, log_config=None, access_log=False, proxy_headers=False, lifespan="off", timeout_graceful_shutdown=3, **more
    )
    server = uvicorn.Server(config)
    task = asyncio.create_task(server.serve(sockets=[listener]))
    try:
        yield config
    finally:
        server.should_exit = True
        await task


@pytest.fixture
async def serve() -> AsyncIterator[Callable[..., Awaitable[tuple[int, uvicorn.Config]]]]:
    """Runs an application in a real uvicorn: `port, config = await serve(app, ssl_certfile=…)`."""
    async with AsyncExitStack() as servers:

        async def start(app: Any, **more: Any) -> tuple[int, uvicorn.Config]:
            listener = socket.create_server(("127.0.0.1", 0))  # listening already: who comes early waits
            config = await servers.enter_async_context(running(app, listener, **more))
            return listener.getsockname()[1], config

        yield start
