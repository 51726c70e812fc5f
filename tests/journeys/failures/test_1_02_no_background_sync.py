"""Row 1.2: a browser without Background Sync (Safari, Firefox): nothing sends for a page but the page itself.

Not covered: the `sync` event of a service worker, which the app does not use; it would be an extra.
"""

import re

import pytest
from journeys.failures.device import come_into_sight, look, on_device
from journeys.line import drops_the_call
from journeys.phones import sign_in
from journeys.waiting import until
from playwright.sync_api import Page, expect

WITHOUT = """{
  delete globalThis.SyncManager;
  delete ServiceWorkerRegistration.prototype.sync;
}"""
SOON_MS = 1_500
"""Well under the four minutes between one look for news and the next."""


@pytest.fixture
def page(keeper, phone) -> Page:
    """A phone of that kind, signed in and with nothing to send."""
    phone.add_init_script(WITHOUT)
    sign_in(phone)
    assert phone.evaluate("'SyncManager' in globalThis") is False
    until(lambda: not on_device(phone).outbox, "nothing waits", phone)
    return phone


def test_an_entry_goes_when_it_is_made(page, keeper):
    with page.expect_request("**/api/sync", timeout=SOON_MS):
        look(page)
    until(lambda: len(keeper.log("look")) == 1, "home has it", page)
    expect(page.get_by_text("All sent")).to_be_visible()


def test_it_sends_when_the_signal_comes_back(page, keeper):
    page.context.set_offline(True)
    look(page)
    expect(page.get_by_text("1 waiting, no signal")).to_be_visible()
    page.context.set_offline(False)
    expect(page.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1


@pytest.mark.parametrize(
    "sign",
    [
        "dispatchEvent(new Event('online')) && true",
        "dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true })) && true",
        "document.dispatchEvent(new Event('visibilitychange')) && true",
    ],
    ids=["signal is back", "the page is shown again", "the page is looked at again"],
)
def test_each_sign_of_hope_is_taken(page, sign):
    with page.expect_request("**/api/sync", timeout=SOON_MS):
        page.evaluate(sign)
    expect(page.get_by_text("All sent")).to_be_visible()


def test_a_page_nobody_looks_at_sends_nothing_for_being_hidden(page, home):
    page.evaluate("Object.defineProperty(document, 'visibilityState', { value: 'hidden', configurable: true }) && true")
    before = len(home.line.to("/api/sync"))
    come_into_sight(page)
    page.evaluate("delete document.visibilityState")
    with page.expect_request("**/api/sync", timeout=SOON_MS):
        come_into_sight(page)
    until(lambda: len(home.line.to("/api/sync")) == before + 1, "one call came of the two", page)


def test_with_no_sign_at_all_it_tries_again_by_itself(page, home, keeper):
    home.line.fail(drops_the_call)
    look(page)
    expect(page.get_by_text("1 waiting, no signal")).to_be_visible()
    home.line.clear()
    expect(page.get_by_text(re.compile("^All sent"))).to_be_visible(timeout=15_000)
    assert len(keeper.log("look")) == 1
