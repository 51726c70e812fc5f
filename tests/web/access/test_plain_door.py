"""Beside an https server: a helper gets in without trusting anything, all others see the page of trust alone."""

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest
from helper_phone import Writes, hand_over, make_link, pond_settings, use_phone

from evenwater.web.access.authority import prepare_https
from evenwater.web.access.gate import COOKIE
from evenwater.web.access.plain_door import PlainDoor
from evenwater.web.access.trust import trust_app

DEVICE = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"
FIRST = date(2026, 11, 24)
PLAIN = "http://teich.example:8421"


@pytest.fixture
async def household(make_household: Any) -> Any:
    return await make_household(https=True, public_names=("teich.example",))


@pytest.fixture
def door(household: Any) -> PlainDoor:
    data: Path = household.settings.data
    https = prepare_https(data / "https", household.settings.host_names, household.now)
    return PlainDoor(household.app, trust_app(household.settings, https))


def comes(door: PlainDoor) -> httpx.AsyncClient:
    transport = httpx.ASGITransport(door, client=("10.0.0.7", 40_000))  # type: ignore[arg-type]
    return httpx.AsyncClient(transport=transport, base_url=PLAIN, headers={"Origin": PLAIN})


@pytest.fixture
async def link(household: Any, keeper: httpx.AsyncClient) -> dict[str, Any]:
    writer = Writes(keeper, (await keeper.get("/api/start")).json()["person"]["id"], DEVICE)
    at = household.now - timedelta(days=30)
    entries = [*pond_settings(writer, at), *hand_over(writer, at, FIRST)]
    await writer.sync(*entries, now=household.now)
    at_home = household.caller("https://teich.example:8420")
    at_home.cookies = keeper.cookies
    at_home.cookies.set(COOKIE, "t" * 43, domain="teich.example", path="/")
    return await make_link(at_home)


async def test_the_link_leads_to_the_plain_door_and_says_that_it_works_online_only(link):
    assert link["url"] == f"{PLAIN}/h#{link['secret']}"
    assert link["works_offline"] is False


async def test_a_helpers_whole_way_goes_through_it(link, door, household):
    async with comes(door) as phone:
        assert (await phone.get("/h")).status_code == 200
        looked = (await phone.post("/api/helper/look", json={"secret": link["secret"]})).json()
        assert (looked["state"], looked["works_offline"]) == ("open", False)
        jo = await use_phone(phone, link["secret"])
        assert (await phone.get("/round")).status_code == 200
        told = await jo.sync(jo.tick(household.now, "cover", "on"), now=household.now, want_plan=True)
        assert told["verdicts"][0]["verdict"] == "accepted" and told["plan"]["days"]
        assert (await phone.get("/api/start")).json()["person"]["hand_over"] == "autumn"


@pytest.mark.parametrize(
    "path", ["/", "/round", "/print", "/api/devices", "/api/past", "/api/reach", "/trust/server.pem"]
)
async def test_everybody_else_is_led_to_the_page(door, path):
    async with comes(door) as somebody:
        answer = await somebody.get(path)
        assert (answer.status_code, answer.headers["location"]) == (302, "/trust")


async def test_nobody_signs_in_by_it(door, keeper):
    async with comes(door) as somebody:
        for path in ("/api/sign-in", "/api/people/first", "/print"):
            answer = await somebody.post(path, json={"name": "Aki", "passphrase": "eight koi in the dusk"})
            assert answer.status_code in (302, 404, 405), path
            assert "set-cookie" not in answer.headers


async def test_a_keepers_session_is_not_taken_by_it(door, keeper, household):
    async with comes(door) as thief:
        thief.cookies.set(COOKIE, "t" * 43, domain="teich.example", path="/")
        aki = Writes(thief, DEVICE, DEVICE)
        answer = await aki.call(now=household.now)
        assert (answer.status_code, answer.json()["code"]) == (403, "not_plain")


async def test_the_helpers_phone_gets_nothing_of_the_keepers_by_it(link, door, household):
    async with comes(door) as phone:
        await use_phone(phone, link["secret"])
        for path in ("/api/devices", "/api/past", "/api/hand-overs/autumn/links"):
            answer = await phone.get(path)
            assert answer.status_code in (302, 403), path
