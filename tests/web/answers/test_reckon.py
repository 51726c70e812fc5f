"""The calculators over HTTP, asked by somebody who is not signed in."""

import asyncio
import json
import threading
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import httpx
import msgspec
import pytest
from litestar import Litestar
from msgspec import Struct

from evenwater.domain.reckon import CALCULATORS
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.workings import Workings
from evenwater.web.answers.reckon import BURST, LIMIT_S, MAX_BODY, reckon_routes
from evenwater.web.errors import HANDLERS

EXAMPLES = {name: msgspec.to_builtins(one.example) for name, one in CALCULATORS.items()}
POND = EXAMPLES["buffer-dose"]


Ask = Callable[..., httpx.AsyncClient]


def asking(app: Litestar, address: str) -> httpx.AsyncClient:
    transport = httpx.ASGITransport(app, client=(address, 50_000))  # type: ignore[arg-type]
    return httpx.AsyncClient(transport=transport, base_url="http://localhost")


@pytest.fixture
def peer(app: Litestar) -> Ask:
    """A client without sign-in, by address; all of them ask one application."""
    return lambda address="192.0.2.1": asking(app, address)


async def refusal(client: httpx.AsyncClient, name: str, status: int, **sent: Any) -> dict[str, str]:
    answer = await client.post(f"/api/reckon/{name}", **sent)
    assert answer.status_code == status, answer.text
    problem = answer.json()
    assert list(problem) == ["code", "what", "where", "right"]
    assert all(isinstance(one, str) for one in problem.values())
    assert problem["code"] and problem["what"] and problem["right"]
    return problem


async def test_the_list_names_each_calculator_with_schemas_that_stand_alone(peer):
    async with peer() as client:
        listed = (await client.get("/api/reckon")).json()
    assert [one["name"] for one in listed] == list(CALCULATORS)
    assert "$ref" not in json.dumps(listed)
    kh = listed[0]["input"]["properties"]["kh_now_dkh"]
    assert (kh["minimum"], kh["maximum"]) == (0.0, 25.0)
    assert {one["name"]: list(one["output"]["properties"]) for one in listed} == {
        "buffer-dose": ["dose_g", "capfuls", "kh_after_dkh"],
        "unionised-ammonia": ["nh3_fraction", "nh3_n_mg_per_l", "nh3_mg_per_l"],
        "oxygen-saturation": ["oxygen_mg_per_l"],
        "blend": ["kh_dkh", "gh_dgh", "ec25_us_per_cm"],
        "flow-through": ["value_mg_per_l", "steady_mg_per_l", "exhausted_after_days"],
        "conductivity-25": ["ec25_us_per_cm"],
        "carbon-contact": ["contact_min", "bed_volumes"],
        "carbonate-balance": ["ph", "co2_mg_per_l", "pco2_atm"],
        "ammonia-limit": [
            "chronic_tan_mg_n_per_l",
            "acute_tan_mg_n_per_l",
            "nh3_limit_tan_mg_n_per_l",
            "governs",
        ],
        "nitrification-demand": [
            "tan_g_per_day",
            "alkalinity_g_caco3_per_day",
            "bicarbonate_g_per_day",
            "oxygen_g_per_day",
        ],
        "salt-for-salinity": ["salt_g"],
        "volume-by-salt": ["volume_l", "volume_sd_l"],
        "basin-volume": ["volume_l", "volume_sd_l"],
        "label-dose": ["amount", "amount_low", "amount_high"],
        "nitrite-chloride": ["ratio", "salt_mg_per_l"],
        "heat-energy": ["energy_kwh"],
        "wall-u-value": ["u_w_per_m2_k"],
        "overnight-drop": ["end_c", "drop_c", "time_constant_h"],
        "surface-loss": ["evaporation_w_per_m2", "convection_w_per_m2", "longwave_w_per_m2"],
        "running-cost": ["energy_kwh", "cost", "by_window"],
        "dew-point": ["dew_point_c"],
        "condensation": ["surface_c", "dew_point_c", "condenses"],
        "season-step": ["settings"],
    }


@pytest.mark.parametrize("name", CALCULATORS)
async def test_each_listed_example_is_answered_with_result_workings_and_source(peer, name):
    async with peer() as client:
        answer = await client.post(f"/api/reckon/{name}", json=EXAMPLES[name])
    assert answer.status_code == 200
    assert list(answer.json()) == ["result", "workings", "source"]
    assert list(answer.json()["workings"]) == ["title", "inputs", "steps", "result", "source", "warnings"]
    assert all(list(one) == ["name", "value", "unit", "from"] for one in answer.json()["workings"]["inputs"])


