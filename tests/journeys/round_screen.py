"""The round as a person finds it on the screen: cards by their job's name, lines of what is done."""

import re
from contextlib import suppress

from journeys.waiting import until
from playwright.sync_api import Locator, Page, TimeoutError

SENT = re.compile(r"^All sent 16:4\d$")
"""What the sync line says when nothing waits, some minutes into the evening of the stories."""


def card(page: Page, job: str) -> Locator:
    """The open card of a job; opened by a tap when it is not open."""
    found = page.get_by_role("article", name=job)
    line = page.get_by_role("button", name=re.compile(rf"^{re.escape(job)}\b.*(by|late|from|held|not needed)"))

    def opened() -> bool:
        # The next card opens by itself while a thumb is on its way to its line.
        if not found.is_visible() and line.is_visible():
            with suppress(TimeoutError):
                line.tap(timeout=2000)
        return found.is_visible()

    until(opened, f"the card of {job} is open", page)
    return found


def press(place: Page | Locator, button: str) -> None:
    """Tap the button of exactly that name."""
    place.get_by_role("button", name=button, exact=True).tap()


def take_back_button(page: Page, job: str) -> Locator:
    """The take back of what was answered about a job, on its card or its line."""
    return page.get_by_role("button", name=re.compile(rf"^take back: {re.escape(job)}"))


def sync_line(page: Page) -> Locator:
    """The one line at the top that says how sending stands."""
    return page.get_by_role("banner").get_by_role("status")
