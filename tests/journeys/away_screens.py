"""The screens of hand-overs, and how a keeper gets there; screens.py puts them in order."""

import re

from journeys.hand_over_screen import name_helper
from journeys.jobs_screens import unfold
from journeys.round_screen import press
from playwright.sync_api import Page, expect


def no_hand_over_yet(page: Page) -> None:
    page.goto("/hand-overs")
    expect(page.get_by_role("heading", name="Hand-overs", level=1)).to_be_visible()


def a_hand_over_with_slips(page: Page) -> None:
    page.goto("/hand-overs?new")
    name_helper(page, "Anna", "ask me")
    unfold(page)
    press(page, "Save")
    expect(page.get_by_role("alert").first).to_be_visible()


def a_hand_over(page: Page) -> None:
    """The one there is, or one made now."""
    page.goto("/hand-overs")
    expect(page.get_by_role("heading", name="Hand-overs", level=1)).to_be_visible()
    one = page.get_by_role("link", name=re.compile("with Anna"))
    if one.count() > 0:
        one.first.click()
    else:
        page.goto("/hand-overs?new")
        name_helper(page, "Anna")
        page.get_by_text("Yes: this amount").tap()
        press(page, "Save")
    expect(page.get_by_role("heading", name="Before you go")).to_be_visible()
    expect(page.get_by_role("button", name=re.compile("^Make "))).to_be_enabled()


def a_link_shown_once(page: Page) -> None:
    a_hand_over(page)
    page.get_by_role("button", name=re.compile("^Make ")).tap()
    expect(page.get_by_role("img", name="Code to scan: the link of Anna")).to_be_visible()


def the_sheet_before_it_is_printed(page: Page) -> None:
    a_link_shown_once(page)
    page.get_by_role("link", name="Print the sheet").tap()
    expect(page.get_by_role("img", name="This sheet on your phone")).to_be_visible()


def coming_home_before_it_began(page: Page) -> None:
    a_hand_over(page)
    page.get_by_role("link", name="Coming home").tap()
    expect(page.get_by_text("It has not begun.")).to_be_visible()


def coming_home_so_far(page: Page) -> None:
    page.goto("/hand-overs?new")
    name_helper(page, "Ole")
    page.get_by_label("First day").fill("2026-11-20")
    confirmed = page.get_by_role("checkbox", name=re.compile("^Yes: this amount"))
    confirmed.check()
    press(page, "Save")
    expect(page.get_by_role("button", name=re.compile("^Make "))).to_be_enabled()
    page.get_by_role("link", name="Coming home").tap()
    expect(page.get_by_text("So far: day 5 of 10.")).to_be_visible()


AWAY = [
    no_hand_over_yet,
    a_hand_over_with_slips,
    a_hand_over,
    a_link_shown_once,
    the_sheet_before_it_is_printed,
    coming_home_before_it_began,
    coming_home_so_far,
]
"""Those of somebody signed in at the example's pond."""
