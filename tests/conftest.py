"""What tests share: an empty database, a server over it, people signed in, a clock that stands still."""

from collections.abc import AsyncIterator, Iterator
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import httpx
import hypothesis
import pytest
from argon2 import PasswordHasher
from litestar import Litestar

from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.web.access import passphrases
from evenwater.web.app import create_app

ROOT = Path(__file__).parents[1]
START = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
PASSPHRASE = "four small words here"

# How long an example takes says nothing on a machine that does other work.
hypothesis.settings.register_profile("untimed", deadline=None)
hypothesis.settings.load_profile("untimed")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="simulations and kill tests at full size")
    parser.addoption("--seed", type=int, default=20261103, help="where simulations begin (default %(default)s)")


# The files that take minutes. A run spread over cores begins with them, so that no core waits for another at the end.
LONG_FILES = frozenset(
    {"test_every_screen", "test_kh_learner", "test_mutants", "test_kill", "test_sending_kills", "test_sync_machine"}
)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.path.stem not in LONG_FILES)
    if config.getoption("long"):
        for item in items:
            item.add_marker(pytest.mark.timeout(0))


@pytest.fixture(scope="session", autouse=True)
def light_passphrases() -> Iterator[None]:
    """Argon2id as on a real server, but light: its weight, a quarter of a second at each of a thousand sign-ins, is
    held by tests/web/access/test_passphrases.py and by what runs in a process of its own.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(passphrases, "_HASHER", PasswordHasher(time_cost=1, memory_cost=1024, parallelism=1))
        yield


class Clock:
    """A clock that stands where it was put."""

    def __init__(self, now: datetime = START) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(data=tmp_path / "data", frontend=ROOT / "frontend")


@pytest.fixture
async def database(settings: Settings) -> AsyncIterator[Database]:
    opened = await Database.open(settings.database)
    yield opened
    await opened.close()


@pytest.fixture
def app(database: Database, settings: Settings, clock: Clock) -> Litestar:
    return create_app(database, settings, clock)


@pytest.fixture
async def client(app: Litestar) -> AsyncIterator[httpx.AsyncClient]:
    async with page_of(app) as client:
        yield client


@pytest.fixture
async def phone(app: Litestar) -> AsyncIterator["Phone"]:
    async with page_of(app) as client:
        yield await Phone.begin(client)


def page_of(app: Litestar) -> httpx.AsyncClient:
    """A client that behaves as a page of our own does, from this machine."""
    transport = httpx.ASGITransport(app, client=("127.0.0.1", 50_000))  # type: ignore[arg-type]
    return httpx.AsyncClient(transport=transport, base_url="http://localhost", headers={"Origin": "http://localhost"})


class Phone:
    """A person signed in on one device, who can write entries and sync them."""

    def __init__(self, client: httpx.AsyncClient, person: str, device: str) -> None:
        self.client, self.person, self.device = client, person, device
        self.cursor, self.epoch, self._count = 0, None, 0

    @classmethod
    async def begin(cls, client: httpx.AsyncClient, name: str = "Marit") -> "Phone":
        device = str(UUID(int=len(name) << 64 | 7))
        told = {"name": name, "passphrase": PASSPHRASE, "device": device, "device_label": "test"}
        answer = await client.post("/api/people/first", json=told)
        if answer.status_code == 409:
            answer = await client.post("/api/sign-in", json=told)
        answer.raise_for_status()
        return cls(client, answer.json()["person"]["id"], device)

    def entry(self, kind: str, happened_at: datetime, *, pond: str = "main", **fields: object) -> dict[str, object]:
        """An entry as this phone would write it, in UTC."""
        self._count += 1
        return {
            "id": str(UUID(int=UUID(self.device).int + (self._count << 70))),
            "v": 1,
            "pond": pond,
            "kind": kind,
            "happened_at": happened_at.isoformat(),
            "local_date": happened_at.date().isoformat(),
            "zone": "UTC",
            "recorded_at": happened_at.isoformat(),
            "device": self.device,
            "author": self.person,
            **fields,
        }

    async def sync(self, *entries: object, now: datetime = START, **more: object) -> dict[str, object]:
        """One call; the device's clock says `now`."""
        asked = {
            "device": self.device,
            "device_now": now.isoformat(),
            "app_version": "test",
            "epoch": self.epoch,
            "cursor": self.cursor,
            "entries": list(entries),
            "want_plan": False,
            **more,
        }
        answer = await self.client.post("/api/sync", json=asked)
        assert answer.status_code == 200, answer.text
        told = answer.json()
        self.cursor, self.epoch = told["cursor"], told["epoch"]
        if (told.get("plan") or {}).get("follows"):  # as the app does: it asks again until nothing follows
            told["plan"] = (await self.sync(now=now, **more))["plan"]
        return told
