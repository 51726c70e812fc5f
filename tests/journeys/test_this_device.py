"""How the app looks on one device, and its way onto the home screen."""

from journeys.home import Home
from journeys.household import Caller
from journeys.phones import phone_in, sign_in
from journeys.round_screen import press
from playwright.sync_api import Browser, Page, expect

# Chromium asks only where there is a home screen; this is the question it would ask.
ASKS = """() => dispatchEvent(Object.assign(new Event("beforeinstallprompt"), {
  prompt: () => { document.title = "asked"; return Promise.resolve({ outcome: "accepted" }); } }))"""


def choose(page: Page, legend: str, option: str) -> None:
    """Pick one of a group, as a thumb does."""
    page.get_by_role("group", name=legend).get_by_text(option, exact=True).click()


def test_what_was_chosen_is_there_after_a_restart(new_phone, keeper: Caller) -> None:
    page = new_phone()
    sign_in(page)
    expect(page.get_by_text("dusk 16:", exact=False)).to_be_visible()
    page.goto("/device")
    before = page.evaluate("getComputedStyle(document.documentElement).fontSize")
    choose(page, "Contrast", "strong")
    choose(page, "Size of text", "largest")
    choose(page, "Time of day", "5:40 pm")
    page.wait_for_load_state()
    page.goto("/round")
    expect(page.get_by_text("dusk 4:", exact=False)).to_contain_text("pm")
    assert page.evaluate("getComputedStyle(document.documentElement).fontSize") != before
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    page.goto("/device")
    choose(page, "Contrast", "as the device")
    choose(page, "Size of text", "as the browser")
    assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == before
    assert page.evaluate("getComputedStyle(document.body).color") != "rgb(0, 0, 0)"


def test_a_browser_that_writes_noon_as_12_pm_is_followed(browser: Browser, home: Home, keeper: Caller) -> None:
    page = phone_in(browser, home.url, home.clock, locale="en-US")
    sign_in(page)
    expect(page.get_by_text("dusk 4:", exact=False)).to_contain_text("PM")
    page.context.close()


def test_the_home_screen_is_offered_once_and_can_be_put_away(new_phone, keeper: Caller) -> None:
    page = new_phone()
    sign_in(page)
    expect(page.get_by_role("button", name="Put it on the home screen")).to_have_count(0)
    page.evaluate(ASKS)
    press(page, "Not now")
    expect(page.get_by_role("button", name="Put it on the home screen")).to_have_count(0)
    page.goto("/device")
    page.evaluate(ASKS)
    press(page, "Put it on the home screen")
    expect(page).to_have_title("asked")
    expect(page.get_by_text("choose “Install”")).to_be_visible()
