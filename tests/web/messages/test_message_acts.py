"""Links in messages: opening one changes nothing, its button does what it says, and a stranger's token does nothing."""

from typing import Any

import httpx
import pytest

from evenwater.domain.messages import Message, Outgoing, Reach, WayOut
from evenwater.domain.rounds.heard.alarms import Concern
from evenwater.storage.alarms import alarm, match_alarms
from evenwater.storage.messages import keep_messages, messages_of
from evenwater.storage.reach import keep_reach, reach_of

BROWSER = {"Accept": "text/html,application/xhtml+xml"}
TITLE = "Not done: Covers <on>"


@pytest.fixture
async def aki(household: Any, keeper: httpx.AsyncClient) -> str:
    """Aki's id, reached by e-mail; an alarm is open, and links to answer and end it are in her mail."""
    whose: str = (await keeper.get("/api/start")).json()["person"]["id"]
    now = household.now
    await keep_reach(household.database, Reach(person=whose, zone="Europe/Berlin", email="aki@pond.example"), now)
    concern = Concern(about="job/1", what="job", pond="main", at=now, title=TITLE, says="It was due by 17:40.")
    await match_alarms(household.database, [concern], now, ["a1"])
    for number, act in enumerate(("unsubscribe_list", "unsubscribe_alarms", "on_it")):
        key = f"{'list' if number == 0 else 'alarm'}/{number}"
        about = {"id": f"m{number}", "key": key, "person": whose, "channel": "email", "to": "aki@pond.example"}
        message = Message(**about, subject="s", text="t", made_at=now, next_try_at=now)
        way = WayOut(act=act, person=whose, alarms=("a1",) if act == "on_it" else (), made_at=now)
        await keep_messages(household.database, [Outgoing(message=message, ways={f"token-of-{act}": way})])
    return whose


def stranger(household: Any) -> httpx.AsyncClient:
    """A mail program or a scanner somewhere: no cookie, no Origin."""
    caller: httpx.AsyncClient = household.caller(peer="203.0.113.9")
    del caller.headers["Origin"]
    return caller


@pytest.mark.parametrize("link", ["/unsubscribe/token-of-unsubscribe_list", "/on-it/token-of-on_it"])
async def test_opening_a_link_however_often_changes_nothing(household, aki, link):
    before = await reach_of(household.database, aki), await alarm(household.database, "a1")
    scanner = stranger(household)
    for _ in range(3):
        page = await scanner.get(link, headers=BROWSER)
        assert page.status_code == 200 and "<form method=post>" in page.text
    await scanner.head(link)
    assert (await reach_of(household.database, aki), await alarm(household.database, "a1")) == before


async def test_one_click_from_a_mail_program_ends_the_list_and_what_waits_of_it(household, aki):
    link = "/unsubscribe/token-of-unsubscribe_list"
    answer = await stranger(household).post(link, data={"List-Unsubscribe": "One-Click"})
    assert answer.status_code == 200
    reach = await reach_of(household.database, aki)
    assert reach is not None and (reach.email_list, reach.email_alarms, reach.email) == (
        False,
        True,
        "aki@pond.example",
    )
    assert {one.key for one in await messages_of(household.database, aki)} == {"alarm/1", "alarm/2"}


async def test_the_button_ends_alarms_and_a_second_press_does_no_harm(household, aki):
    link = "/unsubscribe/token-of-unsubscribe_alarms"
    for _ in range(2):
        answer = await stranger(household).post(link, headers=BROWSER)
        assert "You get alarms by e-mail no more" in answer.text
    page = await stranger(household).get(link, headers=BROWSER)
    assert "You get alarms by e-mail no more" in page.text and "<form" not in page.text
    reach = await reach_of(household.database, aki)
    assert reach is not None and (reach.email_list, reach.email_alarms) == (True, False)


async def test_a_person_who_is_signed_in_may_press_the_button_too(household, keeper, aki):
    page = await keeper.get("/on-it/token-of-on_it", headers=BROWSER)
    assert "same-origin" in page.text, "else a browser says nothing of where the form comes from"
    assert (await keeper.post("/on-it/token-of-on_it", headers=BROWSER)).status_code == 200


async def test_who_is_on_it_is_told_to_whoever_opens_the_link_after(household, aki):
    first = await stranger(household).post("/on-it/token-of-on_it", headers=BROWSER)
    assert "You are on it, since 18:02" in first.text
    household.later(minutes=20)
    again = await stranger(household).get("/on-it/token-of-on_it", headers=BROWSER)
    assert "You are on it, since 18:02. Nobody else is told." in again.text and "<form" not in again.text
    found = await alarm(household.database, "a1")
    assert found is not None and found.on_it == aki


async def test_one_press_takes_on_all_that_a_message_told_and_says_how_each_stands(household, aki):
    now = household.now
    told = [
        Concern(about=f"job/{one}", what="job", pond="main", at=now, title=f"Not done: {one}", says=f"{one} was due.")
        for one in ("Covers", "Dose", "Heater")
    ]
    await match_alarms(household.database, told, now, ["a2", "a3", "a4"])
    about = {"id": "m9", "key": "alarm/a2+a3+a4/aki", "person": aki, "channel": "email", "to": "aki@pond.example"}
    message = Message(**about, subject="s", text="t", made_at=now, next_try_at=now)
    way = WayOut(act="on_it", person=aki, alarms=("a2", "a3", "a4"), made_at=now)
    await keep_messages(household.database, [Outgoing(message=message, ways={"token-of-three": way})])
    await match_alarms(household.database, told[:2], now, ["", ""])
    page = await stranger(household).get("/on-it/token-of-three", headers=BROWSER)
    assert "3 things to see to" in page.text and page.text.count("<form") == 1
    assert "Not done: Dose. Dose was due." in page.text and "Not done: Heater. It is over, since" in page.text
    after = await stranger(household).post("/on-it/token-of-three", headers=BROWSER)
    assert after.text.count("You are on it, since 18:02") == 2 and "<form" not in after.text
    for one in ("a2", "a3"):
        assert (await alarm(household.database, one)).on_it == aki


async def test_what_is_over_says_so_and_offers_no_button(household, aki):
    await match_alarms(household.database, [], household.now, [])
    page = await stranger(household).get("/on-it/token-of-on_it", headers=BROWSER)
    assert "It is over, since 18:02." in page.text and "<form" not in page.text


async def test_words_of_people_stay_words(household, aki):
    page = await stranger(household).get("/on-it/token-of-on_it", headers=BROWSER)
    assert "Covers &lt;on&gt;" in page.text and "<on>" not in page.text


@pytest.mark.parametrize("path", ["/unsubscribe/none", "/on-it/none", f"/unsubscribe/{'x' * 5000}"])
@pytest.mark.parametrize("method", ["GET", "POST"])
async def test_a_token_that_is_none_gets_a_page_or_a_problem_by_who_asks(household, aki, path, method):
    person = await stranger(household).request(method, path, headers=BROWSER)
    assert (person.status_code, "leads nowhere" in person.text) == (404, True)
    program = await stranger(household).request(method, path)
    assert (program.status_code, program.json()["code"]) == (404, "not_found")


@pytest.mark.parametrize("path", ["/unsubscribe/token-of-on_it", "/on-it/token-of-unsubscribe_list"])
async def test_a_token_does_only_what_it_is_for(household, aki, path):
    assert (await stranger(household).post(path)).status_code == 404
    reach = await reach_of(household.database, aki)
    assert reach is not None and reach.email_list
    found = await alarm(household.database, "a1")
    assert found is not None and found.on_it is None
