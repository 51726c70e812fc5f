"""A logger sends samples with its key: each counts once, what is wrong is named, and the key opens nothing else."""

import asyncio
from collections.abc import AsyncIterator
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
import msgspec
import pytest
from kept_log import settle_pond

from evenwater.storage.samples import hourly_of_pond, measured_between

START = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


class Logger:
    """A device with a key, and no cookie or Origin."""

    def __init__(self, client: httpx.AsyncClient, token: str) -> None:
        self.client, self.token = client, token

    async def post(self, content: bytes, media_type: str = "application/json", **headers: str) -> httpx.Response:
        own = {"Authorization": f"Bearer {self.token}", "Content-Type": media_type}
        return await self.client.post("/api/probe", content=content, headers=own | headers)

    async def send(self, *samples: Any) -> dict[str, Any]:
        answer = await self.post(msgspec.json.encode({"samples": samples}))
        assert answer.status_code == 200, answer.text
        return answer.json()


def sample(minutes: float = 0, value: float = 14.2, series: str = "water_c") -> dict[str, Any]:
    return {"series": series, "at": (START + timedelta(minutes=minutes)).isoformat(), "value": value}


@pytest.fixture
async def database(household: Any) -> Any:
    for first, pond in ((100, "main"), (200, "other")):
        await settle_pond(household.database, pond, first, zone="Europe/Berlin")
    return household.database


@pytest.fixture
def app(household: Any) -> Any:
    return household.app


async def make(keeper: httpx.AsyncClient, *series: str, pond: str = "main") -> dict[str, Any]:
    asked = {"pond": pond, "series": series or ("water_c", "air_c"), "label": "Logger in the shed"}
    answer = await keeper.post("/api/probe-keys", json=asked)
    assert answer.status_code == 201, answer.text
    return answer.json()


@pytest.fixture
async def logger(database: Any, keeper: httpx.AsyncClient, app: Any) -> AsyncIterator[Logger]:
    async with httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://localhost") as client:
        yield Logger(client, (await make(keeper))["token"])


async def water(database: Any) -> list[tuple[datetime, float]]:
    found = await measured_between(database, "main/water_c", START - 1000 * HOUR, START + HOUR)
    return [(one.at, one.value) for one in found]


async def test_one_sample_is_kept_for_the_pond_of_the_key(logger, database):
    answer = await logger.post(msgspec.json.encode(sample()))
    assert (answer.status_code, answer.json()) == (
        200,
        {"accepted": 1, "already": 0, "refused_count": 0, "refused": []},
    )
    assert await hourly_of_pond(database, "main", START - HOUR, START + HOUR) == {
        "water_c": [(START.replace(minute=0), 14.2)]
    }


async def test_the_same_again_is_nothing_new_and_another_value_is_refused_alone(logger, database):
    await logger.send(sample(-10, 14.0), sample(0, 14.2))
    told = await logger.send(sample(-10, 14.0), sample(0, 15.0), sample(-5, 14.1))
    assert (told["accepted"], told["already"], told["refused_count"]) == (1, 1, 1)
    assert told["refused"] == [
        {
            "index": 1,
            "code": "other_value",
            "what": "water_c has another value at that time",
            "where": "value",
            "right": "14.2, as it was sent first",
        }
    ]
    assert [value for _, value in await water(database)] == [14.0, 14.1, 14.2]


async def test_each_wrong_sample_says_what_would_be_right_and_costs_no_other(logger, database):
    told = await logger.send(
        sample(0, 99.0),
        sample(series="ph"),
        sample(series="house_c"),
        sample(13),
        sample() | {"at": "2026-11-25T16:30:00"},
        sample() | {"at": "1970-01-01T00:00:00Z"},
        sample() | {"at": "0001-01-01T00:00:00+14:00"},
        sample() | {"at": "9999-12-31T23:59:59-14:00"},
        {"series": "water_c", "value": 14.2},
        sample() | {"value": "14.2"},
        sample() | {"more": 1},
        sample() | {"value": 10**18},
        5,
        sample(-1, 14.1),
    )
    assert (told["accepted"], told["refused_count"]) == (1, 13)
    assert [one["index"] for one in told["refused"]] == list(range(13))
    assert [one["code"] for one in told["refused"]] == [
        *("out_of_range", "not_one_of", "not_one_of", "contradiction", "missing"),
        *("contradiction", "contradiction", "contradiction"),
        *("not_right", "not_right", "not_right", "out_of_range", "not_right"),
    ]
    assert told["refused"][0]["right"] == "-1 to 40 °C"
    assert told["refused"][2]["right"] == "one of air_c, water_c"
    assert all(one["right"] for one in told["refused"])
    assert await water(database) == [(START - timedelta(minutes=1), 14.1)]


async def test_a_probe_that_came_loose_does_not_cost_the_others(logger):
    body = b'{"samples": [%s, {"series": "air_c", "at": "2026-11-25T16:30:00Z", "value": NaN}]}'
    answer = await logger.post(body % msgspec.json.encode(sample()))
    assert (answer.status_code, answer.json()["accepted"]) == (200, 1)
    assert answer.json()["refused"][0]["code"] == "out_of_range"


async def test_a_table_is_taken_as_well_and_its_lines_are_named(logger):
    text = "at,water_c,air_c\n2026-11-25T16:30:00Z,14.2,6.1\n2026-11-25T16:20:00Z,99,\n2026-11-25 16:10,14,6\n"
    answer = await logger.post(text.encode(), "text/csv; charset=utf-8")
    told = answer.json()
    assert (answer.status_code, told["accepted"], told["refused_count"]) == (200, 2, 2)
    assert [(one["index"], one["code"]) for one in told["refused"]] == [(3, "out_of_range"), (4, "missing")]


