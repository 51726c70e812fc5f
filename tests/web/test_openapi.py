"""The schema of the API names every route, typed, with examples."""

import msgspec
import pytest

from evenwater.web.exchange.sync_records import SyncRequest
from evenwater.web.exchange.sync_schema import GIVEN

NO_BODY = {"204", "303", "304"}


@pytest.fixture
async def schema(client):
    answer = await client.get("/schema/openapi.json")
    assert answer.status_code == 200
    return answer.json()


def operations(schema):
    for path, item in schema["paths"].items():
        for method, operation in item.items():
            if method in {"get", "post", "put", "patch", "delete"}:
                yield f"{method.upper()} {path}", operation


async def test_every_route_of_the_app_but_the_shell_stands_in_the_schema(app, schema):
    routed = {
        f"{method} {handler.path_template}" if hasattr(handler, "path_template") else f"{method} {route.path_format}"
        for route in app.routes
        for handler in getattr(route, "route_handlers", [])
        for method in getattr(handler, "http_methods", [])
        if method not in {"OPTIONS", "HEAD"} and getattr(handler, "include_in_schema", True)
    }
    told = {name for name, _ in operations(schema)}
    assert {one for one in routed if one.split()[1].startswith(("/api", "/health", "/print"))} <= told


async def test_every_route_says_what_it_is_for_and_what_it_gives(schema):
    for name, operation in operations(schema):
        assert operation.get("summary"), name
        good = {status: one for status, one in operation["responses"].items() if status.startswith(("2", "3"))}
        assert good, name
        for status, response in good.items():
            if status in NO_BODY:
                continue
            for media_type in response["content"].values():
                assert media_type["schema"], name
                assert media_type.get("examples"), f"{name} shows no example of its answer"


async def test_every_body_taken_is_typed_and_shown(schema):
    for name, operation in operations(schema):
        for media_type in operation.get("requestBody", {}).get("content", {}).values():
            assert media_type["schema"], name
            assert media_type.get("examples"), f"{name} shows no example of its body"


async def test_the_entries_of_a_sync_are_told_apart_by_kind(schema):
    body = schema["paths"]["/api/sync"]["post"]["requestBody"]["content"]["application/json"]
    kinds = {one["properties"]["kind"]["enum"][0] for one in body["schema"]["properties"]["entries"]["items"]["anyOf"]}
    first = {"reading", "tick", "dose", "not_done", "look", "note", "set", "take_back"}
    assert kinds == first | {
        *("water_change", "feed", "salt", "service", "start_up", "cover", "air_forecast"),
        *("meter", "change", "water_running", "power", "fish_move", "fish_measure", "fish_seen"),
    }


async def test_the_example_of_a_sync_is_a_call_the_server_takes(phone):
    msgspec.json.decode(msgspec.json.encode(GIVEN), type=SyncRequest)
    sent = {**GIVEN, "device": phone.device}
    sent["entries"] = [{**GIVEN["entries"][0], "device": phone.device, "author": phone.person}]
    answer = await phone.client.post("/api/sync", json=sent)
    assert [one["verdict"] for one in answer.json()["verdicts"]] == ["accepted"]
