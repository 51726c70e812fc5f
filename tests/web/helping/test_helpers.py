"""A helper's link: made, looked at, bound, moved, ended; what is guessed, forwarded or late opens nothing."""

from datetime import date, timedelta
from typing import Any

import httpx
import pytest
from helper_phone import JO, KIM, Writes, hand_over, make_link, pond_settings, use_phone

DEVICE = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"
FIRST = date(2026, 11, 24)  # the household's clock says 25 November


@pytest.fixture
async def writer(household: Any, keeper: httpx.AsyncClient) -> Writes:
    """The keeper's phone, with a pond and a hand-over that runs."""
    person = (await keeper.get("/api/start")).json()["person"]["id"]
    writer = Writes(keeper, person, DEVICE)
    weeks_ago = household.now - timedelta(days=30)
    entries = [*pond_settings(writer, weeks_ago), *hand_over(writer, weeks_ago, FIRST)]
    assert set(await writer.verdicts(*entries, now=household.now)) == {"accepted"}
    return writer


@pytest.fixture
async def link(writer: Writes, keeper: httpx.AsyncClient) -> dict[str, Any]:
    return await make_link(keeper)


async def look(client: httpx.AsyncClient, secret: str) -> dict[str, Any]:
    answer = await client.post("/api/helper/look", json={"secret": secret})
    assert answer.status_code == 200, answer.text
    return answer.json()


async def tap(client: httpx.AsyncClient, secret: str, device: str) -> httpx.Response:
    asked = {"secret": secret, "device": device, "device_label": "phone"}
    return await client.post("/api/helper/bind", json=asked)


def device(number: int) -> str:
    return f"{number:08}-6f5b-4c3d-8e9f-001122334455"


async def test_a_link_holds_its_secret_behind_the_number_sign_and_as_a_code(link):
    assert link["url"] == f"http://localhost/h#{link['secret']}"
    assert len(link["secret"]) >= 22  # 128 bits in 64 letters
    assert link["works_offline"] is True
    assert link["code"]["size"] > 20 and link["code"]["path"].startswith("M4 4h7v1h-7z")


async def test_the_secret_is_kept_nowhere(link, household):
    content = (
        household.database.path.read_bytes()
        + household.database.path.with_name(household.database.path.name + "-wal").read_bytes()
    )
    assert link["secret"].encode() not in content


async def test_looking_says_who_asks_and_binds_nothing(link, household):
    for _ in range(3):
        told = await look(household.caller(), link["secret"])
    assert told["state"] == "open" and told["bound_here"] is False
    assert told["hand_over"] == {
        "id": "autumn",
        "name": "While we are away",
        "helper_name": "Jo",
        "keeper_names": ["Aki"],
        "begins_on": "2026-11-24",
        "ends_on": "2026-12-03",
    }
    jo = await use_phone(household.caller(), link["secret"])
    assert jo.person == JO


async def test_what_opens_a_link_by_itself_binds_nothing(link, household):
    previewer = household.caller()
    for path in ("/h", f"/h?{link['secret']}", f"/h/{link['secret']}"):
        answer = await previewer.get(path)
        assert answer.status_code in (200, 404) and "set-cookie" not in answer.headers
    assert (await previewer.get("/api/helper/bind")).status_code in (401, 404, 405)
    assert (await look(household.caller(), link["secret"]))["state"] == "open"


async def test_a_bound_phone_is_the_helpers(link, household):
    phone = household.caller()
    await use_phone(phone, link["secret"])
    start = (await phone.get("/api/start")).json()
    assert (start["state"], start["person"]) == ("signed_in", {"id": JO, "name": "Jo", "hand_over": "autumn"})
    assert (await look(phone, link["secret"]))["bound_here"] is True


async def test_a_page_of_another_site_cannot_bind(link, household):
    elsewhere = household.caller(Origin="https://elsewhere.example")
    assert (await tap(elsewhere, link["secret"], device(1))).status_code == 403


async def test_within_a_day_the_code_moves_once_and_the_first_phone_ends(link, household):
    camera, browser, third = (household.caller() for _ in range(3))
    await use_phone(camera, link["secret"], device(1))
    household.later(hours=23)
    assert (await look(browser, link["secret"]))["state"] == "open"
    moved = await use_phone(browser, link["secret"], device(2))
    assert (await browser.get("/api/start")).json()["state"] == "signed_in"
    refused = await Writes(camera, JO, device(1)).call(now=household.now)
    assert (refused.status_code, refused.json()["code"]) == (401, "moved")
    again = await tap(third, link["secret"], device(3))
    assert (again.status_code, again.json()["code"]) == (409, "bound_elsewhere")
    assert "keeper" in again.json()["right"]
    assert (await look(third, link["secret"]))["state"] == "bound_elsewhere"
    assert (await moved.call(now=household.now)).status_code == 200


