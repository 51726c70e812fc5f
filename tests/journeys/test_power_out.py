"""The power goes out and comes back, with no signal: what to do first, and what before the filters run again."""

import re
from datetime import timedelta

from journeys.home import Home
from journeys.household import EVENING, POND, Caller
from journeys.phones import KeptPhone, make_ready_for_no_signal, sign_in
from journeys.round_screen import press, sync_line
from journeys.waiting import until
from playwright.sync_api import Page, expect


def test_a_power_cut_is_one_tap_and_its_steps_stand_on_every_screen_without_signal(
    home: Home, keeper: Caller, kept_phone: KeptPhone
) -> None:
    page = kept_phone.open(home.clock)
    sign_in(page)
    make_ready_for_no_signal(page)
    kept_phone.close()
    before = keeper.log()

    page = kept_phone.open(home.clock, offline=True)
    page.goto("/round?wrong")
    page.get_by_role("button", name="Power is out").tap()
    out = page.get_by_role("region", name="Power is out")
    expect(out).to_contain_text(re.compile("Air first.*No feed", re.DOTALL))
    expect(out).to_contain_text("Not sent: ring.")
    expect(out).to_contain_text("0 min")
    it_stands_on_every_screen(page)
    page.clock.fast_forward(130 * 60_000)
    page.reload()
    expect(out).to_contain_text("2 h 10 min")
    expect(out).to_contain_text("since 16:45")

    press(out, "Power is back")
    expect(out).to_have_count(0)
    back = page.get_by_role("region", name="Power is back")
    expect(back).to_contain_text("Power is back after 2 h 10 min")
    expect(back).to_contain_text("filters are drained and rinsed before they run again")
    page.get_by_role("link", name="Water").tap()
    expect(back).to_be_visible()
    press(back, "All well")
    expect(back).to_have_count(0)
    assert keeper.log() == before

    page.context.set_offline(False)
    page.goto("/")
    until(lambda: len(keeper.log()) == len(before) + 3, "all three have arrived", page)
    gone, returned, looked = (one["entry"] for one in keeper.log()[len(before) :])
    assert (gone["kind"], gone["pond"], gone["on"]) == ("power", POND, False)
    assert (returned["kind"], returned["on"]) == ("power", True)
    assert (looked["kind"], looked["all_well"]) == ("look", True)
    expect(sync_line(page)).to_contain_text("All sent")


def it_stands_on_every_screen(page: Page) -> None:
    for tab in ("Water", "Warmth", "Pond book", "Round"):
        page.get_by_role("navigation", name="Main").get_by_role("link", name=tab).tap()
        expect(page.get_by_role("region", name="Power is out")).to_be_visible()


def test_after_a_short_cut_nothing_asks_to_rinse_a_filter(home: Home, keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.get_by_role("link", name="Something is wrong").tap()
    phone.context.set_offline(True)
    phone.get_by_role("button", name="Power is out").tap()
    out = phone.get_by_role("region", name="Power is out")
    expect(out).to_contain_text("Not sent: ring.")
    out.get_by_role("button", name="Power is back").focus()
    phone.context.set_offline(False)
    expect(out).to_contain_text("Sent 16:45.")
    # Who goes by the Tab key stays where they were when the entry comes back from the server.
    expect(out.get_by_role("button", name="Power is back")).to_be_focused()
    home.clock.set(EVENING + timedelta(minutes=20))
    phone.clock.fast_forward(20 * 60_000)
    expect(out).to_contain_text("20 min")
    press(out, "Power is back")
    back = phone.get_by_role("region", name="Power is back")
    expect(back).to_contain_text("Power is back after 20 min")
    expect(back).not_to_contain_text("(common practice)")
