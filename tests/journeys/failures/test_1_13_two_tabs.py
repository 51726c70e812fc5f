"""Row 1.13: two tabs of one phone, one database, one outbox.

A lock keeps them from sending at once where the browser has one; that home takes a repeat as one is the real guard.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from journeys.failures.device import come_into_sight, look, note, on_device, tick
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Page, expect

LOCK = "navigator.locks.query().then(({ held }) => held.filter((one) => one.name === 'evenwater-sync').length)"
LATER = "{ const now = performance.now.bind(performance); performance.now = () => now() + 40_000; }"
"""Forty seconds pass in one tab."""


@pytest.fixture
def tabs(keeper, phone, home) -> tuple[Page, Page]:
    """Two tabs of one phone, both open on the round, neither of them sending."""
    sign_in(phone)
    make_ready_for_no_signal(phone)
    calls = len(home.line.to("/api/sync"))
    other = phone.context.new_page()
    other.goto("/round")
    expect(other.get_by_text("All sent")).to_be_visible()
    until(lambda: len(home.line.to("/api/sync")) > calls and other.evaluate(LOCK) == 0, "all is quiet", other)
    return phone, other


def times_sent(home, entry_id: str) -> int:
    calls = [json.loads(call.body)["entries"] for call in home.line.to("/api/sync")]
    return sum(entry["id"] == entry_id for entries in calls for entry in entries)


def test_both_send_when_the_signal_comes_back_and_each_entry_arrives_once(tabs, keeper, home):
    one, other = tabs
    one.context.set_offline(True)
    ids = [note(tab, "in turn") for tab in (one, other) * 5]
    one.context.set_offline(False)
    for tab in tabs:
        expect(tab.get_by_text("All sent")).to_be_visible()
    assert sorted(entry["entry"]["id"] for entry in keeper.log("note")) == sorted(ids)
    assert [times_sent(home, entry_id) for entry_id in ids] == [1] * len(ids), "the lock kept the tabs apart"
    assert on_device(one).outbox == []


def test_without_locks_they_may_both_send_and_home_still_has_it_once(keeper, phone, home):
    phone.context.add_init_script("delete Navigator.prototype.locks")
    sign_in(phone)
    other = phone.context.new_page()
    other.goto("/round")
    expect(other.get_by_text("All sent")).to_be_visible()
    assert phone.evaluate("navigator.locks === undefined")
    phone.context.set_offline(True)
    ids = [note(tab, "in turn") for tab in (phone, other) * 5]
    phone.context.set_offline(False)
    for tab in (phone, other):
        expect(tab.get_by_text("All sent")).to_be_visible()
    assert sorted(entry["entry"]["id"] for entry in keeper.log("note")) == sorted(ids)


def test_a_tick_in_one_tab_shows_in_the_other_even_without_signal(tabs):
    one, other = tabs
    one.context.set_offline(True)
    tick(one, "Covers on")
    expect(other.get_by_role("button", name="take back: Covers on")).to_be_visible()
    expect(other.get_by_text("1 waiting")).to_be_visible()


def test_a_tab_closed_while_it_sends_leaves_the_way_open_for_the_other(tabs, keeper, home):
    one, other = tabs
    held = send_and_hold(one, home)
    assert other.evaluate(LOCK) == 1
    one.close()
    come_into_sight(other)
    until(lambda: times_sent(home, held) == 2, "the other tab sends it", other)
    home.line.clear()
    until(lambda: on_device(other).outbox == [], "it is confirmed", other)
    expect(other.get_by_text("All sent")).to_be_visible()
    assert [entry["entry"]["id"] for entry in keeper.log("note")] == [held]


def test_a_tab_frozen_while_it_sends_does_not_keep_the_other_from_sending_for_ever(tabs, keeper, home):
    one, other = tabs
    held = send_and_hold(one, home)
    # Chromium freezes only what nobody sees, and Playwright's pages are always seen: a halted script is as still.
    with halted(one, other):
        home.line.clear()
        look(other)
        expect(other.get_by_text("2 waiting")).to_be_visible()
        assert other.evaluate(LOCK) == 1, "the halted tab holds the lock"
        other.evaluate(LATER)  # Playwright's clock is that of both tabs, and would wait for the halted one
        expect(other.get_by_text("All sent")).to_be_visible()
        assert other.evaluate(LOCK) == 1, "it was not waited for"
    expect(one.get_by_text("All sent")).to_be_visible()
    assert [entry["entry"]["id"] for entry in keeper.log("note")] == [held]
    assert len(keeper.log("look")) == 1
    assert on_device(one).outbox == []


@contextmanager
def halted(page: Page, bystander: Page) -> Iterator[None]:
    """Within, the page's script stands still where it is."""
    halt = page.context.new_cdp_session(page)
    stopped: list[object] = []
    halt.on("Debugger.paused", lambda where: stopped.append(where))
    page.evaluate("setInterval(() => {}, 20)")  # it stops when it next does something
    halt.send("Debugger.enable")
    halt.send("Debugger.pause")
    try:
        until(lambda: stopped, "the script has stopped", bystander)
        yield
    finally:
        halt.send("Debugger.resume")
        halt.send("Debugger.disable")


def send_and_hold(page: Page, home) -> str:
    """Write a note whose sending gets no answer for now; its id."""
    home.line.fail(home.line.holds_its_answer())
    held = note(page, "held on the way")
    until(lambda: times_sent(home, held) == 1, "it is on its way", page)
    return held