async def test_after_a_day_only_a_keeper_lets_it_move_and_once(link, household, keeper):
    first, second, third = (household.caller() for _ in range(3))
    await use_phone(first, link["secret"], device(1))
    household.later(hours=25)
    assert (await tap(second, link["secret"], device(2))).status_code == 409
    allowed = await keeper.post(f"/api/hand-overs/autumn/links/{link['link']['id']}/allow-move")
    assert allowed.status_code == 204
    (listed,) = (await keeper.get("/api/hand-overs/autumn/links")).json()
    assert (listed["may_move"], listed["moves_left"]) == (True, 0)
    assert (await tap(second, link["secret"], device(2))).status_code == 200
    assert (await tap(third, link["secret"], device(3))).status_code == 409
    (listed,) = (await keeper.get("/api/hand-overs/autumn/links")).json()
    assert listed["may_move"] is False
    assert [one["ended_at"] is None for one in listed["devices"]] == [True, False]


async def test_the_same_browser_may_bind_again(link, household):
    await use_phone(household.caller(), link["secret"], device(1))
    household.later(hours=50)
    assert (await tap(household.caller(), link["secret"], device(1))).status_code == 200


async def test_two_phones_at_once_are_not_both_first(link, household):
    import asyncio

    answers = await asyncio.gather(*(tap(household.caller(), link["secret"], device(n)) for n in range(1, 5)))
    assert sorted(one.status_code for one in answers) == [200, 200, 409, 409]  # the first, and its one move


async def test_a_revoked_link_opens_nothing_from_the_next_call_on(link, household, keeper):
    phone = await use_phone(household.caller(), link["secret"])
    assert (await keeper.delete(f"/api/hand-overs/autumn/links/{link['link']['id']}")).status_code == 204
    refused = await phone.call(now=household.now)
    assert (refused.status_code, refused.json()["code"]) == (401, "revoked")
    assert (await phone.client.get("/api/start")).json()["state"] == "sign_in"
    assert (await look(household.caller(), link["secret"]))["state"] == "revoked"
    again = await tap(household.caller(), link["secret"], device(2))
    assert (again.status_code, again.json()["code"]) == (403, "revoked")
    assert (await keeper.delete(f"/api/hand-overs/autumn/links/{link['link']['id']}")).status_code == 404


async def test_a_new_link_for_a_helper_ends_the_one_before(link, household, keeper):
    phone = await use_phone(household.caller(), link["secret"])
    fresh = await make_link(keeper)
    assert (await phone.call(now=household.now)).status_code == 401
    assert (await look(household.caller(), link["secret"]))["state"] == "revoked"
    assert (await look(household.caller(), fresh["secret"]))["state"] == "open"


async def test_whoever_is_taken_off_a_hand_over_is_out(link, household, writer):
    phone = await use_phone(household.caller(), link["secret"])
    helpers = [{"id": KIM, "name": "Kim"}]
    off = writer.entry("set", household.now, target="hand-over/autumn", field="helpers", value=helpers)
    await writer.sync(off, now=household.now)
    assert (await phone.call(now=household.now)).json()["code"] == "revoked"


async def test_guessing_is_slowed_down_by_address_and_altogether(household, writer):
    guesser = household.caller(peer="10.0.0.9")
    statuses = [(await guesser.post("/api/helper/look", json={"secret": f"{n:024}"})).status_code for n in range(22)]
    assert statuses == [404] * 20 + [429] * 2
    assert int((await tap(guesser, "x" * 24, device(1))).headers["retry-after"]) > 0
    many = [
        (await household.caller(peer=f"10.1.{n}.1").post("/api/helper/look", json={"secret": f"{n:024}"})).status_code
        for n in range(110)
    ]
    assert many[-1] == 429 and many.count(404) == 100


async def test_a_secret_that_cannot_be_one_is_named_without_being_told_back(household):
    answer = await household.caller().post("/api/helper/look", json={"secret": "short but mine"})
    assert answer.status_code == 400
    assert answer.json()["where"] == "secret" and "short but mine" not in answer.text


async def test_a_keeper_who_tries_the_link_out_stays_signed_in(link, keeper):
    refused = await tap(keeper, link["secret"], device(1))
    assert (refused.status_code, refused.json()["code"]) == (409, "signed_in_here")
    assert (await keeper.get("/api/devices")).status_code == 200


