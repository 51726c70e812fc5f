"""The screens of the season report: its form, and the two documents that home writes; screens.py puts them in order."""

import re

from journeys.round_screen import press
from playwright.sync_api import Page, expect


def what_a_report_holds(page: Page) -> None:
    page.goto("/report")
    page.get_by_role("button", name="Twelve months").click()
    page.get_by_text("none chosen").click()
    expect(page.get_by_text("Unless you choose some")).to_be_visible()


def a_report_that_cannot_be(page: Page) -> None:
    page.goto("/report")
    page.get_by_label("From", exact=True).fill("2026-11-20")
    page.get_by_label("To", exact=True).fill("2026-11-01")
    for box in page.get_by_role("group", name="What to put in").get_by_role("checkbox").all():
        box.uncheck()
    press(page, "Show the report")
    expect(page.get_by_text("It ends before it begins.")).to_be_visible()
    expect(page.get_by_text("Put something in: nothing is chosen.")).to_be_visible()


def the_season_told_back(page: Page) -> None:
    page.goto("/report")
    page.get_by_role("button", name="Twelve months").click()
    for name in ("Names of those", "Notes, and why", "The time zone"):
        page.get_by_role("checkbox", name=re.compile(f"^{name}")).check()
    press(page, "Show the report")
    expect(page.get_by_role("heading", name="The long pond")).to_be_visible()
    expect(page.get_by_role("heading", name="Forecasts")).to_be_visible()


def the_year_on_a_page(page: Page) -> None:
    page.goto("/report")
    page.get_by_role("link", name="The year 2026").click()
    expect(page.get_by_role("img", name=re.compile("^The water's temperature round the year"))).to_be_visible()


REPORT = [what_a_report_holds, a_report_that_cannot_be, the_season_told_back, the_year_on_a_page]
