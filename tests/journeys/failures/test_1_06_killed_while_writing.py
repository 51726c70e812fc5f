"""Row 1.6: the phone dies in the middle of writing. A process is killed here; a power cut is another matter.

Not covered: the loss of power itself. The transactions ask for `durability: "strict"`, which is all a page can do.
"""

import re

import pytest
from journeys.failures.device import on_device
from journeys.household import POND
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Page, expect

HAMMER = """({ pond, most }) => {
  const keepOn = async () => {
    const { makeEntry, record } = (await import("/main.js")).modules["/record.js"];
    for (let n = 0; n < most; n += 1) {
      const entry = makeEntry("note", pond, { text: `the ${n}th of a wet evening` });
      await record([entry]);
      console.log("kept " + entry.id);
    }
  };
  keepOn();
}"""
MANY = 100_000


@pytest.fixture
def page(keeper, kept_phone, home) -> Page:
    """A phone that has been signed in for a while, the app on it."""
    before = kept_phone.open(home.clock)
    sign_in(before)
    make_ready_for_no_signal(before)
    kept_phone.close()  # as on any other evening: the cookie is on its disk
    page = kept_phone.open(home.clock)
    page.goto("/")
    expect(page.get_by_text("All sent")).to_be_visible()
    return page


def start_recording(page: Page, most: int) -> list[str]:
    """One entry after the other, each waited for; grows by the ids the app has said are kept."""
    kept: list[str] = []

    def hear(text: str) -> None:
        if text.startswith("kept "):
            kept.append(text.removeprefix("kept "))

    page.on("console", lambda message: hear(message.text))
    page.evaluate(HAMMER, {"pond": POND, "most": most})
    return kept


def test_every_entry_that_was_kept_is_there_after_the_phone_died(page, keeper, kept_phone, home):
    page.context.set_offline(True)
    kept = start_recording(page, MANY)
    until(lambda: len(kept) >= 60, "entries are being kept", page)
    kept_phone.die()

    page = kept_phone.open(home.clock, offline=True)
    page.goto("/")
    expect(page.get_by_text(re.compile(r"^\d+ waiting, no signal"))).to_be_visible()
    found = on_device(page)
    assert set(kept) <= set(found.outbox)
    assert set(found.outbox) <= set(found.entries), "an entry and its place in the outbox are one"
    page.context.set_offline(False)
    expect(page.get_by_text("All sent")).to_be_visible()
    assert [one["entry"]["id"] for one in keeper.log("note")] == found.outbox


def test_killed_before_the_answer_it_sends_again_and_home_takes_it_as_one(page, keeper, kept_phone, home):
    page.context.set_offline(True)
    kept = start_recording(page, 20)
    until(lambda: len(kept) == 20, "all are kept", page)
    home.line.fail(home.line.holds_its_answer())
    page.context.set_offline(False)
    until(lambda: notes_came(home), "home has them", page)
    kept_phone.die()
    home.line.clear()

    page = kept_phone.open(home.clock, offline=True)
    page.goto("/")
    expect(page.get_by_text("20 waiting, no signal")).to_be_visible()
    page.context.set_offline(False)
    expect(page.get_by_text("All sent")).to_be_visible()
    assert sorted(one["entry"]["id"] for one in keeper.log("note")) == sorted(kept)


def test_killed_while_answers_come_in_no_entry_is_in_neither_place(page, keeper, kept_phone, home):
    calls = len(home.line.to("/api/sync"))
    kept = start_recording(page, MANY)
    until(lambda: len(kept) >= 60 and len(home.line.to("/api/sync")) > calls + 3, "answers come in", page)
    kept_phone.die()

    page = kept_phone.open(home.clock, offline=True)
    page.goto("/")
    expect(page.get_by_text("no signal")).to_be_visible()
    found = on_device(page)
    assert set(kept) <= set(found.entries)
    page.context.set_offline(False)
    expect(page.get_by_text(re.compile("^All sent"))).to_be_visible()
    at_home = [one["entry"]["id"] for one in keeper.log("note")]
    assert set(kept) <= set(at_home)
    assert len(at_home) == len(set(at_home))


def notes_came(home) -> bool:
    """Whether a call with notes in it has reached home."""
    return any(b'"note"' in call.body for call in home.line.to("/api/sync"))
