"""Row 1.12: the session ends at home while the phone is out of reach.

What waits is kept, by its author; nobody sends it in another's name; the list is never covered.
"""

import json

import pytest
from journeys.failures.conftest import add_member, in_storage
from journeys.failures.device import note, on_device, sign_in_again, tick
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Page, expect

from evenwater.storage import people


def end_sessions(home, device: str) -> None:
    """What happens when a device is removed, or not seen for 90 days."""

    async def end(database) -> None:
        for session in await people.open_sessions(database, home.clock()):
            if session.device == device:
                assert await people.revoke_session(database, session.id, home.clock())

    in_storage(home, end)


@pytest.fixture
def signed_out(keeper, phone, home) -> tuple[Page, str]:
    """A phone with one note waiting whose session ended while it had no signal; and the note's id."""
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    waiting = note(phone, "from the far end of the garden")
    end_sessions(home, on_device(phone).meta["device"])
    phone.context.set_offline(False)
    expect(phone.get_by_text("sign in to send 1")).to_be_visible()
    return phone, waiting


def test_the_round_stays_usable_and_the_same_member_sends_it(signed_out, keeper):
    page, waiting = signed_out
    tick(page, "Covers on")
    expect(page.get_by_text("sign in to send 2")).to_be_visible()
    page.reload()
    expect(page.get_by_role("button", name="take back: Covers on")).to_be_visible()
    sign_in_again(page, "sign in to send 2")
    expect(page.get_by_text("All sent")).to_be_visible()
    assert [one["entry"]["id"] for one in keeper.log("note")] == [waiting]
    assert on_device(page).outbox == []


def test_another_member_sends_their_own_and_leaves_what_is_not_theirs(signed_out, keeper, home):
    page, waiting = signed_out
    ivo = add_member(home, "Ivo", home.clock())
    sign_in_again(page, "sign in to send 1", "Ivo")
    own = note(page, "Ivo was here")
    expect(page.get_by_text("sign in")).to_have_count(0)
    arrived(keeper, page, [own])
    assert keeper.log("note")[0]["entry"]["author"] == ivo.id
    assert on_device(page).outbox == [waiting]
    page.goto("/device")
    expect(page.get_by_text("1 of these wait until Marit signs in here")).to_be_visible()
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("button", name="Sign out and keep them waiting").click()
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    sign_in(page)
    arrived(keeper, page, [own, waiting])
    assert keeper.log("note")[1]["entry"]["author"] == keeper.person
    assert on_device(page).outbox == []


def test_signing_out_warns_of_what_waits(keeper, phone, home):
    sign_in(phone)
    make_ready_for_no_signal(phone)
    home.line.fail(home.line.holds_its_answer())
    waiting = note(phone, "not sent yet")
    phone.goto("/device")
    phone.get_by_role("button", name="Sign out").click()
    expect(phone.get_by_text("1 entry has not been sent")).to_be_visible()
    phone.get_by_role("button", name="Send first").click()
    home.line.clear()
    expect(phone.get_by_text("All sent").first).to_be_visible()
    arrived(keeper, phone, [waiting])


def test_nothing_that_opens_a_session_is_kept_with_the_entries(signed_out):
    page, _ = signed_out
    (cookie,) = [one for one in page.context.cookies() if one["name"] == "evenwater_session"]
    assert cookie["value"]
    assert cookie["value"] not in json.dumps(on_device(page).everything)
    assert page.evaluate("document.cookie") == ""
    assert "evenwater_session" not in page.evaluate("JSON.stringify({ ...localStorage, ...sessionStorage })")


def arrived(keeper, page: Page, ids: list[str]) -> None:
    """Wait for these notes, in this order and no others."""
    until(lambda: [one["entry"]["id"] for one in keeper.log("note")] == ids, "the notes arrive", page)
