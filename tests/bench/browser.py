"""Chromium as a phone holds it, and what it is told over its debugging protocol."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from chromium_flags import FLAGS
from household import Keeper
from playwright.sync_api import Browser, CDPSession, Page, sync_playwright

PHONE: dict[str, Any] = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
PATIENCE_MS = 120_000


def executable() -> str:
    """The system's Chromium."""
    for name in ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable"):
        found = shutil.which(name)
        if found:
            return found
    raise SystemExit("bench: gates 2 to 4 and 9 need Chromium (Debian, Ubuntu: apt install chromium)")


@contextmanager
def chromium() -> Iterator[Browser]:
    """A browser, without a window."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable(), args=FLAGS)
        yield browser
        browser.close()


@contextmanager
def phone_page(browser: Browser, keeper: Keeper | None = None, port: int = 0, **more: Any) -> Iterator[Page]:
    """The blank page of a new phone; with `keeper`, signed in by the keeper's cookie."""
    context = browser.new_context(**PHONE, **more)
    context.set_default_timeout(PATIENCE_MS)
    if keeper:
        name, _, value = keeper.cookie.partition("=")
        context.add_cookies([{"name": name, "value": value, "url": f"http://127.0.0.1:{port}"}])
    yield context.new_page()
    context.close()


def open_round(page: Page, port: int) -> None:
    """Open the app and wait until the round is there, everything fetched, and the service worker in charge."""
    page.goto(f"http://127.0.0.1:{port}/round")
    page.locator("main.round ol.path").first.wait_for()
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    page.evaluate(
        """async () => {
            const { get } = (await import("/main.js")).modules["/store.js"];
            while (!get().plan || get().sync !== "idle") await new Promise((on) => setTimeout(on, 20));
        }"""
    )


class Line:
    """The network between one page and the world."""

    def __init__(self, page: Page) -> None:
        self._cdp: CDPSession = page.context.new_cdp_session(page)
        self._cdp.send("Network.enable")

    def cut(self) -> None:
        self._say(offline=True)

    def restore(self, latency_ms: float = 0, kbit_per_s: float = 0) -> None:
        """Back on line; both ways at that rate [kbit/s], every exchange that much later [ms]. 0: as fast as it goes."""
        bytes_per_s = kbit_per_s * 1000 / 8 if kbit_per_s else -1
        self._say(latency=latency_ms, uploadThroughput=bytes_per_s, downloadThroughput=bytes_per_s)

    def _say(self, **what: Any) -> None:
        told = {"offline": False, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1} | what
        self._cdp.send("Network.emulateNetworkConditions", told)


def slow_down(page: Page, times: float) -> None:
    """Run the page as on a processor that many times slower."""
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": times})