async def test_whole_numbers_are_numbers_too(peer):
    async with peer() as client:
        answer = await client.post("/api/reckon/buffer-dose", json=POND | {"volume_l": 20000, "capful_g": 27})
    assert answer.json()["result"]["capfuls"] == 22.5


@pytest.mark.parametrize(
    ("change", "where", "right"),
    [
        ({"kh_now_dkh": -1}, "kh_now_dkh", "0 to 25. "),
        ({"kh_now_dkh": 400}, "kh_now_dkh", "0 to 25. "),
        ({"volume_l": "20000"}, "volume_l", "1 to 1000000. "),
        ({"volume_l": None}, "volume_l", "1 to 1000000. "),
        ({"volume_l": True}, "volume_l", "1 to 1000000. "),
        ({"volume_l": [1]}, "volume_l", "1 to 1000000. "),
        ({"substance": "table_salt"}, "substance", "One of potassium_bicarbonate, sodium_bicarbonate. "),
        ({"volume_m3": 20}, "volume_m3", "an object with the fields volume_l, "),
    ],
)
async def test_a_wrong_field_is_named_with_what_would_be_right(peer, change, where, right):
    async with peer() as client:
        problem = await refusal(client, "buffer-dose", 400, json=POND | change)
    assert (problem["code"], problem["where"]) == ("not_right", where)
    assert problem["right"].startswith(right)


async def test_a_missing_field_is_named(peer):
    without = {name: value for name, value in POND.items() if name != "purity_fraction"}
    async with peer() as client:
        problem = await refusal(client, "buffer-dose", 400, json=without)
    assert problem["where"] == "purity_fraction"
    assert problem["right"].startswith("0.5 to 1. ")


TAP, SOFT = EXAMPLES["blend"]["waters"]
WATER = "an object with the fields fraction, kh_dkh, gh_dgh, ec25_us_per_cm"


@pytest.mark.parametrize(
    ("waters", "where", "right"),
    [
        ([], "waters", "1 to 100 of them. The waters; "),
        ([TAP] * 101, "waters", "1 to 100 of them. The waters; "),
        (TAP, "waters", "1 to 100 of them. The waters; "),
        ([TAP, None], "waters[1]", WATER),
        ([TAP, SOFT | {"fraction": -0.7}], "waters[1].fraction", "0 to 1. Its share"),
        ([TAP, SOFT | {"kh_dkh": "NaN"}], "waters[1].kh_dkh", "0 to 25. Carbonate hardness"),
        ([TAP, {name: value for name, value in SOFT.items() if name != "gh_dgh"}], "waters[1].gh_dgh", "0 to 60. "),
        ([TAP | {"ph": 7.0}, SOFT], "waters[0].ph", WATER),
    ],
)
async def test_a_wrong_field_of_one_water_of_a_blend_is_named_too(peer, waters, where, right):
    async with peer() as client:
        problem = await refusal(client, "blend", 400, json={"waters": waters})
    assert (problem["code"], problem["where"]) == ("not_right", where)
    assert problem["right"].startswith(right)


async def test_fractions_that_do_not_make_a_whole_are_refused_with_their_sum(peer):
    async with peer() as client:
        problem = await refusal(client, "blend", 400, json={"waters": [TAP | {"fraction": 0.2}, SOFT]})
    assert (problem["code"], problem["where"]) == ("contradiction", "waters")
    assert (problem["what"], problem["right"]) == ("the fractions add up to 0.9", "fractions that add up to 1")


@pytest.mark.parametrize("name", CALCULATORS)
@pytest.mark.parametrize("wrong", ["NaN", "", -1e300, 1e300, None, True, {}, []])
async def test_each_first_field_of_each_calculator_refuses_what_is_no_such_number(peer, name, wrong):
    field = next(iter(EXAMPLES[name]))
    async with peer() as client:
        problem = await refusal(client, name, 400, json=EXAMPLES[name] | {field: wrong})
        absent = {key: value for key, value in EXAMPLES[name].items() if key != field}
        missing = await refusal(client, name, 400, json=absent)
        unknown = await refusal(client, name, 400, json=EXAMPLES[name] | {"colour": "green"})
    assert problem["where"] == missing["where"] == field
    assert problem["right"] == missing["right"]
    assert " to " in problem["right"]
    assert unknown["where"] == "colour"
    assert unknown["right"].startswith("an object with the fields ")


async def test_nan_is_no_json_and_that_is_said(peer):
    async with peer() as client:
        problem = await refusal(client, "blend", 400, content=b'{"waters":[{"fraction":NaN}]}')
    assert (problem["code"], problem["where"]) == ("malformed", "$")
    assert "no NaN" in problem["right"]


