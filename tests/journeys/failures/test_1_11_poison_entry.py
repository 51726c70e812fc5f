"""Row 1.11: one entry home can never accept. It blocks nothing, is never dropped, and is shown.

Trouble on the way is no verdict: it never counts against an entry.
"""

import json

import pytest
from journeys.failures.device import note, on_device, write
from journeys.line import disk_full, drops_the_call, portal_page, server_error, signed_out
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Page, expect


@pytest.fixture
def poisoned(keeper, phone, home) -> tuple[Page, list[str]]:
    """A phone that wrote good, impossible, good without signal; and the ids."""
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    ids = [
        note(phone, "before it"),
        write(phone, "reading", quantity="kh_dkh", value=400, point="pond"),
        note(phone, "after it"),
    ]
    expect(phone.get_by_text("3 waiting, no signal")).to_be_visible()
    return phone, ids


def test_the_others_arrive_and_the_one_is_set_aside_and_shown(poisoned, keeper):
    page, (first, poison, last) = poisoned
    page.context.set_offline(False)
    expect(page.get_by_text("1 set aside: look")).to_be_visible()
    assert [one["entry"]["id"] for one in keeper.log("note")] == [first, last]
    assert all(one["entry"]["id"] != poison for one in keeper.log())
    found = on_device(page)
    assert found.outbox == []
    assert [(one["id"], one["code"]) for one in found.set_aside] == [(poison, "out_of_range")]
    page.get_by_text("1 set aside: look").click()
    aside = page.get_by_role("region", name="Set aside")
    expect(aside).to_contain_text("400")
    expect(aside).to_contain_text("0 to 25 °dKH")


def test_it_outlives_a_restart_and_is_not_sent_again(poisoned, home, keeper):
    page, (_, poison, _) = poisoned
    page.context.set_offline(False)
    expect(page.get_by_text("1 set aside: look")).to_be_visible()
    sent = times_sent(home, poison)
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_text("1 set aside: look")).to_be_visible()
    page.context.set_offline(False)
    note(page, "the next one")
    until(lambda: len(keeper.log("note")) == 3, "entries go on arriving", page)
    assert times_sent(home, poison) == sent
    assert [one["id"] for one in on_device(page).set_aside] == [poison]


def test_it_can_be_taken_out_as_a_file_as_it_was_written(poisoned):
    page, (_, poison, _) = poisoned
    written = on_device(page).entries[poison]
    page.context.set_offline(False)
    page.get_by_text("1 set aside: look").click()
    with page.expect_download() as coming:
        page.get_by_role("button", name="Export as a file").click()
    (told,) = json.loads(coming.value.path().read_text(encoding="utf-8"))
    assert told["entry"] == written
    assert told["code"] == "out_of_range"


@pytest.mark.parametrize("trouble", [drops_the_call, server_error, disk_full, portal_page, signed_out])
def test_no_trouble_on_the_way_counts_against_an_entry(keeper, phone, home, trouble):
    sign_in(phone)
    home.line.fail(trouble)
    wanted = note(phone, "through thick and thin")
    for times in range(1, 7):
        until(lambda times=times: len(home.line.to("/api/sync")) > times, "it is tried again", phone)
        phone.evaluate("dispatchEvent(new Event('online')) && true")
    found = on_device(phone)
    assert (found.outbox, found.set_aside) == ([wanted], [])
    home.line.clear()
    phone.evaluate("dispatchEvent(new Event('online')) && true")
    expect(phone.get_by_text("All sent")).to_be_visible()
    assert [one["entry"]["id"] for one in keeper.log("note")] == [wanted]


def times_sent(home, entry_id: str) -> int:
    return sum(entry_id.encode() in call.body for call in home.line.to("/api/sync"))
