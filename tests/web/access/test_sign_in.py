"""Beginning a household, signing in and out, and the devices: as a keeper does it, and as a stranger tries to."""

import asyncio
import re
import sqlite3
import statistics
import time
from typing import Any

import httpx
import pytest

CODE = "K7MF-2Q9P"
OTHER_DEVICE = "0b4d2c1e-6f5b-4c3d-8e9f-001122334455"


def problem(answer: httpx.Response) -> tuple[int, str]:
    body = answer.json()
    assert set(body) == {"code", "what", "where", "right"}
    return answer.status_code, body["code"]


async def state(caller: httpx.AsyncClient) -> dict[str, Any]:
    answer = await caller.get("/api/start")
    assert answer.status_code == 200
    return answer.json()


# --- beginning


async def test_a_household_begins_with_a_name_and_a_passphrase(household: Any) -> None:
    caller = household.caller()
    assert (await state(caller))["state"] == "first_start"
    answer = await household.begin(caller, name="  Aki   Tanaka ")
    assert answer.json()["person"]["name"] == "Aki Tanaka"
    now = await state(caller)
    assert (now["state"], now["person"]["name"], now["needs_code"]) == ("signed_in", "Aki Tanaka", False)
    assert (await state(household.caller()))["state"] == "sign_in"


async def test_nobody_begins_a_household_twice(household: Any, keeper: httpx.AsyncClient) -> None:
    for name in ("Aki", "Bo"):
        assert problem(await household.begin(household.caller(), name=name)) == (409, "already_begun")


async def test_of_two_who_begin_at_once_one_is_first(household: Any) -> None:
    answers = await asyncio.gather(
        household.begin(household.caller(), name="Aki"), household.begin(household.caller(), name="Bo")
    )
    assert sorted(answer.status_code for answer in answers) == [200, 409]


@pytest.mark.parametrize(
    ("wrong", "where"),
    [
        ({"passphrase": "short"}, "passphrase"),
        ({"passphrase": "x" * 201}, "passphrase"),
        ({"name": " "}, "name"),
        ({"name": "x" * 61}, "name"),
        ({"name": "A\u202eki"}, "name"),
        ({"name": 5}, "name"),
        ({"device": "not-a-uuid"}, "device"),
        ({"device": "0a4d2c1e-6f5b-4c3d-8e9f-001122334455\n"}, "device"),
        ({"is_admin": True}, ""),
    ],
)
async def test_what_cannot_be_is_refused_and_nothing_begins(household: Any, wrong: dict[str, Any], where: str) -> None:
    answer = await household.begin(household.caller(), **wrong)
    assert answer.status_code == 400
    assert answer.json()["where"].endswith(where)
    assert answer.json()["right"]
    assert "x" * 201 not in answer.text
    assert (await state(household.caller()))["state"] == "first_start"


FROM_ELSEWHERE = [
    {"peer": "192.168.1.7"},
    {"X-Forwarded-For": "127.0.0.1"},
    {"Forwarded": "for=127.0.0.1"},
    {"X-Real-IP": "127.0.0.1"},
    {"Via": "1.1 proxy"},
    {"base_url": "http://teich.example"},
    {"peer": ""},
]


@pytest.mark.parametrize("elsewhere", FROM_ELSEWHERE)
async def test_from_elsewhere_beginning_takes_the_code_of_the_terminal(
    make_household: Any, elsewhere: dict[str, str]
) -> None:
    household = await make_household(one_time_code=CODE, public_names=("teich.example",))
    caller = household.caller(**elsewhere)
    assert (await state(caller))["needs_code"] is True
    for code in ("", "K7MF-2Q9Q", CODE[:-1], "\u00e9"):
        assert problem(await household.begin(caller, code=code)) == (403, "wrong_code")
    assert (await household.begin(caller, code=" k7mf2q9p ")).status_code == 200


