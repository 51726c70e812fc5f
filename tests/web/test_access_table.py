"""Who gets what from every route there is. A route without a row here fails, and so does a row without its route."""

from datetime import UTC, datetime
from typing import Any

import httpx
import pytest
from litestar.routes import HTTPRoute

from evenwater.web.headers import CONTENT_POLICY
from evenwater.web.security import OPEN

OTHER_DEVICE = "0b4d2c1e-6f5b-4c3d-8e9f-001122334455"
WHO = ("nobody", "keeper", "removed device")
SIGN_IN = {"name": "Aki", "passphrase": "eight koi in the dusk", "device": OTHER_DEVICE}
SYNC = {
    "device": OTHER_DEVICE,
    "device_now": datetime(2026, 11, 25, 17, tzinfo=UTC).isoformat(),
    "app_version": "test",
    "epoch": None,
    "cursor": 0,
    "entries": [],
    "want_plan": False,
}
SAMPLE = {"series": "water_c", "at": "2026-11-25T17:00:00Z", "value": 14.2}
PROBE_KEY = {"pond": "main", "series": ["water_c"], "label": "Logger"}
OXYGEN = {"temperature_c": 20, "salinity_g_per_l": 0, "altitude_m": 0}

# (method, route): (path, what is sent), then the status for nobody, for a keeper, for a device that was removed.
TABLE: dict[tuple[str, str], tuple[str, dict[str, Any], tuple[int, int, int]]] = {
    ("GET", "/health"): ("/health", {}, (200, 200, 200)),
    ("GET", "/"): ("/", {}, (200, 200, 200)),
    ("GET", "/{path}"): ("/round", {}, (200, 200, 200)),
    ("GET", "/schema/openapi.json"): ("/schema/openapi.json", {}, (200, 200, 200)),
    ("GET", "/schema"): ("/schema", {}, (404, 404, 404)),
    ("GET", "/schema/{path}"): ("/schema/swagger", {}, (404, 404, 404)),
    ("GET", "/api/start"): ("/api/start", {}, (200, 200, 200)),
    ("POST", "/api/people/first"): ("/api/people/first", {"json": SIGN_IN}, (409, 409, 409)),
    ("POST", "/api/sign-in"): ("/api/sign-in", {"json": SIGN_IN}, (200, 200, 200)),
    ("POST", "/api/sign-in/example"): ("/api/sign-in/example", {"json": {"device": OTHER_DEVICE}}, (403, 403, 403)),
    ("POST", "/api/sign-out"): ("/api/sign-out", {}, (401, 204, 401)),
    ("GET", "/api/devices"): ("/api/devices", {}, (401, 200, 401)),
    ("DELETE", "/api/devices/{session_id}"): ("/api/devices/none", {}, (401, 404, 401)),
    ("POST", "/api/sync"): ("/api/sync", {"json": SYNC}, (401, 200, 401)),
    ("GET", "/api/past"): ("/api/past", {}, (401, 200, 401)),
    ("GET", "/api/past/export.csv"): ("/api/past/export.csv", {}, (401, 200, 401)),
    ("GET", "/api/past/export.json"): ("/api/past/export.json", {}, (401, 200, 401)),
    ("POST", "/api/past/preview"): ("/api/past/preview", {"content": b"Date;KH"}, (401, 400, 401)),
    ("POST", "/api/past/keep"): ("/api/past/keep", {"content": b"Date;KH"}, (401, 400, 401)),
    ("POST", "/api/past/take-back"): ("/api/past/take-back", {"json": {"import_id": "none"}}, (401, 404, 401)),
    ("POST", "/api/probe"): ("/api/probe", {"json": SAMPLE}, (401, 401, 401)),
    ("GET", "/api/probe-keys"): ("/api/probe-keys", {}, (401, 200, 401)),
    ("POST", "/api/probe-keys"): ("/api/probe-keys", {"json": PROBE_KEY}, (401, 400, 401)),
    ("DELETE", "/api/probe-keys/{key_id}"): ("/api/probe-keys/none", {}, (401, 404, 401)),
    ("POST", "/api/samples/csv"): ("/api/samples/csv", {"content": b"at,air_c"}, (401, 400, 401)),
    ("PUT", "/api/photos/{photo_sum}"): (f"/api/photos/{'a' * 64}", {"content": b"no picture"}, (401, 400, 401)),
    ("GET", "/api/photos/{photo_sum}"): (f"/api/photos/{'a' * 64}", {}, (401, 404, 401)),
    ("GET", "/api/photos/{photo_sum}/small"): (f"/api/photos/{'a' * 64}/small", {}, (401, 404, 401)),
    ("POST", "/api/photos/lacking"): ("/api/photos/lacking", {"json": {"sums": []}}, (401, 200, 401)),
    ("GET", "/api/reckon"): ("/api/reckon", {}, (200, 200, 200)),
    ("POST", "/api/reckon/{name}"): ("/api/reckon/oxygen-saturation", {"json": OXYGEN}, (200, 200, 200)),
    ("GET", "/print"): ("/print", {}, (200, 200, 200)),
    ("GET", "/trust"): ("/trust", {}, (200, 200, 200)),
    ("GET", "/trust/authority.crt"): ("/trust/authority.crt", {}, (200, 200, 200)),
    ("POST", "/print"): ("/print", {"data": {k: SIGN_IN[k] for k in ("name", "passphrase")}}, (303, 303, 303)),
}


