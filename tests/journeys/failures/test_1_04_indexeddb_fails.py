"""Row 1.4: the phone's own database fails, for a moment or for good.

Measured in the design: a lost connection throws from `transaction()`; a full disk comes as the abort of the
transaction, not as an error of the request. A dead handle that is kept loses everything after it, silently.
"""

import pytest
from journeys.failures.device import come_into_sight, look, on_device
from journeys.line import drops_the_call
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Page, expect

BREAKABLE = """{
  const real = IDBDatabase.prototype.transaction;
  globalThis.failing = { times: 0, how: "" };
  IDBDatabase.prototype.transaction = function (...given) {
    const { how } = failing;
    if (failing.times <= 0) return real.apply(this, given);
    failing.times -= 1;
    if (how === "abort") {
      const tx = real.apply(this, given);
      queueMicrotask(() => tx.abort());
      return tx;
    }
    throw new DOMException("Connection to Indexed Database server lost. Refresh the page to try again", how);
  };
}"""
PICTURE = """() => new Promise((resolve, reject) => {
  const open = indexedDB.open("holiday pictures");
  open.onerror = () => reject(open.error);
  open.onupgradeneeded = () => open.result.createObjectStore("all", { autoIncrement: true });
  open.onsuccess = () => {
    const tx = open.result.transaction("all", "readwrite");
    tx.objectStore("all").add(new Uint8Array(5_000_000));
    tx.oncomplete = () => resolve("there was room");
    tx.onabort = () => resolve(tx.error.name);
  };
})"""
ROOM = 4_000_000
FULL = "The phone's storage is full"
SILENT = "The phone's storage does not answer"


@pytest.fixture
def page(keeper, phone) -> Page:
    """A phone whose database can be made to fail, signed in."""
    phone.add_init_script(BREAKABLE)
    sign_in(phone)
    return phone


def fail(page: Page, how: str, times: float) -> None:
    """The next accesses fail in that way; 0 mends it."""
    page.evaluate("([how, times]) => { failing = { how, times: times < 0 ? Infinity : times }; }", [how, times])


@pytest.mark.parametrize("how", ["UnknownError", "InvalidStateError", "AbortError", "abort"])
def test_a_handle_that_died_is_replaced_and_nobody_notices(page, keeper, how):
    page.context.set_offline(True)
    fail(page, how, 1)
    look(page)
    expect(page.get_by_text("1 waiting, no signal")).to_be_visible()
    expect(page.get_by_role("alert")).to_have_count(0)
    assert len(on_device(page).outbox) == 1
    page.context.set_offline(False)
    expect(page.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1


def test_a_database_that_answers_no_more_is_told_of_and_the_entry_is_sent_from_memory(page, home, keeper):
    home.line.fail(drops_the_call)
    fail(page, "UnknownError", -1)
    look(page)
    expect(page.get_by_role("alert")).to_contain_text(SILENT)
    expect(page.get_by_text("1 not stored on this phone: keep this page open")).to_be_visible()
    home.line.clear()
    come_into_sight(page)
    expect(page.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1


def test_once_the_database_answers_again_what_was_in_memory_is_stored(page, keeper):
    page.context.set_offline(True)
    fail(page, "UnknownError", -1)
    look(page)
    expect(page.get_by_text("1 not stored on this phone")).to_be_visible()
    fail(page, "", 0)
    come_into_sight(page)
    expect(page.get_by_text("1 waiting, no signal")).to_be_visible()
    assert len(on_device(page).outbox) == 1
    page.context.set_offline(False)
    expect(page.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1


@pytest.fixture
def small_phone(keeper, phone, home) -> Page:
    """A phone with little room, signed in, the app on it."""
    # Chromium remembers for half a minute how much room there was, so the limit stands from the start.
    limit(phone, home.url, ROOM)
    sign_in(phone)
    make_ready_for_no_signal(phone)
    return phone


def test_a_full_phone_says_so_sends_from_memory_and_stores_again_when_there_is_room(small_phone, home, keeper):
    home.line.fail(drops_the_call)
    fill_up(small_phone, home.url)
    look(small_phone)
    expect(small_phone.get_by_role("alert")).to_contain_text(FULL)
    expect(small_phone.get_by_text("1 not stored on this phone")).to_be_visible()
    limit(small_phone, home.url, ROOM)
    come_into_sight(small_phone)
    expect(small_phone.get_by_text("1 waiting, no signal")).to_be_visible()
    assert len(on_device(small_phone).outbox) == 1
    home.line.clear()
    expect(small_phone.get_by_text("All sent")).to_be_visible()
    assert len(keeper.log("look")) == 1


def test_a_verdict_that_cannot_be_written_down_costs_a_second_sending_and_nothing_else(small_phone, home, keeper):
    small_phone.context.set_offline(True)
    look(small_phone)
    expect(small_phone.get_by_text("1 waiting, no signal")).to_be_visible()
    fill_up(small_phone, home.url)
    small_phone.context.set_offline(False)
    expect(small_phone.get_by_text("All sent")).to_be_visible()
    assert len(on_device(small_phone).outbox) == 1, "not confirmed where it is kept"
    limit(small_phone, home.url, ROOM)
    small_phone.reload()
    expect(small_phone.get_by_text("All sent")).to_be_visible()
    until(lambda: not on_device(small_phone).outbox, "the verdict is written down", small_phone)
    assert len(keeper.log("look")) == 1


def limit(page: Page, origin: str, size: int) -> None:
    """How many bytes the browser grants this site; as long as the page stands."""
    tool = page.context.new_cdp_session(page)
    tool.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": size})


def fill_up(page: Page, origin: str) -> None:
    """No byte more than there is already."""
    limit(page, origin, 1)
    # Larger than the room Chromium remembers, so that it looks again.
    assert page.evaluate(PICTURE) == "QuotaExceededError"