async def test_a_link_may_be_bound_before_its_first_day(household, writer, keeper):
    later = hand_over(writer, household.now, FIRST + timedelta(days=20), name="winter")
    await writer.sync(*later, now=household.now)
    link = await make_link(keeper, JO, "winter")
    assert (await look(household.caller(), link["secret"]))["state"] == "not_yet"
    phone = await use_phone(household.caller(), link["secret"])
    assert (await phone.client.get("/api/start")).json()["state"] == "signed_in"


async def test_after_the_last_day_a_link_says_thank_you_and_nothing_else(link, household):
    phone = await use_phone(household.caller(), link["secret"])
    household.later(days=9)  # 4 December
    start = (await phone.client.get("/api/start")).json()
    assert start["state"] == "over"
    assert start["over"] == {"keeper_names": ["Aki"], "ended_on": "2026-12-03"}
    assert (await look(household.caller(), link["secret"]))["state"] == "over"
    assert (await tap(household.caller(), link["secret"], device(2))).json()["code"] == "over"
    told = await phone.sync(now=household.now, want_plan=True)
    assert (told["plan"], told["entries"]) == (None, [])
    household.later(days=7)
    refused = await phone.call(now=household.now)
    assert (refused.status_code, refused.json()["code"]) == (401, "over")
    assert (await phone.client.get("/api/start")).json()["state"] == "over"


async def test_a_day_longer_by_the_keeper_is_a_day_longer_for_the_phone(link, household, writer):
    phone = await use_phone(household.caller(), link["secret"])
    longer = writer.entry("set", household.now, target="hand-over/autumn", field="ends_on", value="2026-12-05")
    await writer.sync(longer, now=household.now)
    household.later(days=9)
    assert (await phone.client.get("/api/start")).json()["state"] == "signed_in"


async def test_called_off_ends_it_that_day(link, household, writer):
    phone = await use_phone(household.caller(), link["secret"])
    off = writer.entry("set", household.now, target="hand-over/autumn", field="called_off", value=True)
    await writer.sync(off, now=household.now)
    assert (await phone.client.get("/api/start")).json()["state"] == "signed_in"  # until tonight
    household.later(days=1)
    start = (await phone.client.get("/api/start")).json()
    assert (start["state"], start["over"]["ended_on"]) == ("over", "2026-11-25")


@pytest.mark.parametrize(
    ("name", "helper", "status", "code"),
    [("spring", JO, 404, "not_found"), ("autumn", KIM, 400, "not_one_of"), ("autumn", "Jo", 400, "not_right")],
)
async def test_a_link_is_made_for_a_helper_of_a_hand_over_alone(writer, keeper, name, helper, status, code):
    answer = await keeper.post(f"/api/hand-overs/{name}/links", json={"helper": helper})
    assert (answer.status_code, answer.json()["code"]) == (status, code)
    assert answer.json()["right"]


async def test_a_hand_over_without_dates_or_that_is_over_gets_no_link(household, writer, keeper):
    helpers = [{"id": JO, "name": "Jo"}]
    bare = writer.entry("set", household.now, target="hand-over/bare", field="helpers", value=helpers)
    past = hand_over(writer, household.now, FIRST - timedelta(days=20), 5, name="past")
    await writer.sync(bare, *past, now=household.now)
    for name, code in (("bare", "no_dates"), ("past", "over")):
        answer = await keeper.post(f"/api/hand-overs/{name}/links", json={"helper": JO})
        assert (answer.status_code, answer.json()["code"]) == (409, code)


async def test_overlapping_hand_overs_open_each_its_own(household, writer, keeper):
    kims = hand_over(
        writer, household.now, FIRST, name="kims", jobs=["main/heater"], helpers=[{"id": KIM, "name": "Kim"}]
    )
    await writer.sync(*kims, now=household.now)
    jo = await use_phone(household.caller(), (await make_link(keeper))["secret"])
    kim = await use_phone(household.caller(), (await make_link(keeper, KIM, "kims"))["secret"])
    plans = [(await one.sync(now=household.now, want_plan=True))["plan"] for one in (jo, kim)]
    jobs = [{job["standing_job"] for day in plan["days"] for job in day["jobs"]} for plan in plans]
    assert jobs == [{"cover", "buffer"}, {"heater"}]


async def test_a_keeper_is_nobodys_helper(household, writer, keeper):
    helpers = [{"id": writer.person, "name": "Aki"}]
    mine = writer.entry("set", household.now, target="hand-over/autumn", field="helpers", value=helpers)
    await writer.sync(mine, now=household.now)
    answer = await keeper.post("/api/hand-overs/autumn/links", json={"helper": writer.person})
    assert (answer.status_code, answer.json()["what"]) == (400, "that is a keeper's own id")
