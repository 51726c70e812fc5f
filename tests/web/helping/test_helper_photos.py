"""A helper's photos: they send some, and see those of their hand-over, of their jobs and their own."""

import hashlib
from datetime import date, timedelta
from typing import Any

import httpx
import pytest
from helper_phone import JO, KIM, Writes, hand_over, make_link, pond_settings, use_phone
from pictures import CAMERA, jpeg, noted_jpeg, opened, picture

from evenwater.storage.helper_log import add_helper_photo, helper_photos
from evenwater.web.exchange.photos import HELPERS_PHOTOS_A_DAY

DEVICE = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"
FIRST = date(2026, 11, 24)
OF_JOB, OF_OTHER_JOB, SHOWN, KEEPERS = (jpeg(picture(seed=n)) for n in range(1, 5))
OWN = noted_jpeg(picture(2000, 1500))


def sum_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


async def send(client: httpx.AsyncClient, content: bytes) -> httpx.Response:
    return await client.put(f"/api/photos/{sum_of(content)}", content=content)


async def sees(client: httpx.AsyncClient, content: bytes) -> tuple[int, int]:
    paths = (f"/api/photos/{sum_of(content)}", f"/api/photos/{sum_of(content)}/small")
    whole, small = [(await client.get(path)).status_code for path in paths]
    return whole, small


@pytest.fixture
async def writer(household: Any, keeper: httpx.AsyncClient) -> Writes:
    writer = Writes(keeper, (await keeper.get("/api/start")).json()["person"]["id"], DEVICE)
    at = household.now - timedelta(days=30)
    shown = [{"what": "stopcock", "where": "Under the sink", "photo": sum_of(SHOWN)}]
    entries = [
        *pond_settings(writer, at),
        *hand_over(writer, at, FIRST, jobs=["main/cover"], shown=shown),
        writer.entry("set", at, target="job/cover", field="picture", value=sum_of(OF_JOB)),
        writer.entry("set", at, target="job/heater", field="picture", value=sum_of(OF_OTHER_JOB)),
    ]
    assert set(await writer.verdicts(*entries, now=household.now)) == {"accepted"}
    for content in (OF_JOB, OF_OTHER_JOB, SHOWN, KEEPERS):
        assert (await send(keeper, content)).status_code == 200
    return writer


@pytest.fixture
async def phone(household: Any, writer: Writes, keeper: httpx.AsyncClient) -> httpx.AsyncClient:
    return (await use_phone(household.caller(), (await make_link(keeper))["secret"])).client


async def test_a_helper_sees_what_the_round_needs_and_nothing_else(phone):
    assert await sees(phone, OF_JOB) == await sees(phone, SHOWN) == (200, 200)
    assert await sees(phone, OF_OTHER_JOB) == await sees(phone, KEEPERS) == (404, 404)


async def test_what_may_not_be_seen_answers_as_what_is_not_there(phone):
    hidden = await phone.get(f"/api/photos/{sum_of(KEEPERS)}")
    missing = await phone.get(f"/api/photos/{'0' * 64}")
    assert (hidden.status_code, hidden.json()) == (missing.status_code, missing.json())


async def test_a_helpers_photo_is_drawn_anew_without_its_place_and_the_keepers_see_it(phone, household, keeper):
    assert (await send(phone, OWN)).json()["verdict"] == "accepted"
    assert await sees(phone, OWN) == await sees(keeper, OWN) == (200, 200)
    content = (await keeper.get(f"/api/photos/{sum_of(OWN)}")).content
    assert not opened(content).getexif() and CAMERA.encode() not in content
    assert await helper_photos(household.database, "autumn") == [sum_of(OWN)]
    assert (await send(phone, OWN)).json()["verdict"] == "already_here"


async def test_helpers_of_another_hand_over_do_not_see_it(phone, household, writer, keeper):
    await send(phone, OWN)
    kims = hand_over(writer, household.now, FIRST, name="kims", helpers=[{"id": KIM, "name": "Kim"}])
    await writer.sync(*kims, now=household.now)
    kim = (await use_phone(household.caller(), (await make_link(keeper, KIM, "kims"))["secret"])).client
    assert await sees(kim, OWN) == (404, 404)


async def test_a_photo_of_forty_megabytes_and_one_that_is_none_are_refused_and_said_why(phone):
    huge = await send(phone, b"\xff\xd8" + b"0" * 40_000_000)
    assert huge.status_code == 413 and huge.json()["right"]
    none = await send(phone, b"<script>alert(1)</script>")
    assert none.status_code == 400 and none.json()["right"]
    wrong = await phone.put(f"/api/photos/{'0' * 64}", content=OWN)
    assert (wrong.status_code, wrong.json()["code"]) == (400, "wrong_sum")


async def test_after_the_last_day_photos_that_waited_are_taken_and_none_is_shown(phone, household):
    household.later(days=12)
    assert (await send(phone, OWN)).status_code == 200
    assert await sees(phone, OWN) == await sees(phone, SHOWN) == (404, 404)
    household.later(days=5)
    assert (await send(phone, OWN)).status_code == 401


async def test_a_link_that_went_astray_does_not_fill_the_disk(phone, household):
    for number in range(HELPERS_PHOTOS_A_DAY):
        await add_helper_photo(household.database, f"{number:064x}", "autumn", JO, household.now)
    answer = await send(phone, OWN)
    assert (answer.status_code, answer.json()["code"]) == (429, "slow_down")
    household.later(days=1)
    assert (await send(phone, OWN)).status_code == 200
