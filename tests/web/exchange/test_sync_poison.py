"""An entry that cannot be read, however it is broken, is answered by itself and holds up no other."""

from datetime import UTC, datetime

import msgspec
import pytest

NOON = datetime(2026, 11, 3, 12, 0, tzinfo=UTC)

POISONS = {
    "half an emoji": rb'{"id":"x","kind":"note","text":"\ud83d"}',
    "half an emoji, reversed": rb'{"id":"x","kind":"note","text":"\ude00 and \ud83d\ud83d\ude00"}',
    "not UTF-8": b'{"id":"x","kind":"note","text":"\xff"}',
    "not a number": b'{"id":"x","kind":"reading","value":NaN}',
    "endless": b'{"id":"x","kind":"reading","value":-Infinity}',
    "too large a number": b'{"id":"x","kind":"reading","value":1e999}',
    "a version no database holds": b'{"v":99999999999999999999,"kind":"x"}',
    "a word": b'"no entry at all"',
    "nothing": b"null",
    "nested": b"[" * 300 + b"]" * 300,
}


def note(phone, **more):
    return phone.entry("note", NOON, text="said", **more)


async def send(phone, *entries: bytes):
    asked = {
        "device": phone.device,
        "device_now": NOON.isoformat(),
        "app_version": "test",
        "epoch": phone.epoch,
        "cursor": phone.cursor,
        "want_plan": False,
        "entries": [],
    }
    body = msgspec.json.encode(asked).replace(b'"entries":[]', b'"entries":[' + b",".join(entries) + b"]")
    answer = await phone.client.post("/api/sync", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 200, answer.text
    return answer.json()


@pytest.mark.parametrize("poison", POISONS.values(), ids=POISONS.keys())
async def test_a_poisoned_entry_is_refused_alone(phone, poison):
    good, other = msgspec.json.encode(note(phone)), msgspec.json.encode(note(phone, pond="other"))
    told = await send(phone, good, poison, other)
    assert [one["verdict"] for one in told["verdicts"]] == ["accepted", "refused", "accepted"]
    assert {"code", "what", "where", "right"} <= told["verdicts"][1].keys()
    phone.cursor = 0
    told = await phone.sync(now=NOON)
    assert [one["entry"]["pond"] for one in told["entries"]] == ["main", "other"]


@pytest.mark.parametrize("value", [b'"\xff"', b"[" * 300 + b"]" * 300], ids=["not UTF-8", "nested"])
async def test_a_poisoned_setting_is_refused_alone(phone, value):
    entry = msgspec.json.encode(phone.entry("set", NOON, target="pond", field="name", value=0))
    poisoned = entry.replace(b'"value":0', b'"value":' + value)
    told = await send(phone, poisoned, msgspec.json.encode(note(phone)))
    assert [one["verdict"] for one in told["verdicts"]] == ["refused", "accepted"]


async def test_a_poisoned_entry_of_a_newer_app_is_refused_not_deferred(phone):
    newer = msgspec.json.encode({**note(phone), "v": 2, "more": 0}).replace(b'"more":0', b'"more":"\xff"')
    told = await send(phone, newer, msgspec.json.encode(note(phone)))
    assert [one["verdict"] for one in told["verdicts"]] == ["refused", "accepted"]


async def test_a_good_entry_beside_half_an_emoji_is_the_same_when_sent_again(phone):
    good = msgspec.json.encode(note(phone))
    await send(phone, POISONS["half an emoji"], good)
    told = await send(phone, good)
    assert [one["verdict"] for one in told["verdicts"]] == ["already_here"]


@pytest.mark.parametrize("due_on", ["0001-01-01", "9999-12-31"])
async def test_an_answer_for_the_end_of_the_calendar_is_refused(phone, due_on):
    told = await phone.sync(phone.entry("not_done", NOON, standing_job="cover", slot="on", due_on=due_on, reason="ice"))
    assert [(one["verdict"], one["where"]) for one in told["verdicts"]] == [("refused", "due_on")]


async def test_a_body_nested_without_end_gets_the_one_shape(phone):
    body = b'{"entries":[' + b"[" * 100_000 + b"]" * 100_000 + b"]}"
    answer = await phone.client.post("/api/sync", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 400
    assert set(answer.json()) == {"code", "what", "where", "right"}
