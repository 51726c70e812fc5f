"""How somebody says how they are reached: what is taken, what is refused and why, and what it does to what waits."""

from typing import Any

import httpx
import pytest
from kept_log import settle_pond

from evenwater.domain.messages import Message, Outgoing
from evenwater.settings import Smtp
from evenwater.storage.messages import keep_messages, mark_not_sent, messages_of

GIVEN = {"zone": "Europe/Berlin", "list_at": "07:00", "quiet_from": "22:00", "quiet_to": "06:30"}
GIVEN |= {"email": "aki@pond.example", "email_list": True, "email_alarms": True}  # type: ignore[dict-item]


async def person(keeper: httpx.AsyncClient) -> str:
    found: str = (await keeper.get("/api/start")).json()["person"]["id"]
    return found


async def wait(household: Any, whose: str, key: str) -> Message:
    """A message to somebody that waits after a failure."""
    now = household.now
    about = {"id": key.replace("/", "-"), "key": key, "person": whose, "channel": "email", "to": "old@pond.example"}
    message = Message(**about, subject="A list", text="Covers", made_at=now, next_try_at=now)
    await keep_messages(household.database, [Outgoing(message=message)])
    await mark_not_sent(household.database, message, "no answer", now.replace(year=2027))
    return message


async def test_whoever_said_nothing_yet_is_shown_what_is_usual_in_the_ponds_zone(household, keeper):
    await settle_pond(household.database, zone="Europe/Berlin")
    answer = (await keeper.get("/api/reach")).json()
    assert (answer["said"], answer["mail_set_up"], answer["messages"]) == (False, False, [])
    assert (answer["reach"]["zone"], answer["reach"]["list_at"]) == ("Europe/Berlin", None)


async def test_what_was_said_stands(keeper):
    said = (await keeper.put("/api/reach", json=GIVEN)).json()
    assert said["said"] and said["reach"] == GIVEN | {"person": await person(keeper)}
    assert (await keeper.get("/api/reach")).json() == said


async def test_the_app_learns_whether_there_is_a_mail_server_and_nothing_of_it(make_household):
    smtp = Smtp(host="mail.example.org", user="pond@example.org", sender="pond@example.org")
    household = await make_household(smtp=smtp)
    answer = await (await household.settle()).get("/api/reach")
    assert answer.json()["mail_set_up"] is True
    assert "example.org" not in answer.text


@pytest.mark.parametrize(
    ("changed", "code", "where"),
    [
        ({"list_at": "24:00"}, "not_right", "list_at"),
        ({"list_at": "7:00"}, "not_right", "list_at"),
        ({"zone": "Mars/Olympus"}, None, "zone"),
        ({"quiet_to": None}, "quiet_half", "quiet_to"),
        ({"quiet_from": None}, "quiet_half", "quiet_from"),
        ({"quiet_from": "22:00", "quiet_to": "22:00"}, "quiet_half", "quiet_to"),
        ({"email": "aki"}, "no_address", "email"),
        ({"email": "aki@pond.example\r\nBcc: all@pond.example"}, "no_address", "email"),
        ({"email": "aki@pond.example, all@pond.example"}, "no_address", "email"),
        ({"email": "a" * 65 + "@pond.example"}, "no_address", "email"),
        ({"email": "ākī@pond.example"}, "no_address", "email"),
        ({"person": "somebody-else"}, "not_right", ""),
    ],
)
async def test_what_cannot_be_is_refused_with_what_would_be_right(keeper, changed, code, where):
    answer = await keeper.put("/api/reach", json=GIVEN | changed)
    assert answer.status_code == 400
    problem = answer.json()
    assert code in (None, problem["code"]) and where in problem["where"] and problem["right"]
    assert (await keeper.get("/api/reach")).json()["said"] is False


async def test_an_address_of_blanks_is_none(keeper):
    assert (await keeper.put("/api/reach", json=GIVEN | {"email": ""})).json()["reach"]["email"] is None


async def test_another_address_gets_what_waits(household, keeper):
    whose = await person(keeper)
    await keeper.put("/api/reach", json=GIVEN | {"email": "old@pond.example"})
    await wait(household, whose, f"list/{whose}/2026-11-25/email")
    await keeper.put("/api/reach", json=GIVEN)
    (message,) = await messages_of(household.database, whose)
    assert (message.to, message.next_try_at) == ("aki@pond.example", household.now)


@pytest.mark.parametrize(
    ("changed", "left"),
    [
        ({"email_list": False}, {"alarm"}),
        ({"list_at": None}, {"alarm"}),
        ({"email_alarms": False}, {"list"}),
        ({"email": None}, set()),
    ],
)
async def test_what_is_not_wanted_any_more_waits_no_longer(household, keeper, changed, left):
    whose = await person(keeper)
    for key in (f"list/{whose}/2026-11-25/email", f"alarm/a/{whose}/email"):
        await wait(household, whose, key)
    await keeper.put("/api/reach", json=GIVEN | changed)
    assert {one.key.split("/")[0] for one in await messages_of(household.database, whose)} == left


async def test_nobody_sees_or_changes_how_another_is_reached(household, keeper):
    await keeper.put("/api/reach", json=GIVEN)
    other = household.caller()
    assert (await other.get("/api/reach")).status_code == 401
    assert (await other.put("/api/reach", json=GIVEN | {"email": "thief@pond.example"})).status_code == 401
    assert (await keeper.get("/api/reach")).json()["reach"]["email"] == "aki@pond.example"


async def test_a_test_message_waits_to_be_carried_and_wakes_who_carries(household, keeper):
    woken: list[bool] = []
    household.app.state.wake_delivery = lambda: woken.append(True)
    await keeper.put("/api/reach", json=GIVEN)
    answer = await keeper.post("/api/reach/test")
    assert answer.status_code == 202
    (message,) = answer.json()["messages"]
    assert (message["channel"], message["state"]) == ("email", "waiting")
    assert woken == [True, True]


async def test_without_a_way_a_test_says_what_is_missing(keeper):
    answer = await keeper.post("/api/reach/test")
    assert (answer.status_code, answer.json()["code"]) == (409, "no_way")


async def test_tests_come_in_small_numbers(household, keeper):
    await keeper.put("/api/reach", json=GIVEN)
    statuses = [(await keeper.post("/api/reach/test")).status_code for _ in range(5)]
    assert statuses == [202, 202, 202, 429, 429]
    household.later(minutes=2)
    assert (await keeper.post("/api/reach/test")).status_code == 202
