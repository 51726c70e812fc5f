"""Row 1.5, without its pictures: a browser that lets a site store nothing.

Some private windows and some settings refuse `indexedDB.open`; the worker may be refused too. A private window that
stores until it is closed looks like any other to a page, so "This device" says what no browser promised (row 1.1).
"""

import pytest
from journeys.failures.device import look, tick
from journeys.line import drops_the_call
from journeys.phones import sign_in
from playwright.sync_api import Page, expect

REFUSED = """{
  const refuse = () => { throw new DOMException("The operation is insecure.", "SecurityError"); };
  IDBFactory.prototype.open = refuse;
  ServiceWorkerContainer.prototype.register = async () => refuse();
  Object.defineProperty(globalThis, "localStorage", { get: refuse });
}"""


@pytest.fixture
def page(keeper, phone) -> Page:
    phone.add_init_script(REFUSED)
    return phone


def test_the_app_says_so_and_works_while_it_has_signal(page, keeper):
    sign_in(page)
    expect(page.get_by_role("alert")).to_contain_text("The phone's storage does not answer")
    expect(page.get_by_role("alert")).to_contain_text("in this page's memory")
    tick(page, "Covers on")
    expect(page.get_by_text("All sent")).to_be_visible()
    assert len([one for one in keeper.log("tick") if one["entry"]["slot"] == "on"]) == 22


def test_what_is_recorded_without_signal_is_held_and_sent_later(page, home, keeper):
    sign_in(page)
    home.line.fail(drops_the_call)
    look(page)
    expect(page.get_by_text("1 not stored on this phone: keep this page open")).to_be_visible()
    home.line.clear()
    expect(page.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1