@pytest.fixture
async def household(make_household: Any) -> Any:
    return await make_household(https=True)  # with every route there can be


@pytest.fixture
async def callers(household: Any, keeper: httpx.AsyncClient) -> dict[str, httpx.AsyncClient]:
    removed = household.caller()
    assert (await removed.post("/api/sign-in", json=SIGN_IN)).status_code == 200
    (device,) = [one for one in (await removed.get("/api/devices")).json() if one["this"]]
    assert (await keeper.delete(f"/api/devices/{device['id']}")).status_code == 204
    return dict(zip(WHO, (household.caller(), keeper, removed), strict=True))


async def test_every_route_has_its_row_and_every_row_its_route(household: Any) -> None:
    routes = {
        (method, route.path_format)
        for route in household.app.routes
        if isinstance(route, HTTPRoute)
        for method in route.methods
        if method != "OPTIONS"
    }
    assert routes == set(TABLE)
    assert all(isinstance(route, HTTPRoute) for route in household.app.routes)


@pytest.mark.parametrize("who", WHO)
@pytest.mark.parametrize("route", TABLE, ids=" ".join)
async def test_a_route_answers_as_its_row_says(
    callers: dict[str, httpx.AsyncClient], route: tuple[str, str], who: str
) -> None:
    path, sent, statuses = TABLE[route]
    answer = await callers[who].request(route[0], path, **sent)
    assert answer.status_code == statuses[WHO.index(who)]
    assert answer.headers["content-security-policy"].startswith(CONTENT_POLICY)
    if answer.status_code >= 400:
        assert set(answer.json()) == {"code", "what", "where", "right"}


def test_what_is_open_by_the_table_is_what_is_open_in_the_code() -> None:
    open_to_all = {route for route, (_, _, statuses) in TABLE.items() if statuses[0] not in (401, 404)}
    assert open_to_all == OPEN


async def test_other_methods_open_nothing_to_nobody(household: Any) -> None:
    nobody = household.caller()
    for path, _, _ in TABLE.values():
        for method in ("OPTIONS", "HEAD", "TRACE"):
            answer = await nobody.request(method, path)
            assert answer.status_code in (401, 404, 405), (method, path)


async def test_the_printable_round_shows_nobody_anything_of_the_pond(callers: dict[str, httpx.AsyncClient]) -> None:
    nobody, keeper, removed = [(await callers[who].get("/print")).text for who in WHO]
    assert nobody == removed and "type=password" in nobody
    assert keeper != nobody
