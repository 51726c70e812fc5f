"""Bodies packed for the way arrive as they were; what cannot be unpacked is refused in the one shape."""

import gzip
import json
from datetime import UTC, datetime

import pytest

from evenwater.web.errors import Refusal
from evenwater.web.packing import unpacked

NOON = datetime(2026, 11, 3, 12, 0, tzinfo=UTC)
PACKED = {"Content-Type": "application/json", "Content-Encoding": "gzip"}


def asked(phone, *entries):
    now = NOON.isoformat()
    call = {"device": phone.device, "device_now": now, "app_version": "test", "epoch": None, "cursor": 0}
    return json.dumps({**call, "entries": entries, "want_plan": False}).encode()


async def test_a_packed_call_is_taken_as_the_same_call_unpacked(phone):
    entry = phone.entry("note", NOON, text="Frost on the covers.")
    answer = await phone.client.post("/api/sync", content=gzip.compress(asked(phone, entry)), headers=PACKED)
    assert [one["verdict"] for one in answer.json()["verdicts"]] == ["accepted"]
    told = await phone.sync(entry)
    assert [one["verdict"] for one in told["verdicts"]] == ["already_here"]


@pytest.mark.parametrize(
    ("body", "encoding", "status", "code"),
    [
        (b"no gzip at all", "gzip", 400, "malformed"),
        (gzip.compress(b"{}" * 500)[:-9], "gzip", 400, "malformed"),
        (gzip.compress(b"{}") + gzip.compress(b"{}"), "gzip", 400, "malformed"),
        (gzip.compress(b" " * 1_000_001), "gzip", 413, "too_large"),
        (b"{}", "zstd", 415, "wrong_media_type"),
    ],
    ids=["not gzip", "cut off", "two in one", "too large", "another packing"],
)
async def test_what_does_not_unpack_is_refused_in_the_one_shape(phone, body, encoding, status, code):
    headers = {**PACKED, "Content-Encoding": encoding}
    answer = await phone.client.post("/api/sync", content=body, headers=headers)
    assert answer.status_code == status
    assert set(answer.json()) == {"code", "what", "where", "right"}
    assert answer.json()["code"] == code


def test_a_small_body_that_would_unpack_to_gigabytes_is_given_up_at_the_limit():
    bomb = gzip.compress(b"\0" * 100_000_000)
    with pytest.raises(Refusal):
        unpacked(bomb, "gzip", 1000)
    assert len(bomb) < 100_000


@pytest.mark.parametrize("encoding", ["br", "gzip"])
async def test_a_long_answer_is_packed_as_the_browser_takes_it(phone, encoding):
    entries = [phone.entry("note", NOON, text="Frost on the covers.") for _ in range(50)]
    await phone.sync(*entries)
    ask = {"Content-Type": "application/json", "Accept-Encoding": encoding}
    answer = await phone.client.post("/api/sync", content=asked(phone), headers=ask)
    assert answer.headers["content-encoding"] == encoding
    assert len(answer.json()["entries"]) == 50
    assert int(answer.headers["content-length"]) * 5 < len(answer.content)


async def test_an_answer_is_not_packed_for_who_does_not_take_it(phone):
    await phone.sync(*[phone.entry("note", NOON, text="Frost on the covers.") for _ in range(50)])
    ask = {"Content-Type": "application/json", "Accept-Encoding": "identity"}
    answer = await phone.client.post("/api/sync", content=asked(phone), headers=ask)
    assert "content-encoding" not in answer.headers
