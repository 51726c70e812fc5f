"""Row 1.1: the browser drops everything a site has stored, all at once, while the app is open or after a week unused.

Measured in the design: the database's `close` event comes, and the next transaction throws InvalidStateError.
"""

import re

from journeys.failures.device import look, note, on_device, sign_in_again, tick
from journeys.line import drops_the_call
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Page, expect

CLEARED = "The phone cleared this app's storage"


def clear(page: Page, home, kinds: str) -> None:
    """What a browser short of space does to a site."""
    tool = page.context.new_cdp_session(page)
    tool.send("Storage.clearDataForOrigin", {"origin": home.url, "storageTypes": kinds})
    tool.detach()


def test_an_unsent_entry_is_put_back_from_the_open_page_and_arrives_once(keeper, phone, home):
    sign_in(phone)
    home.line.fail(drops_the_call)
    look(phone)
    expect(phone.get_by_text("1 waiting, no signal")).to_be_visible()
    (waiting,) = on_device(phone).outbox
    clear(phone, home, "indexeddb")
    expect(phone.get_by_role("alert")).to_contain_text(CLEARED)
    expect(phone.get_by_role("alert")).to_contain_text("1 unsent entry was put back from memory")
    assert on_device(phone).outbox == [waiting]
    home.line.clear()
    expect(phone.get_by_text("All sent")).to_be_visible()
    assert [one["entry"]["id"] for one in keeper.log("look")] == [waiting]


def test_what_home_has_is_pulled_again(keeper, phone, home):
    sign_in(phone)
    clear(phone, home, "indexeddb")
    expect(phone.get_by_role("alert")).to_contain_text(CLEARED)
    # Not "entries may be lost" alone: the person is told which evening to look at.
    expect(phone.get_by_role("alert")).to_contain_text("please check last evening in the pond book")
    whole = {one["entry"]["id"] for one in keeper.log()}
    until(lambda: set(on_device(phone).entries) == whole, "the log is on the phone again", phone)
    phone.get_by_role("button", name="Understood").click()
    expect(phone.get_by_role("alert")).to_have_count(0)
    expect(phone.get_by_role("article", name="Covers on")).to_be_visible()


def test_with_everything_gone_in_the_middle_of_a_call_nothing_is_lost(keeper, phone, home):
    sign_in(phone)
    make_ready_for_no_signal(phone)
    home.line.fail(drops_the_call)
    look(phone)
    expect(phone.get_by_text("1 waiting")).to_be_visible()
    home.line.clear()  # from here on the app may be sending
    clear(phone, home, "all")
    expect(phone.get_by_text(re.compile("^sign in to (send 1|fetch the round)$"))).to_be_visible()
    expect(phone.get_by_text("Covers on").first).to_be_visible()
    sign_in_again(phone, "sign in to")
    expect(phone.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1


def test_with_the_sign_in_gone_too_the_round_stays_and_one_sign_in_sends_all(keeper, phone, home):
    sign_in(phone)
    make_ready_for_no_signal(phone)
    home.line.fail(drops_the_call)
    look(phone)
    expect(phone.get_by_text("1 waiting")).to_be_visible()
    clear(phone, home, "all")
    expect(phone.get_by_role("alert")).to_contain_text(CLEARED)
    home.line.clear()
    expect(phone.get_by_text("sign in to send 1")).to_be_visible()
    expect(phone.get_by_text("Covers on").first).to_be_visible()
    sign_in_again(phone, "sign in to")
    expect(phone.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1


def test_cleared_while_it_lay_unused_it_begins_again_as_a_new_device(keeper, phone, home):
    sign_in(phone)
    note(phone, "before the week away")
    expect(phone.get_by_text("All sent")).to_be_visible()
    until(lambda: not on_device(phone).outbox, "all is sent", phone)
    before = on_device(phone)
    phone.goto("about:blank")
    clear(phone, home, "all")
    sign_in(phone)
    assert on_device(phone).meta["device"] != before.meta["device"]
    until(lambda: set(on_device(phone).entries) >= set(before.entries), "the log is on the phone again", phone)
    assert len(keeper.log("note")) == 1


def test_a_browser_that_promises_nothing_is_asked_once_and_told_of(keeper, phone):
    # Chromium without a window answers no; so does many a phone until the app is on the home screen.
    phone.add_init_script("""{
      const asked = navigator.storage.persist.bind(navigator.storage);
      globalThis.timesAsked = 0;
      navigator.storage.persist = () => { globalThis.timesAsked += 1; return asked(); };
    }""")
    sign_in(phone)
    look(phone)
    assert phone.evaluate("timesAsked") == 0, "nobody is asked before the first tick"
    for job in ("Covers on", "Heater setting"):
        tick(phone, job)
    assert phone.evaluate("timesAsked") == 1
    assert phone.evaluate("navigator.storage.persisted()") is False
    phone.get_by_role("status").get_by_text("All sent").click()
    expect(phone.get_by_text("The browser may clear it when space runs low")).to_be_visible()
