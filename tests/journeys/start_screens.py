"""The screens of the first start, and of what is not told yet; screens.py puts them in order."""

from journeys.round_screen import press
from playwright.sync_api import Page, expect


def a_pond_by_its_measures(page: Page) -> None:
    """The drawn pond, and a slip in each kind of field."""
    press(page, "by its measures")
    page.locator("summary", has_text="Units").click()
    page.get_by_label("A: length").fill("420")
    page.get_by_label("B: width").fill("2,6")
    page.get_by_label("C: depth").fill("1.4")
    page.get_by_label("Weight of one capful").fill("1,250")
    press(page, "Go on")
    expect(page.get_by_text("That is 1,530,000 L")).to_be_visible()
    expect(page.get_by_role("alert").first).to_be_visible()


def a_pond_by_salt_later(page: Page) -> None:
    press(page, "later, by salt")
    expect(page.get_by_text("Write all three down")).to_be_visible()
    press(page, "I know it")
    page.get_by_label("Weight of one capful").fill("40")


def all_that_is_not_known(page: Page) -> None:
    page.goto("/to-tell")
    press(page, "There is none: The cover")
    page.get_by_text("Left for now: 1").click()
    expect(page.get_by_role("button", name="Ask again: The cover")).to_be_visible()


def what_is_not_known(page: Page) -> None:
    page.goto("/to-tell")
    expect(page.get_by_role("heading", name="What I do not know yet")).to_be_visible()


def another_volume_since_when(page: Page) -> None:
    page.goto("/pond")
    press(page, "by a timed hose")
    for label, text in {"A bucket of": "12", "runs full in": "30", "The whole pond took": "0,1"}.items():
        page.get_by_label(label).fill(text)
    press(page, "Add somebody")
    press(page, "Save")
    expect(page.get_by_text("The new figure holds")).to_be_visible()
    expect(page.get_by_role("alert").first).to_be_visible()


START = [what_is_not_known, another_volume_since_when]
"""For a keeper."""