async def test_a_logger_that_names_no_media_type_or_a_forms_is_understood(logger):
    for media_type in ("application/x-www-form-urlencoded", "text/plain", ""):
        assert (await logger.post(msgspec.json.encode(sample()), media_type)).status_code == 200


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"[]", b"5", b"null", b'{"samples": 5}', b'{"samples": {}}', b"\xff", b"[" * 30_000, b'"\\ud800"'],
)
async def test_what_is_no_call_is_told_so_in_the_one_shape(logger, body):
    answer = await logger.post(body)
    assert answer.status_code == 400
    assert set(answer.json()) == {"code", "what", "where", "right"}


async def test_a_key_is_for_its_own_series_and_pond(keeper, logger, database):
    logger.token = (await make(keeper, "air_c", pond="other"))["token"]
    told = await logger.send(sample(), sample(series="air_c"))
    assert told["refused"][0]["right"] == "one of air_c"
    assert await hourly_of_pond(database, "main", START - HOUR, START + HOUR) == {}
    assert set(await hourly_of_pond(database, "other", START - HOUR, START + HOUR)) == {"air_c"}


WRONG = {
    "none": {},
    "empty": {"Authorization": "Bearer "},
    "another scheme": {"Authorization": "Basic TOKEN"},
    "no scheme": {"Authorization": "TOKEN"},
    "one letter off": {"Authorization": "Bearer TOKENx"},
    "very long": {"Authorization": "Bearer TOKEN" + "x" * 5000},
    "as a cookie": {"Cookie": "evenwater_session=TOKEN"},
}


@pytest.mark.parametrize("headers", WRONG.values(), ids=WRONG)
async def test_without_the_right_key_nothing_is_taken(logger, database, headers):
    sent = {name: value.replace("TOKEN", logger.token) for name, value in headers.items()}
    answer = await logger.client.post("/api/probe", json=sample(), headers=sent | {"Origin": "http://localhost"})
    assert (answer.status_code, answer.json()["code"]) == (401, "probe_key")
    assert answer.headers["www-authenticate"] == "Bearer"
    assert await water(database) == []


async def test_two_keys_in_one_call_are_none(logger):
    headers = [("Authorization", f"Bearer {logger.token}")] * 2
    assert (await logger.client.post("/api/probe", json=sample(), headers=headers)).status_code == 401


async def test_a_session_opens_no_probe(keeper, database):
    assert (await keeper.post("/api/probe", json=sample())).status_code == 401
    assert await water(database) == []


async def test_a_key_opens_nothing_but_the_probe(logger, keeper):
    headers = {"Authorization": f"Bearer {logger.token}"}
    for method, path in [
        *(("GET", path) for path in ("/api/probe-keys", "/api/devices", "/api/past/export.json", "/api/past")),
        *(("POST", path) for path in ("/api/probe-keys", "/api/sync", "/api/samples/csv", "/api/past/keep")),
        ("DELETE", "/api/probe-keys/any"),
    ]:
        answer = await logger.client.request(method, path, headers=headers)
        assert (answer.status_code, answer.json()["code"]) == (401, "sign_in"), path


async def test_a_revoked_key_is_refused_at_once_and_what_it_sent_stays(logger, keeper, database):
    await logger.send(sample())
    (listed,) = (await keeper.get("/api/probe-keys")).json()
    assert (await keeper.delete(f"/api/probe-keys/{listed['id']}")).status_code == 204
    assert (await logger.post(msgspec.json.encode(sample(-1)))).status_code == 401
    assert len(await water(database)) == 1


async def test_what_is_too_large_is_refused(logger, database):
    at_most = 64_000 // 80
    samples = [sample(-n) for n in range(at_most)]
    body = msgspec.json.encode({"samples": samples})
    assert (await logger.post(body.ljust(64_000))).json()["accepted"] == at_most
    answer = await logger.post(body.ljust(64_001))
    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")


async def test_a_flood_of_a_key_is_slowed_down_and_other_keys_are_not(logger, keeper, household):
    other = Logger(logger.client, (await make(keeper))["token"])
    answers = [(await logger.post(msgspec.json.encode(sample()))).status_code for _ in range(61)]
    assert answers == [200] * 60 + [429]
    slowed = await logger.post(b"x" * 100_000)
    assert (slowed.status_code, slowed.headers["retry-after"]) == (429, "1")
    await other.send(sample())
    household.later(seconds=1)
    await logger.send(sample())


async def test_wrong_keys_are_slowed_down_by_address_and_hold_up_no_right_one(logger, app):
    right, logger.token = logger.token, "evenwater_0000_wrong"
    answers = [(await logger.post(b"{}")).status_code for _ in range(22)]
    assert answers == [401] * 20 + [429] * 2
    logger.token = right
    await logger.send(sample())
    elsewhere = httpx.ASGITransport(app, client=("192.168.1.77", 40_000))
    async with httpx.AsyncClient(transport=elsewhere, base_url="http://localhost") as client:
        assert (await Logger(client, "evenwater_0000_wrong").post(b"{}")).status_code == 401


async def test_the_host_must_be_one_of_ours(logger):
    answer = await logger.post(msgspec.json.encode(sample()), Host="evil.example")
    assert (answer.status_code, answer.json()["code"]) == (400, "unknown_host")


async def test_calls_at_the_same_moment_keep_each_sample_once(logger, database):
    batch = [sample(-n, float(n % 30)) for n in range(200)]
    told = await asyncio.gather(*(logger.send(*batch[start:]) for start in (0, 50, 100, 0)))
    assert sum(one["accepted"] for one in told) == 200
    assert all(one["refused_count"] == 0 for one in told)
    assert len(await water(database)) == 200
