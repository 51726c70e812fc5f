"""Switching notifications on and off."""

import pytest
from push_service import Browser

from evenwater.domain.people import Person
from evenwater.storage.people import add_person, begin_session
from evenwater.storage.push import subscriptions
from evenwater.storage.vapid_key import FILE_NAME
from evenwater.web.access.gate import COOKIE

ASKED = {"endpoint": "https://push.example/send/1", "keys": Browser().keys, "expirationTime": None}


async def test_the_key_is_the_same_at_each_call_and_never_the_private_half(household, keeper):
    key = (await keeper.get("/api/reach/push-key")).json()["key"]
    assert (await keeper.get("/api/reach/push-key")).json()["key"] == key
    kept = household.settings.secrets / FILE_NAME
    assert kept.stat().st_mode & 0o077 == 0
    assert key.encode() not in kept.read_bytes()
    assert len(key) == 87


async def test_a_browser_that_subscribes_is_listed_without_its_address(keeper):
    answer = await keeper.post("/api/reach/push", json=ASKED)
    assert answer.status_code == 201
    (one,) = (await keeper.get("/api/reach/push")).json()
    assert (one["this"], one["wants_list"], one["wants_alarms"]) == (True, True, True)
    assert one["device_label"] == "Aki's phone"
    assert answer.json() == [one]
    assert "push.example" not in answer.text


async def test_the_same_browser_again_changes_what_it_wants(household, keeper):
    await keeper.post("/api/reach/push", json=ASKED)
    await keeper.post("/api/reach/push", json=ASKED | {"wants_list": False})
    (one,) = await subscriptions(household.database, household.now)
    assert (one.wants_list, one.wants_alarms) == (False, True)


async def test_switched_off_it_is_gone_and_off_twice_is_said(household, keeper):
    await keeper.post("/api/reach/push", json=ASKED)
    assert (await keeper.delete("/api/reach/push")).status_code == 204
    assert await subscriptions(household.database, household.now) == []
    assert (await keeper.delete("/api/reach/push")).status_code == 404


async def test_a_key_that_cannot_be_kept_is_said_and_no_fault(household, keeper, caplog):
    household.settings.secrets.write_text("a file, where the folder should be")
    answer = await keeper.get("/api/reach/push-key")
    assert (answer.status_code, answer.json()["code"]) == (503, "no_key")
    assert "can be neither read nor made" in caplog.text


@pytest.fixture
async def ivo(household, keeper):
    person = Person("0f1d2c1e-6f5b-4c3d-8e9f-001122334455", "Ivo", household.now)
    assert await add_person(household.database, person, "hash")
    await begin_session(household.database, person.id, "ivos", "Ivo's phone", "i" * 43, household.now, "ivos-session")
    caller = household.caller()
    caller.cookies.set(COOKIE, "i" * 43, domain="localhost.local", path="/")
    return caller


async def test_each_person_sees_and_ends_their_own_alone(keeper, ivo):
    (hers,) = (await keeper.post("/api/reach/push", json=ASKED)).json()
    assert (await ivo.get("/api/reach/push")).json() == []
    assert (await ivo.delete(f"/api/reach/push/{hers['id']}")).status_code == 404
    assert (await ivo.delete("/api/reach/push")).status_code == 404
    assert (await keeper.delete(f"/api/reach/push/{hers['id']}")).status_code == 204
    assert (await keeper.get("/api/reach/push")).json() == []


async def test_a_browser_somebody_else_signs_in_on_is_theirs_from_then_on(keeper, ivo):
    await keeper.post("/api/reach/push", json=ASKED)
    await ivo.post("/api/reach/push", json=ASKED)
    assert (await keeper.get("/api/reach/push")).json() == []
    (one,) = (await ivo.get("/api/reach/push")).json()
    assert one["device_label"] == "Ivo's phone"


@pytest.mark.parametrize(
    ("change", "code", "where"),
    [
        ({"endpoint": "http://push.example/1"}, "not_a_push_address", "endpoint"),
        ({"endpoint": "https://127.0.0.1/1"}, "not_a_push_address", "endpoint"),
        ({"endpoint": "https://localhost/1"}, "not_a_push_address", "endpoint"),
        ({"endpoint": "https://push.example/" + "a" * 1000}, "not_right", "endpoint"),
        ({"endpoint": None}, "not_right", "endpoint"),
        ({"keys": {}}, "not_right", "keys"),
        ({"keys": Browser().keys | {"auth": "short"}}, "not_a_push_address", "keys.auth"),
        ({"keys": Browser().keys | {"p256dh": "B" + "A" * 86}}, "not_a_push_address", "keys.p256dh"),
        ({"wants_list": "yes"}, "not_right", "wants_list"),
        ({"more": 1}, "not_right", "data"),
    ],
)
async def test_what_is_no_browser_s_subscription_is_refused(household, keeper, change, code, where):
    answer = await keeper.post("/api/reach/push", json=ASKED | change)
    assert (answer.status_code, answer.json()["code"], answer.json()["where"]) == (400, code, where)
    assert await subscriptions(household.database, household.now) == []
