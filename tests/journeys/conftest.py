"""What the journeys share: a server at home, phones, and somebody who began the household.

Playwright's synchronous face runs a loop of its own in this thread; it is closed after each module, so that the
asynchronous tests elsewhere find none. The server runs in a thread of its own.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from journeys.home import Home
from journeys.household import EVENING, Caller
from journeys.neighbour import hand_over_to_kim, link_for_kim, use_this_phone
from journeys.phones import KeptPhone, launch, phone_in
from journeys.process import ServerProcess
from playwright.sync_api import Browser, Page, Playwright, sync_playwright


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="module")
def browser(playwright: Playwright) -> Iterator[Browser]:
    launched = launch(playwright)
    yield launched
    launched.close()


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Home]:
    """A server with nobody in it yet, on the evening of the story."""
    server = Home(tmp_path / "home", EVENING)
    server.start()
    yield server
    server.stop()


@pytest.fixture
def example_home(tmp_path: Path) -> Iterator[Home]:
    """A server that runs the invented pond of seed_scenario, poured out to the evening of the story."""
    server = Home(tmp_path / "example", EVENING, example=True)
    server.start()
    yield server
    server.stop()


@pytest.fixture
def keeper(home: Home) -> Iterator[Caller]:
    """Marit's desk computer: she began the household there, with a pond, the starter's jobs and three weeks of log."""
    caller = Caller(home.url, home.clock).begin()
    caller.set_up()
    caller.live_three_weeks()
    yield caller
    caller.close()


@pytest.fixture
def server_process(tmp_path: Path) -> Iterator[ServerProcess]:
    """The server as people start it, running; its clock is the machine's."""
    server = ServerProcess(tmp_path / "data")
    server.start()
    yield server
    server.kill()


@pytest.fixture
def new_phone(browser: Browser, home: Home) -> Iterator[Callable[..., Page]]:
    """`new_phone()` gives a new phone's blank page; its clock is home's unless `now` is given. No page may throw."""
    errors: list[str] = []
    with ExitStack() as opened:

        def new(**more: Any) -> Page:
            page = phone_in(browser, home.url, **{"now": home.clock, **more})
            page.context.on("weberror", lambda told: errors.append(str(told.error)))
            opened.callback(page.context.close)
            return page

        yield new
    assert errors == [], "no page may throw what nobody catches"


@pytest.fixture
def phone(new_phone: Callable[..., Page]) -> Page:
    """One phone with nothing on it."""
    return new_phone()


@pytest.fixture
def kept_phone(playwright: Playwright, home: Home, tmp_path: Path) -> Iterator[KeptPhone]:
    """A phone whose browser can be killed and started again; not started yet."""
    kept = KeptPhone(playwright, tmp_path / "profile", home.url)
    yield kept
    kept.close()


@pytest.fixture
def link(keeper: Caller) -> str:
    """The path of a link whose ten days begin today."""
    hand_over_to_kim(keeper, EVENING.date(), EVENING.date() + timedelta(days=9))
    return link_for_kim(keeper)


@pytest.fixture
def kims(link: str, phone: Page) -> Page:
    """Kim's phone, bound, on its round."""
    use_this_phone(phone, link)
    return phone
