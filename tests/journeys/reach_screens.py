"""The page about how the list reaches somebody, as it is first found, and with what cannot be."""

import re

from playwright.sync_api import Page, expect

MAKES_A_CALENDAR = re.compile("^(Make my calendar|New address)$")


def how_the_list_reaches_me(page: Page) -> None:
    page.goto("/reach")
    expect(page.get_by_label("My address")).to_be_visible()
    expect(page.get_by_role("button", name=MAKES_A_CALENDAR)).to_be_visible()


def a_list_by_mail_that_cannot_be(page: Page) -> None:
    how_the_list_reaches_me(page)
    page.get_by_label("Send me the day's list").check()
    page.get_by_label("At", exact=True).fill("")
    page.get_by_label("My address").fill("marit at home")
    page.get_by_role("button", name="Save", exact=True).tap()
    expect(page.get_by_role("alert")).to_have_count(2)


def a_calendars_address(page: Page) -> None:
    how_the_list_reaches_me(page)
    page.get_by_role("button", name=MAKES_A_CALENDAR).tap()
    expect(page.get_by_role("region", name="Your calendar's address, shown this once")).to_be_visible()


REACH = [how_the_list_reaches_me, a_list_by_mail_that_cannot_be, a_calendars_address]
"""Those of somebody signed in at the example's pond."""