async def test_the_code_is_spent_after_ten_wrong_ones(make_household: Any) -> None:
    household = await make_household(one_time_code=CODE)
    for count in range(10):
        answer = await household.begin(household.caller(peer=f"192.168.1.{count}"), code="AAAA-AAAA")
        assert problem(answer) == (403, "wrong_code")
    late = await household.begin(household.caller(peer="192.168.1.99"), code=CODE)
    assert problem(late) == (403, "code_spent")
    assert (await household.begin(household.caller())).status_code == 200


async def test_without_a_code_made_nobody_begins_from_elsewhere(household: Any) -> None:
    for code in ("", "None"):
        assert problem(await household.begin(household.caller(peer="192.168.1.7"), code=code))[0] == 403


async def test_where_a_proxy_stands_in_front_nobody_counts_as_at_this_machine(make_household: Any) -> None:
    household = await make_household(trusted_proxies=("127.0.0.1",), one_time_code=CODE)
    assert (await state(household.caller()))["needs_code"] is True


# --- signing in


@pytest.mark.parametrize("written", ["Aki", "aki", " AKI ", "Ａｋｉ"])
async def test_signing_in_from_another_device(household: Any, keeper: httpx.AsyncClient, written: str) -> None:
    tablet = household.caller(peer="192.168.1.8")
    answer = await tablet.post("/api/sign-in", json=household.person(name=written, device=OTHER_DEVICE))
    assert answer.status_code == 200
    assert (await state(tablet))["state"] == (await state(keeper))["state"] == "signed_in"


async def test_a_wrong_passphrase_and_an_unknown_name_are_told_alike(household: Any, keeper: httpx.AsyncClient) -> None:
    wrong = await household.caller().post("/api/sign-in", json=household.person(passphrase="nine koi at dawn"))
    unknown = await household.caller().post("/api/sign-in", json=household.person(name="Bo"))
    assert problem(wrong) == problem(unknown) == (401, "not_recognised")
    assert wrong.content == unknown.content and wrong.headers.keys() == unknown.headers.keys()
    assert "set-cookie" not in wrong.headers


async def test_an_unknown_name_takes_as_long_as_a_wrong_passphrase(household: Any) -> None:
    assert (await household.begin(household.caller())).status_code == 200

    async def seconds(name: str) -> float:
        household.later(minutes=5)
        began = time.perf_counter()
        told = household.person(name=name, passphrase="nine koi at dawn")
        assert (await household.caller().post("/api/sign-in", json=told)).status_code == 401
        return time.perf_counter() - began

    pairs = [(await seconds("Aki"), await seconds("Bo")) for _ in range(4)]
    known, unknown = (statistics.median(times) for times in zip(*pairs, strict=True))
    # A look-up alone would be some fifty times quicker than a hash; a busy machine makes factors of two.
    assert 1 / 3 < unknown / known < 3


async def test_the_cookie_is_for_this_server_alone(household: Any) -> None:
    for base_url, secure in (("http://localhost", False), ("https://localhost", True)):
        answer = await household.begin(household.caller(base_url))
        if answer.status_code == 409:
            answer = await household.caller(base_url).post("/api/sign-in", json=household.person())
        cookie = answer.headers["set-cookie"]
        name, _, value = cookie.split(";")[0].partition("=")
        assert name == "evenwater_session" and re.fullmatch(r"[\w-]{43}", value)
        attributes = {part.strip().lower() for part in cookie.split(";")[1:]}
        assert {"httponly", "samesite=lax", "path=/", "max-age=7776000"} <= attributes
        assert ("secure" in attributes) is secure
        assert not any(part.startswith("domain") for part in attributes)


async def test_a_session_prepared_by_somebody_else_is_not_taken_over(household: Any, keeper: httpx.AsyncClient) -> None:
    planted = "planted-by-somebody-else-0123456789abcdefghi"
    victim = household.caller(Cookie=f"evenwater_session={planted}")
    answer = await victim.post("/api/sign-in", json=household.person(device=OTHER_DEVICE))
    assert answer.status_code == 200
    assert planted not in answer.headers["set-cookie"]
    thief = household.caller(Cookie=f"evenwater_session={planted}")
    assert problem(await thief.get("/api/devices")) == (401, "sign_in")


