"""Making, listing and revoking the keys of loggers."""

from datetime import datetime

import pytest
from kept_log import settle_pond

ASKED = {"pond": "main", "series": ["water_c"], "label": "Logger"}


@pytest.fixture(autouse=True)
async def pond(household):
    await settle_pond(household.database, zone="UTC")


async def test_a_key_is_shown_once_and_listed_without_its_secret(keeper):
    made = (await keeper.post("/api/probe-keys", json=ASKED)).json()
    assert len(made["token"]) > 60
    (device,) = (await keeper.get("/api/devices")).json()
    assert made["key"]["created_by"] == device["person_id"]
    listed = await keeper.get("/api/probe-keys")
    assert listed.json() == [made["key"]]
    assert made["token"].rpartition("_")[2] not in listed.text
    again = (await keeper.post("/api/probe-keys", json=ASKED)).json()
    assert again["token"] != made["token"]


async def test_a_series_named_twice_is_one(keeper):
    made = await keeper.post("/api/probe-keys", json=ASKED | {"series": ["air_c", "water_c", "air_c"]})
    assert made.json()["key"]["series"] == ["air_c", "water_c"]


@pytest.mark.parametrize(
    ("change", "code", "where"),
    [
        ({"pond": "nowhere"}, "not_one_of", "pond"),
        ({"pond": "../main"}, "not_right", "pond"),
        ({"series": []}, "not_right", "series"),
        ({"series": ["service_air_c"]}, "not_one_of", "series"),
        ({"series": ["water_c"] * 100}, "not_right", "series"),
        ({"label": ""}, "not_right", "label"),
        ({"more": 1}, "not_right", "data"),
    ],
)
async def test_what_a_key_cannot_be_for_is_refused(keeper, change, code, where):
    answer = await keeper.post("/api/probe-keys", json=ASKED | change)
    assert (answer.status_code, answer.json()["code"], answer.json()["where"]) == (400, code, where)
    assert (await keeper.get("/api/probe-keys")).json() == []


async def test_a_key_that_is_none_cannot_be_revoked(keeper):
    answer = await keeper.delete("/api/probe-keys/none")
    assert (answer.status_code, answer.json()["code"]) == (404, "not_found")


async def test_another_sites_page_makes_no_key(keeper):
    answer = await keeper.post("/api/probe-keys", json=ASKED, headers={"Origin": "http://evil.example"})
    assert answer.status_code == 403


async def test_when_a_key_was_last_used_is_told(keeper, household):
    made = (await keeper.post("/api/probe-keys", json=ASKED)).json()
    sent = {"series": "water_c", "at": household.now.isoformat(), "value": 14.2}
    headers = {"Authorization": f"Bearer {made['token']}"}
    assert (await household.caller().post("/api/probe", json=sent, headers=headers)).status_code == 200
    (listed,) = (await keeper.get("/api/probe-keys")).json()
    assert datetime.fromisoformat(listed["last_used_at"]) == household.now
