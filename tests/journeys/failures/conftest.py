"""What the failures share: a caller without a screen for those that live in the server, a site that can be deployed
anew, and another member of the household."""

import asyncio
import shutil
from collections.abc import AsyncIterator, Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from conftest import Phone, page_of
from journeys.home import Home
from journeys.household import PASSPHRASE
from litestar import Litestar
from msgspec.structs import replace

from evenwater.domain.people import Person
from evenwater.storage import people
from evenwater.storage.database import Database
from evenwater.web.access.passphrases import hash_passphrase


@pytest.fixture
async def sender(app: Litestar) -> AsyncIterator[Phone]:
    """A device without a screen, signed in, that calls the application itself."""
    async with page_of(app) as client:
        yield await Phone.begin(client)


def in_storage(home: Home, work: Callable[[Database], Awaitable[Any]]) -> Any:
    """Do something in home's own file while home runs; in a thread, because Playwright's loop holds this one."""

    async def opened() -> Any:
        database = await Database.open(home.settings.database)
        try:
            return await work(database)
        finally:
            await database.close()

    with ThreadPoolExecutor(1) as thread:
        return thread.submit(lambda: asyncio.run(opened())).result(timeout=30)


def add_member(home: Home, name: str, now: datetime, person_id: str | None = None) -> Person:
    """One more keeper in the household, with the journeys' passphrase."""
    person = Person(person_id or str(uuid4()), name, now)

    async def add(database: Database) -> None:
        assert await people.add_person(database, person, hash_passphrase(PASSPHRASE))

    in_storage(home, add)
    return person


class Site:
    """Home's frontend as a copy that can be changed and deployed."""

    def __init__(self, home: Home, folder: Path) -> None:
        shutil.copytree(home.settings.frontend, folder)
        self.folder = folder
        self._home = home
        home.settings = replace(home.settings, frontend=folder)

    def deploy(self, **changes: tuple[str, str]) -> None:
        """Change files (`words={"old", "new"}` is words.js) and start the server on them, its data kept."""
        for stem, (old, new) in changes.items():
            file = self.folder / f"{stem}.js"
            text = file.read_text(encoding="utf-8")
            assert old in text, f"{file.name} holds no {old!r}"
            file.write_text(text.replace(old, new), encoding="utf-8")
        self._home.restart()


@pytest.fixture
def site(home: Home, tmp_path: Path) -> Site:
    return Site(home, tmp_path / "site")
