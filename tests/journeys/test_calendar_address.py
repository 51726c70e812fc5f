"""A private calendar, made on the phone and read by a calendar program."""

from collections.abc import Callable

import httpx
import pytest
from icalendar import Calendar
from journeys.home import Home
from journeys.household import Caller
from journeys.phones import sign_in
from journeys.round_screen import press
from journeys.waiting import until
from playwright.sync_api import Locator, Page, expect


@pytest.fixture
def phone(new_phone: Callable[..., Page], home: Home, keeper: Caller) -> Page:
    page = new_phone()
    sign_in(page)
    page.goto("/reach")
    return page


def calendar(page: Page) -> Locator:
    return page.locator(".reach-feed")


def address_shown(page: Page) -> str:
    once = page.get_by_role("region", name="Your calendar's address, shown this once")
    expect(once).to_be_in_viewport()
    return once.locator("code").inner_text()


def test_a_calendar_is_made_read_chosen_made_anew_and_ended(phone: Page) -> None:
    expect(calendar(phone)).to_contain_text("You have no calendar yet.")
    press(phone, "Make my calendar")
    first = address_shown(phone)
    opened = phone.get_by_role("link", name="Add to this device's calendar").get_attribute("href")
    assert opened == first.replace("http://", "webcal://")
    answer = httpx.get(first)
    events = Calendar.from_ical(answer.content).walk("VEVENT")
    assert any(str(one["SUMMARY"]).startswith("Buffer: ") for one in events)
    assert any(one.walk("VALARM") for one in events)
    calendar(phone).get_by_label("None").check()
    expect(phone.get_by_text("Kept. Calendars follow when they next read it.")).to_be_visible()
    assert not any(one.walk("VALARM") for one in Calendar.from_ical(httpx.get(first).content).walk("VEVENT"))
    press(phone, "New address")
    expect(phone.get_by_text(first)).to_have_count(0)
    second = address_shown(phone)
    assert (httpx.get(first).status_code, httpx.get(second).status_code) == (404, 200)
    phone.reload()
    expect(calendar(phone)).to_contain_text("Last read")
    expect(phone.get_by_text(second)).to_have_count(0)
    press(phone, "End it")
    expect(calendar(phone)).to_contain_text("You have no calendar yet.")
    assert httpx.get(second).status_code == 404


def test_what_the_phone_ticks_is_done_in_the_calendar(phone: Page, keeper: Caller) -> None:
    press(phone, "Make my calendar")
    address = address_shown(phone)
    before = [str(one["SUMMARY"]) for one in Calendar.from_ical(httpx.get(address).content).walk("VEVENT")]
    assert "Covers on" in before
    ticks = len(keeper.log("tick"))
    phone.goto("/round")
    press(phone.get_by_role("article", name="Covers on"), "Done")
    until(lambda: len(keeper.log("tick")) > ticks, "home has it", phone)
    after = [str(one["SUMMARY"]) for one in Calendar.from_ical(httpx.get(address).content).walk("VEVENT")]
    assert "Done: Covers on" in after and before.count("Covers on") == after.count("Covers on") + 1