async def test_signing_in_over_a_session_ends_it(household: Any, keeper: httpx.AsyncClient) -> None:
    before = keeper.cookies["evenwater_session"]
    assert (await keeper.post("/api/sign-in", json=household.person(device=OTHER_DEVICE))).status_code == 200
    assert keeper.cookies["evenwater_session"] != before
    copy = household.caller(Cookie=f"evenwater_session={before}")
    assert problem(await copy.get("/api/devices")) == (401, "sign_in")


async def test_a_device_label_cannot_break_out_of_the_list(household: Any) -> None:
    caller = household.caller()
    label = "phone\r\nSet-Cookie: a=b\x1b[2J\u202e"
    assert (await household.begin(caller, device_label=label)).status_code == 200
    (device,) = (await caller.get("/api/devices")).json()
    assert device["label"] == "phone Set-Cookie: a=b [2J"


async def test_neither_token_nor_passphrase_is_in_the_file(household: Any, keeper: httpx.AsyncClient) -> None:
    token = keeper.cookies["evenwater_session"]
    for file in household.settings.data.iterdir():
        content = file.read_bytes()
        assert token.encode() not in content and b"eight koi in the dusk" not in content
    file = sqlite3.connect(household.settings.database)
    (kept,) = file.execute("SELECT passphrase_hash FROM person").fetchone()
    file.close()
    assert kept.startswith("$argon2id$")


# --- guessing


