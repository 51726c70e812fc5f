"""Phones: what a person holds. Contexts of phone size, a browser that can be killed, clocks, and signing in."""

import os
import signal
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from chromium_flags import FLAGS
from journeys.household import PASSPHRASE
from journeys.waiting import until
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect

BROWSER = os.environ.get("EVENWATER_BROWSER", "/usr/bin/chromium")
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "locale": "en-GB",
    "timezone_id": "Europe/Berlin",
}
PATIENCE_MS = 10_000
expect.set_options(timeout=PATIENCE_MS)


def launch(playwright: Playwright, *flags: str) -> Browser:
    """The system's Chromium, without a window."""
    return playwright.chromium.launch(executable_path=BROWSER, args=[*FLAGS, *flags])


def phone_in(browser: Browser, url: str, now: Callable[[], datetime] | None = None, **more: Any) -> Page:
    """A new phone with nothing on it, on a blank page; `now` sets its clock, which then runs on."""
    context = browser.new_context(base_url=url, **{**PHONE, **more})
    return _first_page(context, now)


class KeptPhone:
    """A phone whose storage outlives its browser: it can die in the hand, and be charged again.

    Chromium puts cookies on the disk after half a minute or when it closes: after signing in, `close` before `die`.
    """

    def __init__(self, playwright: Playwright, profile: Path, url: str) -> None:
        self._playwright, self._profile, self._url = playwright, profile, url
        self._context: BrowserContext | None = None

    def open(self, now: Callable[[], datetime] | None = None, *, offline: bool = False, **more: Any) -> Page:
        """Start its browser, with signal or without; a blank page."""
        self._context = self._playwright.chromium.launch_persistent_context(
            self._profile, executable_path=BROWSER, args=FLAGS, base_url=self._url, offline=offline, **{**PHONE, **more}
        )
        return _first_page(self._context, now)

    def die(self) -> None:
        """kill -9: every process of this phone's browser at once, with nothing put in order first."""
        groups = {os.getpgid(pid) for pid in self._processes()}
        assert groups and os.getpgid(0) not in groups, "a browser runs, in a group of its own"
        for group in groups:
            os.killpg(group, signal.SIGKILL)
        until(lambda: not self._processes(), "the browser is dead")
        self._context = None

    def close(self) -> None:
        """Close the browser as a person does."""
        if self._context is not None:
            self._context.close()
            self._context = None

    def _processes(self) -> list[int]:
        """The running processes that were started with this phone's own profile."""
        mine = f"--user-data-dir={self._profile}".encode()
        return [int(one.name) for one in Path("/proc").iterdir() if one.name.isdigit() and _says(one, mine)]


def _says(process: Path, flag: bytes) -> bool:
    try:
        return flag in (process / "cmdline").read_bytes().split(b"\0")
    except OSError:
        return False


def _first_page(context: BrowserContext, now: Callable[[], datetime] | None) -> Page:
    context.set_default_timeout(PATIENCE_MS)
    context.set_default_navigation_timeout(PATIENCE_MS)
    if now is not None:
        # Playwright reads a datetime without its offset as local; a number of seconds leaves nothing to guess.
        context.clock.install(time=now().timestamp())
    return context.pages[0] if context.pages else context.new_page()


def sign_in(page: Page, name: str = "Marit", passphrase: str = PASSPHRASE) -> None:
    """Sign in on the first page as a person does, and wait for the round."""
    page.goto("/")
    page.get_by_label("Your name").fill(name)
    page.get_by_label("Passphrase").fill(passphrase)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("navigation", name="Main")).to_be_visible()
    expect(page.get_by_text("All sent")).to_be_visible()


def make_ready_for_no_signal(page: Page) -> None:
    """Wait until the app is kept on the phone and looks after this page."""
    until(lambda: page.evaluate("navigator.serviceWorker.controller !== null"), "the worker looks after the page", page)
