"""A hose into the pond, and nobody beside it: the clock that stands on every screen until the water is shut."""

import re

from journeys.home import Home
from journeys.household import POND, Caller
from journeys.phones import KeptPhone, make_ready_for_no_signal, sign_in
from journeys.round_screen import press, sync_line
from journeys.waiting import until
from playwright.sync_api import Locator, Page, expect

KEPT_AWAKE = """() => {
  window.kept_awake = [];
  const ask = navigator.wakeLock.request.bind(navigator.wakeLock);
  navigator.wakeLock.request = async (kind) => {
    const lock = await ask(kind);
    window.kept_awake.push(lock);
    return lock;
  };
}"""


def the_clock(page: Page) -> Locator:
    return page.get_by_role("region", name="Water running").get_by_role("timer")


def test_water_left_running_is_timed_on_every_screen_without_signal_and_arrives_once(
    home: Home, keeper: Caller, kept_phone: KeptPhone
) -> None:
    page = kept_phone.open(home.clock)
    sign_in(page)
    make_ready_for_no_signal(page)
    kept_phone.close()
    before = keeper.log()

    page = kept_phone.open(home.clock, offline=True)
    page.goto("/")
    press(page.get_by_role("group", name="Water on"), "not dechlorinated")
    expect(the_clock(page)).to_have_text(re.compile(r"^0:0\d$"))
    expect(page.get_by_role("region", name="Water running")).to_contain_text("dechlorinator now, by its label")
    page.clock.fast_forward(4 * 60_000)
    it_stands_on_every_screen(page)
    page.reload()
    expect(the_clock(page)).to_have_text(re.compile(r"^4:\d\d$"))

    page.clock.fast_forward(26 * 60_000)
    it_is_said_once_that_it_matters(page)
    kept_phone.die()
    page = kept_phone.open(lambda: home.clock().replace(hour=17, minute=29), offline=True)
    page.goto("/water")
    expect(the_clock(page)).to_have_text(re.compile(r"^4[34]:\d\d$"))
    press(page.get_by_role("region", name="Water running"), "Shut")
    expect(page.get_by_role("region", name="Water running")).to_have_count(0)
    expect(page.get_by_text(re.compile(r"^Water shut after 4[34]:\d\d$"))).to_be_attached()
    expect(sync_line(page)).to_have_text("2 waiting, no signal")
    assert keeper.log() == before

    page.context.set_offline(False)
    page.goto("/")
    until(lambda: len(keeper.log()) == len(before) + 2, "both have arrived", page)
    opened, shut = (one["entry"] for one in keeper.log()[len(before) :])
    assert (opened["kind"], opened["pond"], opened["running"]) == ("water_running", POND, True)
    assert (opened["dechlorinated"], opened["limit_min"]) == (False, 30)
    assert (shut["kind"], shut["running"]) == ("water_running", False)
    page.goto("/book")
    for told in ("Water opened", "Water shut"):
        expect(page.get_by_role("main").get_by_text(told)).to_be_visible()


def it_stands_on_every_screen(page: Page) -> None:
    for tab in ("Water", "Warmth", "Pond book", "Round"):
        page.get_by_role("navigation", name="Main").get_by_role("link", name=tab).tap()
        expect(the_clock(page)).to_be_in_viewport()


def it_is_said_once_that_it_matters(page: Page) -> None:
    """In the live region, with a word and a shape of its own."""
    sentence = "Act now: it has run for over 30 minutes. Shut it."
    region = page.get_by_role("region", name="Water running")
    expect(page.get_by_role("status").get_by_text(sentence)).to_have_count(1)
    expect(region).to_contain_text(sentence)
    expect(region.locator(".icon-act_now")).to_be_visible()


def test_the_other_phone_shows_the_clock_and_can_shut_the_water(home: Home, keeper: Caller, phone: Page) -> None:
    keeper.keep(keeper.entry("water_running", running=True, dechlorinated=True, limit_min=45))
    sign_in(phone)
    region = phone.get_by_role("region", name="Water running")
    expect(region).to_contain_text("Serious after 45 min. Dechlorinated.")
    expect(phone.get_by_role("group", name="Water on")).to_contain_text("It runs: its clock is at the top.")
    press(region, "Shut")
    expect(region).to_have_count(0)
    expect(sync_line(phone)).to_contain_text("All sent")
    assert keeper.log("water_running")[-1]["entry"]["running"] is False


def test_the_screen_is_kept_awake_while_the_water_runs(keeper: Caller, phone: Page) -> None:
    phone.add_init_script(f"({KEPT_AWAKE})()")
    sign_in(phone)
    assert phone.evaluate("window.kept_awake.length") == 0
    press(phone.get_by_role("group", name="Water on"), "dechlorinated")
    until(lambda: phone.evaluate("window.kept_awake.map((one) => one.released)") == [False], "it is kept awake", phone)
    press(phone.get_by_role("region", name="Water running"), "Shut")
    until(lambda: phone.evaluate("window.kept_awake.map((one) => one.released)") == [True], "it may sleep", phone)