async def test_the_log_says_who_came_in_and_that_somebody_was_refused_and_nothing_that_opens(
    household: Any, keeper: httpx.AsyncClient, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level("INFO", "evenwater.web")
    for told in ({"device_label": "phone\nforged: line"}, {"name": "Mistake", "passphrase": "the wrong passphrase"}):
        await household.caller().post("/api/sign-in", json=household.person(**told))
    came, refused = (one.getMessage() for one in caplog.records if one.name == "evenwater.web")
    assert came == "Aki signed in on phone forged: line"
    assert refused.startswith("a sign-in from ") and "refused" in refused
    assert not any(secret in caplog.text for secret in ("Mistake", "wrong passphrase", "eight koi"))


async def guess(household: Any, name: str, peer: str, **more: Any) -> httpx.Response:
    told = household.person(name=name, passphrase="nine koi at dawn", device=OTHER_DEVICE) | more
    return await household.caller(peer=peer).post("/api/sign-in", json=told)


@pytest.mark.parametrize("name", ["Aki", "Nobody"])
async def test_a_name_guessed_at_from_many_addresses_is_slowed_down(
    household: Any, keeper: httpx.AsyncClient, name: str
) -> None:
    spellings = [name, name.upper(), f" {name} ", name.lower()]
    codes = [(await guess(household, spellings[n % 4], f"10.0.0.{n}")).status_code for n in range(11)]
    assert codes == [401] * 10 + [429]


async def test_strangers_who_guess_keep_neither_keeper_nor_phone_out(household: Any, keeper: httpx.AsyncClient) -> None:
    for n in range(10):
        await guess(household, "Aki", f"10.0.0.{n}")
    right = {"passphrase": "eight koi in the dusk"}
    answer = await guess(household, "Aki", "10.0.0.99", **right)
    assert problem(answer) == (429, "slow_down") and int(answer.headers["retry-after"]) in range(1, 61)
    assert (await keeper.get("/api/devices")).status_code == 200
    own_phone = household.caller(peer="192.168.1.7")
    assert (await own_phone.post("/api/sign-in", json=household.person())).status_code == 200
    household.later(seconds=61)
    assert (await guess(household, "Aki", "10.0.0.99", **right)).status_code == 200


async def test_a_body_of_megabytes_is_refused(household: Any) -> None:
    answer = await household.caller().post("/api/sign-in", json=household.person(passphrase="x" * 1_000_000))
    assert problem(answer) == (413, "too_large")


# --- the example


@pytest.mark.parametrize("base_url", ["http://localhost:8420", "http://127.0.0.1:8420", "http://[::1]:8420"])
@pytest.mark.parametrize("peer", ["127.0.0.1", "::1", "::ffff:127.0.0.1"])
async def test_the_example_opens_with_one_tap_at_its_own_screen(make_household: Any, base_url: str, peer: str) -> None:
    household = await make_household(example=True)
    await household.begin(household.caller())
    caller = household.caller(base_url, peer)
    assert (await state(caller))["example"] is True
    answer = await caller.post("/api/sign-in/example", json={"device": OTHER_DEVICE, "device_label": "here"})
    assert answer.status_code == 200
    assert (await state(caller))["state"] == "signed_in"


@pytest.mark.parametrize("elsewhere", FROM_ELSEWHERE)
async def test_the_example_does_not_open_with_one_tap_from_elsewhere(
    make_household: Any, elsewhere: dict[str, str]
) -> None:
    household = await make_household(example=True, public_names=("teich.example",))
    await household.begin(household.caller())
    caller = household.caller(**elsewhere)
    assert (await state(caller))["example"] is False
    answer = await caller.post("/api/sign-in/example", json={"device": OTHER_DEVICE})
    assert problem(answer) == (403, "no_example")


@pytest.mark.parametrize("settings", [{"example": False}, {"example": True, "trusted_proxies": ("127.0.0.1",)}])
async def test_one_tap_opens_no_real_pond_and_nothing_behind_a_proxy(
    make_household: Any, settings: dict[str, Any]
) -> None:
    household = await make_household(one_time_code=CODE, **settings)
    await household.begin(household.caller(), code=CODE)
    answer = await household.caller().post("/api/sign-in/example", json={"device": OTHER_DEVICE})
    assert problem(answer) == (403, "no_example")


# --- out again


async def test_signing_out_ends_the_session_on_the_server_too(household: Any, keeper: httpx.AsyncClient) -> None:
    token = keeper.cookies["evenwater_session"]
    answer = await keeper.post("/api/sign-out")
    assert answer.status_code == 204 and "Max-Age=0" in answer.headers["set-cookie"]
    assert "evenwater_session" not in keeper.cookies
    copy = household.caller(Cookie=f"evenwater_session={token}")
    assert problem(await copy.get("/api/devices")) == (401, "sign_in")


async def test_a_removed_device_is_out_at_its_next_call(household: Any, keeper: httpx.AsyncClient) -> None:
    tablet = household.caller(peer="192.168.1.8")
    await tablet.post("/api/sign-in", json=household.person(device=OTHER_DEVICE, device_label="tablet"))
    listed = (await keeper.get("/api/devices")).json()
    assert {(one["label"], one["this"]) for one in listed} == {("Aki's phone", True), ("tablet", False)}
    assert all("token" not in key for one in listed for key in one)
    (tablets,) = (one["id"] for one in listed if one["label"] == "tablet")
    assert (await keeper.delete(f"/api/devices/{tablets}")).status_code == 204
    assert problem(await tablet.get("/api/devices")) == (401, "sign_in")
    assert problem(await keeper.delete(f"/api/devices/{tablets}")) == (404, "not_found")
    assert len((await keeper.get("/api/devices")).json()) == 1


async def test_a_session_and_its_cookie_live_on_while_they_are_used(household: Any, keeper: httpx.AsyncClient) -> None:
    assert "set-cookie" not in (await keeper.get("/api/devices")).headers
    token = keeper.cookies["evenwater_session"]
    for _ in range(3):
        household.later(days=80)
        answer = await keeper.get("/api/devices")
        assert answer.status_code == 200
        assert answer.headers["set-cookie"].startswith(f"evenwater_session={token};")
        assert "Max-Age=7776000" in answer.headers["set-cookie"]
    household.later(days=90)
    copy = household.caller(Cookie=f"evenwater_session={token}")
    assert problem(await copy.get("/api/devices")) == (401, "sign_in")


async def test_signing_out_after_an_hour_leaves_no_cookie_behind(household: Any, keeper: httpx.AsyncClient) -> None:
    household.later(hours=2)
    answer = await keeper.post("/api/sign-out")
    (cookie,) = answer.headers.get_list("set-cookie")
    assert "Max-Age=0" in cookie
