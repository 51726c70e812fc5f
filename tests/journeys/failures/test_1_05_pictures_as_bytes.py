"""Row 1.5, its pictures: browsers that fail to keep a Blob in IndexedDB, as some do when they are driven or private.

What is kept is an ArrayBuffer, so nothing fails. Where nothing at all can be stored, a photo is sent from memory.
"""

import pytest
from journeys.failures.device import come_into_sight
from journeys.failures.test_1_05_private_mode import REFUSED
from journeys.line import drops_the_call
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.photo_phone import note_with, open_book, photos_at, photos_on, shot
from journeys.waiting import until
from playwright.sync_api import Page, expect

# What WebKit says of it. A Blob may stand anywhere in what is put.
NO_BLOBS = """{
  const holds = (value, seen = new Set()) => {
    if (value instanceof Blob) return true;
    if (typeof value !== "object" || value === null || seen.has(value)) return false;
    seen.add(value);
    return Object.values(value).some((one) => holds(one, seen));
  };
  globalThis.blobsTried = 0;
  for (const name of ["put", "add"]) {
    const store = IDBObjectStore.prototype[name];
    IDBObjectStore.prototype[name] = function (value, ...more) {
      if (!holds(value)) return store.call(this, value, ...more);
      blobsTried += 1;
      throw new DOMException("Error preparing Blob/File data to be stored in object store", "UnknownError");
    };
  }
}"""


@pytest.fixture
def page(keeper, phone) -> Page:
    """A phone of that kind, at its pond book."""
    phone.add_init_script(NO_BLOBS)
    sign_in(phone)
    make_ready_for_no_signal(phone)
    open_book(phone)
    return phone


def test_a_phone_that_keeps_no_blob_is_one(page):
    put = """(value) => new Promise((tell) => {
      const open = indexedDB.open("holiday pictures");
      open.onupgradeneeded = () => open.result.createObjectStore("all", { autoIncrement: true });
      open.onsuccess = () => {
        try {
          open.result.transaction("all", "readwrite").objectStore("all").put({ photo: new Blob(["a picture"]) });
          tell("kept");
        } catch (error) { tell(error.name); }
      };
    })"""
    assert page.evaluate(put) == "UnknownError"


def test_a_photo_taken_without_signal_outlives_the_page_and_arrives(page, home, keeper):
    page.context.set_offline(True)
    note_with(page, "A spot behind the fin", shot(1))
    expect(page.get_by_text("1 waiting, no signal")).to_be_visible()
    assert page.evaluate("blobsTried") == 0
    expect(page.get_by_role("alert")).to_have_count(0)
    page.reload()
    open_book(page)
    expect(page.get_by_role("button", name="Photo, taken 16:4")).to_be_visible()
    assert [(one["state"], one["bytes"]) for one in photos_on(page)] == [("waiting", True)]
    page.context.set_offline(False)
    until(lambda: len(photos_at(home)) == 1 and keeper.log("note"), "the photo and its entry are home", page)
    assert keeper.log("note")[0]["entry"]["photos"] == photos_at(home)


def test_where_nothing_can_be_stored_a_photo_is_sent_from_memory_and_said_to_be_there(keeper, phone, home):
    phone.add_init_script(REFUSED)
    sign_in(phone)
    open_book(phone)
    home.line.fail(drops_the_call, path="/api/photos")
    note_with(phone, "A spot behind the fin", shot(1))
    expect(phone.get_by_role("alert")).to_contain_text("The phone's storage does not answer")
    expect(phone.get_by_text("only in this page's memory")).to_be_visible()
    until(lambda: len(keeper.log("note")) == 1, "the entry is home", phone)
    home.line.clear()
    come_into_sight(phone)
    until(lambda: len(photos_at(home)) == 1, "the photo is home", phone)
    expect(phone.get_by_text("only in this page's memory")).to_have_count(0)
