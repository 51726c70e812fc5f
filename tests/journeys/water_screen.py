"""The Water page as a person finds it on the screen: answers by their quantity, fields by their label."""

import re
from typing import Any

from journeys.household import Caller
from playwright.sync_api import Locator, Page, expect


def open_water(page: Page, query: str = "") -> None:
    """Go to the Water page, or to one of its forms."""
    page.goto(f"/water{query}")
    expect(page.get_by_role("main").get_by_role("heading", level=1)).to_be_visible()


def answer(page: Page, quantity: str) -> Locator:
    """The card of a quantity's latest reading."""
    cards = page.get_by_role("region", name="Latest readings").locator(".answers > li")
    return cards.filter(has_text=re.compile(rf"\b{re.escape(quantity)}"))  # as written: "ph" stands in many words


def field(page: Page, label: str) -> Locator:
    """A field by the first words of its label."""
    return page.get_by_role("textbox", name=label)


def settings(keeper: Caller) -> dict[tuple[str, str], Any]:
    """(target, field) -> the value last set, from the server's log."""
    return {(one["entry"]["target"], one["entry"]["field"]): one["entry"]["value"] for one in keeper.log("set")}
