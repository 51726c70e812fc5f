"""Screens of the pond book: what was looked for in it."""

from collections.abc import Callable

from journeys.round_screen import press
from playwright.sync_api import Page, expect


def the_book_looked_through(page: Page) -> None:
    """Words, a list that narrows them down, dates that cannot be, and all that home has as well."""
    page.goto("/book?group=said&since=2026-11-01")
    page.get_by_role("searchbox", name="Find").fill("the")
    page.get_by_text("Narrow it down").click()
    page.get_by_label("To", exact=True).fill("2026-10-01")
    expect(page.get_by_role("alert")).to_have_text("The last day is before the first.")
    page.get_by_label("To", exact=True).fill("")
    page.get_by_label("From", exact=True).fill("")
    expect(page.get_by_role("listitem").first).to_be_visible()
    press(page, "Look further back")
    expect(page.get_by_text("Nothing earlier fits.")).to_be_visible()


BOOK: list[Callable[[Page], None]] = [the_book_looked_through]
