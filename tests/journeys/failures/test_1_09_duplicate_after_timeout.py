"""Row 1.9: home has the entry, the phone does not know it, and it is sent again: by the app, or by the browser itself.

Measured in the design: a connection that closes without an answer makes Chromium send one call two to four times.
Source: RFC 9110, section 9.2.2, lets a client repeat only what is safe to repeat; browsers repeat a POST on a reused
connection all the same.
"""

import json

from journeys.failures.device import look, on_device
from journeys.line import drops_the_answer
from journeys.phones import sign_in
from journeys.waiting import until
from playwright.sync_api import expect


def ids_sent(home) -> list[str]:
    """Each id as often as a call carried it home."""
    bodies = [json.loads(call.body) for call in home.line.to("/api/sync")]
    return [entry["id"] for body in bodies for entry in body["entries"] if entry["kind"] == "look"]


def test_an_answer_lost_on_the_way_makes_no_second_entry_whoever_repeats_the_call(keeper, phone, home):
    sign_in(phone)
    fetched: list[str] = []
    phone.on("request", lambda request: fetched.append(request.url))
    home.line.fail(drops_the_answer)
    look(phone)
    expect(phone.get_by_text("1 waiting, no signal")).to_be_visible()
    by_the_page = len([url for url in fetched if url.endswith("/api/sync")])
    assert len(ids_sent(home)) > by_the_page >= 1, "the browser repeated the call by itself"
    home.line.clear()
    expect(phone.get_by_text("All sent")).to_be_visible()
    (waiting,) = set(ids_sent(home))
    assert [one["entry"]["id"] for one in keeper.log("look")] == [waiting]
    assert on_device(phone).outbox == []


def test_an_answer_lost_in_the_browser_makes_no_second_entry(keeper, phone, home):
    sign_in(phone)

    def reset(route) -> None:
        route.fetch()
        route.abort("connectionreset")

    phone.route("**/api/sync", reset)
    look(phone)
    expect(phone.get_by_text("1 waiting, no signal")).to_be_visible()
    assert len(keeper.log("look")) == 1
    phone.unroute("**/api/sync")
    expect(phone.get_by_text("All sent")).to_be_visible()
    assert len(ids_sent(home)) >= 2
    assert len(keeper.log("look")) == 1


def test_an_answer_that_comes_after_the_phone_gave_up_makes_no_second_entry(keeper, phone, home):
    sign_in(phone)
    home.line.fail(home.line.holds_its_answer())
    look(phone)
    until(lambda: ids_sent(home), "home has it", phone)
    phone.clock.fast_forward(21_000)
    expect(phone.get_by_text("1 waiting, no signal")).to_be_visible()
    home.line.clear()
    expect(phone.get_by_text("All sent")).to_be_visible()
    assert len(ids_sent(home)) >= 2
    assert len(keeper.log("look")) == 1


def test_two_phones_that_send_at_the_same_moment_make_two_entries_and_each_has_both(keeper, new_phone, home):
    phones = [new_phone(), new_phone()]
    for phone in phones:
        sign_in(phone)
    home.line.fail(drops_the_answer)
    for phone in phones:
        look(phone)
    for phone in phones:
        expect(phone.get_by_text("1 waiting, no signal")).to_be_visible()
    home.line.clear()
    for phone in phones:
        expect(phone.get_by_text("All sent")).to_be_visible()
    both = sorted(one["entry"]["id"] for one in keeper.log("look"))
    assert len(both) == 2
    for phone in phones:
        phone.reload()
        until(lambda phone=phone: set(both) <= set(on_device(phone).entries), "it has both", phone)
