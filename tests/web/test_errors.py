"""Whatever goes wrong, one shape: {code, what, where, right}."""

import pytest
from conftest import START

SHAPE = {"code", "what", "where", "right"}
JSON = {"content-type": "application/json"}


@pytest.mark.parametrize(
    ("body", "status", "code"),
    [
        (b"{", 400, "malformed"),
        (b"", 400, "not_right"),
        (b'{"name": "\xff"}', 400, "malformed"),
        (b"[" * 5000, 400, "malformed"),
        (b'{"name": NaN}', 400, "malformed"),
        (b'{"name": 1, "passphrase": "12345678", "device": "x"}', 400, "not_right"),
    ],
)
async def test_a_body_nobody_can_read_is_answered_in_the_one_shape(client, body, status, code):
    answer = await client.post("/api/sign-in", content=body, headers=JSON)
    assert (answer.status_code, set(answer.json())) == (status, SHAPE)
    assert answer.json()["code"] == code


async def test_a_field_is_named_as_the_sender_wrote_it(client):
    told = {"name": "Marit", "passphrase": "12345678", "device": "x"}
    answer = await client.post("/api/sign-in", json=told)
    assert answer.json()["where"] == "device"


async def test_sync_in_bytes_that_are_no_text_is_refused(phone):
    answer = await phone.client.post("/api/sync", content=b'{"device":"\xff"}', headers=JSON)
    assert (answer.status_code, answer.json()["code"]) == (400, "malformed")


async def test_a_route_that_is_not_there_and_a_method_that_is_not(client):
    missing = await client.get("/api/nothing")
    assert (missing.status_code, set(missing.json()), missing.json()["code"]) == (404, SHAPE, "not_found")
    wrong = await client.put("/api/reckon")
    assert (wrong.status_code, set(wrong.json()), wrong.json()["code"]) == (405, SHAPE, "wrong_method")


async def test_a_full_disk_is_503_and_nothing_is_half_written(phone, database):
    (pages,) = next(iter(await database.writer.execute_fetchall("PRAGMA page_count")))
    await database.writer.execute(f"PRAGMA max_page_count = {pages}")
    entries = [phone.entry("note", START, text="x" * 1900) for _ in range(200)]
    asked = {"device": phone.device, "device_now": START.isoformat(), "app_version": "test", "epoch": None}
    answer = await phone.client.post("/api/sync", json={**asked, "cursor": 0, "entries": entries})
    assert (answer.status_code, answer.json()["code"]) == (503, "storage")
    assert answer.headers["retry-after"]
    (count,) = next(iter(await database.reader.execute_fetchall("SELECT count(*) FROM entry")))
    assert count == 0
    await database.writer.execute("PRAGMA max_page_count = 1000000")
    again = await phone.sync(*entries)
    assert {verdict["verdict"] for verdict in again["verdicts"]} == {"accepted"}
