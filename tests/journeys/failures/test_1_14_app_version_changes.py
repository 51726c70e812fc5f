"""Row 1.14: the app and home are of different ages while entries wait.

`entries_0_1_0.jsonl` holds one entry of each kind, byte for byte as version 0.1.0 wrote it. The file of a released
version is never edited; a release with a new kind or version of entries adds its own.

Home of another age is the real one with its list of kinds made shorter or longer.
"""

import json
from datetime import UTC
from functools import reduce
from pathlib import Path

import msgspec
import pytest
from journeys.failures.conftest import add_member
from journeys.failures.device import look, note, on_device
from journeys.household import Caller
from journeys.line import takes_no_packed_calls
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import expect

from evenwater.domain import entries, read_entries

CORPUS = sorted(Path(__file__).parent.glob("entries_*.jsonl"))


class Weighed(entries.Envelope, frozen=True, kw_only=True, tag="weighed", forbid_unknown_fields=True):
    """A kind of entry this version of the app does not know."""

    fish: str
    weight_g: float


def know_only(monkeypatch: pytest.MonkeyPatch, kinds: list[type]) -> None:
    """Make home one that reads these kinds and no others."""
    union = reduce(lambda one, other: one | other, kinds)
    monkeypatch.setattr(read_entries, "_decode_entry", msgspec.json.Decoder(union).decode)
    monkeypatch.setattr(read_entries, "KINDS", frozenset(str(kind.__struct_config__.tag) for kind in kinds))


def known_kinds() -> list[type]:
    return list(entries.Entry.__args__)


@pytest.mark.parametrize("file", CORPUS, ids=lambda file: file.stem)
def test_what_a_released_version_wrote_is_taken_and_handed_on_byte_for_byte(home, file):
    lines = file.read_text(encoding="utf-8").splitlines()
    assert {json.loads(line)["kind"] for line in lines} == entries.KINDS
    first = json.loads(lines[0])
    Caller(home.url, home.clock).begin("Marit").close()
    add_member(home, "Ivo", home.clock(), first["author"])
    caller = Caller(home.url, home.clock)
    caller.device = first["device"]
    caller.sign_in("Ivo")
    asked = json.dumps({"device": caller.device, "device_now": home.clock().isoformat(), "app_version": "0.1.0"})
    rest = ', "epoch": null, "cursor": 0, "want_plan": false, "entries": '
    body = f"{asked[:-1]}{rest}[{', '.join(lines)}]}}"
    told = caller.http.post("/api/sync", content=body, headers={"Content-Type": "application/json"})
    assert [one["verdict"] for one in told.json()["verdicts"]] == ["accepted"] * len(lines)
    handed_on = caller.http.post(
        "/api/sync", content=f"{asked[:-1]}{rest}[]}}", headers={"Content-Type": "application/json"}
    )
    caller.close()
    assert all(f'"entry":{line}' in handed_on.text for line in lines)


def test_entries_that_waited_through_an_upgrade_of_app_and_home_arrive_as_they_were_written(keeper, phone, home, site):
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    ids = [note(phone, "before the upgrade") for _ in range(3)]
    expect(phone.get_by_text("3 waiting")).to_be_visible()
    written = on_device(phone).entries
    site.deploy(words=('all_done: "all done"', 'all_done: "done"'))
    phone.reload()
    expect(phone.get_by_text("3 waiting")).to_be_visible()
    phone.context.set_offline(False)
    expect(phone.get_by_text("All sent")).to_be_visible()
    assert [one["entry"] for one in keeper.log("note")] == [written[entry_id] for entry_id in ids]


def test_a_home_too_old_to_unpack_a_call_gets_it_unpacked(keeper, phone, home):
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    ids = [note(phone, f"evening {number}, covers on") for number in range(6)]
    home.line.fail(takes_no_packed_calls)
    phone.context.set_offline(False)
    expect(phone.get_by_text("All sent")).to_be_visible()
    assert [one["entry"]["id"] for one in keeper.log("note")] == ids
    assert [call.packed for call in home.line.to("/api/sync") if ids[0].encode() in call.body] == [True, False]


def test_an_entry_too_new_for_home_is_kept_at_both_ends_and_read_after_the_upgrade(keeper, phone, home, monkeypatch):
    with monkeypatch.context() as older:
        know_only(older, [kind for kind in known_kinds() if kind is not entries.Look])
        sign_in(phone)
        look(phone)
        sent_at = home.clock()
        until(lambda: any(b'"look"' in call.body for call in home.line.to("/api/sync")), "it is sent", phone)
        expect(phone.get_by_text("All sent")).to_be_visible()
        phone.get_by_role("link", name="Pond book").click()
        expect(phone.get_by_text("kept for after the server's upgrade")).to_be_visible()
        (waiting,) = on_device(phone).outbox
        assert keeper.log("look") == []
    home.restart()
    (kept,) = keeper.log("look")
    assert kept["entry"]["id"] == waiting
    assert kept["received_at"][:16] == sent_at.astimezone(UTC).isoformat()[:16], "as of when it first came"
    phone.reload()
    until(lambda: not on_device(phone).outbox, "the phone has its verdict", phone)
    expect(phone.get_by_text("kept for after the server's upgrade")).to_have_count(0)
    assert len(keeper.log("look")) == 1


def test_an_entry_too_new_for_the_app_is_kept_and_shown_as_something_it_does_not_know(keeper, phone, home, monkeypatch):
    know_only(monkeypatch, [*known_kinds(), Weighed])
    told = keeper.entry("weighed", fish="Kumo", weight_g=4200.0)
    keeper.keep(told)
    sign_in(phone)
    phone.get_by_role("link", name="Pond book").click()
    expect(phone.get_by_text("Something this version of the app does not know yet (weighed)")).to_be_visible()
    assert on_device(phone).entries[told["id"]] == told
    phone.get_by_role("link", name="Round").click()
    look(phone)
    until(lambda: keeper.log("look"), "what it does know still goes home", phone)