@pytest.mark.parametrize(
    ("body", "code"),
    [
        (b"", "malformed"),
        (b"{", "malformed"),
        (b"volume_l=1", "malformed"),
        (b'{"volume_l":NaN}', "malformed"),
        (b'{"volume_l":-Infinity}', "malformed"),
        (b'{"volume_l":1e999}', "not_right"),
        (b'{"substance":"\xff"}', "malformed"),
        (b"[]", "not_right"),
        (b"null", "not_right"),
        (b"[" * 60_000, "not_right"),
    ],
)
async def test_a_body_that_is_no_such_object_is_refused_and_not_a_fault(peer, body, code):
    async with peer() as client:
        assert (await refusal(client, "buffer-dose", 400, content=body))["code"] == code


async def test_height_and_pressure_together_are_refused_in_the_same_shape(peer):
    both = EXAMPLES["oxygen-saturation"] | {"pressure_hpa": 1000}
    async with peer() as client:
        problem = await refusal(client, "oxygen-saturation", 400, json=both)
    assert (problem["code"], problem["where"]) == ("contradiction", "pressure_hpa")


async def test_an_unknown_name_is_not_found_and_the_known_are_told(peer):
    async with peer() as client:
        problem = await refusal(client, "moon-phase", 404, json={})
    assert (problem["code"], problem["where"]) == ("not_found", "name")
    assert problem["right"] == "one of " + ", ".join(CALCULATORS)


async def test_a_body_at_the_limit_is_read_and_one_byte_more_is_refused(peer):
    sent = json.dumps(POND).encode()
    async with peer() as client:
        answer = await client.post("/api/reckon/buffer-dose", content=sent.ljust(MAX_BODY))
        assert answer.status_code == 200
        problem = await refusal(client, "buffer-dose", 413, content=sent.ljust(MAX_BODY + 1))
    assert problem["code"] == "too_large"


async def test_one_peer_is_slowed_down_and_another_is_not(peer, clock):
    async with peer("192.0.2.1") as eager, peer("192.0.2.2") as other:
        for _ in range(BURST):
            assert (await eager.get("/api/reckon")).status_code == 200
        answer = await eager.post("/api/reckon/buffer-dose", json=POND)
        assert (answer.status_code, answer.json()["code"]) == (429, "slow_down")
        assert answer.headers["Retry-After"] == "1"
        assert (await other.post("/api/reckon/buffer-dose", json=POND)).status_code == 200
        clock.now += timedelta(seconds=1)
        assert (await eager.post("/api/reckon/buffer-dose", json=POND)).status_code == 200


class Nothing(Struct):
    """No input, no output."""


async def test_what_takes_over_a_second_is_given_up_while_others_are_answered(clock):
    let_go = threading.Event()

    def wait(_: Nothing) -> tuple[Nothing, Workings]:
        let_go.wait(60)
        return Nothing(), Workings(title="", inputs=(), steps=(), result="", source="")

    calculators = CALCULATORS | {"endless": Calculator("endless", "Endless", "", Nothing(), Nothing, wait)}
    app = Litestar([reckon_routes(clock, calculators)], exception_handlers=HANDLERS)
    async with asking(app, "192.0.2.1") as client:
        try:
            endless = asyncio.create_task(refusal(client, "endless", 503, json={}))
            answer = await client.post("/api/reckon/buffer-dose", json=POND)
            assert answer.status_code == 200
            assert not endless.done()
            assert await asyncio.wait_for(endless, LIMIT_S * 10) == {
                "code": "too_slow",
                "what": "endless took more than 1 s",
                "where": "",
                "right": "less at once, or later",
            }
        finally:
            let_go.set()


async def test_the_examples_in_the_openapi_schema_are_what_the_server_answers(peer):
    async with peer() as client:
        paths = (await client.get("/schema/openapi.json")).json()["paths"]
        asked = paths["/api/reckon/{name}"]["post"]
        taken = asked["requestBody"]["content"]["application/json"]["examples"]
        given = asked["responses"]["200"]["content"]["application/json"]["examples"]
        assert list(taken) == list(given) == list(CALCULATORS)
        for name, example in taken.items():
            answer = await client.post(f"/api/reckon/{name}", json=example["value"])
            assert answer.json() == given[name]["value"]
        (line,) = paths["/api/reckon"]["get"]["responses"]["200"]["content"]["application/json"]["examples"].values()
        assert line["value"][0] == (await client.get("/api/reckon")).json()[0]
    assert sorted(asked["responses"]) == ["200", "400", "404", "413", "429", "503"]
    assert len(asked["requestBody"]["content"]["application/json"]["schema"]["oneOf"]) == len(CALCULATORS)
