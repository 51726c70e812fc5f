"""Who gets what from every route there is. A route without a row here fails, and so does a row without its route.

A new route is one line in `TABLE`: what it answers to nobody, to a keeper and to a helper. Who else asks gets what
nobody gets, unless the row says otherwise (`but`).
"""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
import pytest
from helper_phone import JO, Writes, hand_over, make_link, use_phone
from kept_log import settle_pond
from litestar.routes import HTTPRoute
from push_service import Browser

from evenwater.domain.messages import Message, Outgoing, WayOut
from evenwater.domain.rounds.heard.alarms import Concern
from evenwater.storage.alarms import match_alarms
from evenwater.storage.messages import keep_messages
from evenwater.storage.people import people
from evenwater.web.access.gate import COOKIE
from evenwater.web.access.security import OPEN
from evenwater.web.headers import CONTENT_POLICY

DEVICE = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"  # the keeper's, as `household` makes it
OTHER_DEVICE = "0b4d2c1e-6f5b-4c3d-8e9f-001122334455"
KEEPER, HELPER = "keeper", "helper"
REMOVED, PROBE_KEY, FEED = "removed device", "probe key", "feed token"
UNSUBSCRIBE, ON_IT = "unsubscribe link", "on-it link"
BEFORE, LATE, OTHER_POND = "helper before", "helper after the last day", "helper of another pond"
LONG_OVER, REVOKED, MOVED = "helper a month after", "helper whose link is revoked", "helper whose link moved on"
AS_NOBODY = ("nobody", REMOVED, PROBE_KEY, FEED, UNSUBSCRIBE, ON_IT, LONG_OVER, REVOKED, MOVED)
HELPERS = (HELPER, BEFORE, LATE, OTHER_POND)
WHO = (*AS_NOBODY, *HELPERS, KEEPER)

# What stands in braces in a path only one caller has; everybody else asks with "none" in its place: who -> what.
OWN_WORDS: dict[str, str] = {FEED: "feed", UNSUBSCRIBE: "unsubscribe", ON_IT: "on_it"}

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
NEW_KEY = {"pond": "none", "series": ["water_c"], "label": "Logger"}
SUBSCRIPTION = {"endpoint": "https://push.example/send/1", "keys": Browser().keys}
REACH = {"zone": "Europe/Berlin"}
OXYGEN = {"temperature_c": 20, "salinity_g_per_l": 0, "altitude_m": 0}


@dataclass(frozen=True)
class Row:
    """One route asked: the path, the statuses, what is sent along, and who gets another status than those."""

    path: str
    nobody: int
    keeper: int
    helper: int
    sent: dict[str, Any] = field(default_factory=dict)
    but: dict[str, int] = field(default_factory=dict)

    def status(self, who: str) -> int:
        usual = self.nobody if who in AS_NOBODY else self.keeper if who == KEEPER else self.helper
        return self.but.get(who, usual)


TABLE: dict[tuple[str, str], Row] = {
    ("GET", "/health"): Row("/health", 200, 200, 200),
    ("GET", "/"): Row("/", 200, 200, 200),
    ("GET", "/{path}"): Row("/round", 200, 200, 200),
    ("GET", "/schema/openapi.json"): Row("/schema/openapi.json", 200, 200, 200),
    ("GET", "/schema"): Row("/schema", 404, 404, 404),
    ("GET", "/schema/{path}"): Row("/schema/swagger", 404, 404, 404),
    ("GET", "/api/start"): Row("/api/start", 200, 200, 200),
    ("POST", "/api/people/first"): Row("/api/people/first", 409, 409, 409, {"json": SIGN_IN}),
    ("POST", "/api/sign-in"): Row("/api/sign-in", 200, 200, 200, {"json": SIGN_IN}),
    ("POST", "/api/sign-in/example"): Row("/api/sign-in/example", 403, 403, 403, {"json": {"device": OTHER_DEVICE}}),
    ("POST", "/api/sign-out"): Row("/api/sign-out", 401, 204, 403),
    ("GET", "/api/devices"): Row("/api/devices", 401, 200, 403),
    ("DELETE", "/api/devices/{session_id}"): Row("/api/devices/none", 401, 404, 403),
    ("POST", "/api/sync"): Row("/api/sync", 401, 200, 200, {"json": SYNC}),
    ("GET", "/api/book"): Row("/api/book", 401, 200, 403),
    ("GET", "/api/past"): Row("/api/past", 401, 200, 403),
    ("GET", "/api/past/export.csv"): Row("/api/past/export.csv", 401, 200, 403),
    ("GET", "/api/past/export.json"): Row("/api/past/export.json", 401, 200, 403),
    ("POST", "/api/past/preview"): Row("/api/past/preview", 401, 200, 403, {"content": b"Date;KH"}),
    ("POST", "/api/past/keep"): Row("/api/past/keep", 401, 400, 403, {"content": b"Date;KH"}),
    ("POST", "/api/past/take-back"): Row("/api/past/take-back", 401, 404, 403, {"json": {"import_id": "none"}}),
    ("POST", "/api/probe"): Row("/api/probe", 401, 401, 401, {"json": SAMPLE}, {PROBE_KEY: 200}),
    ("GET", "/api/probe-keys"): Row("/api/probe-keys", 401, 200, 403),
    ("POST", "/api/probe-keys"): Row("/api/probe-keys", 401, 400, 403, {"json": NEW_KEY}),
    ("DELETE", "/api/probe-keys/{key_id}"): Row("/api/probe-keys/none", 401, 404, 403),
    ("POST", "/api/samples/csv"): Row("/api/samples/csv", 401, 200, 403, {"content": b"at,air_c"}),
    ("PUT", "/api/photos/{photo_sum}"): Row(f"/api/photos/{'a' * 64}", 401, 400, 400, {"content": b"no picture"}),
    ("GET", "/api/photos/{photo_sum}"): Row(f"/api/photos/{'a' * 64}", 401, 404, 404),
    ("GET", "/api/photos/{photo_sum}/small"): Row(f"/api/photos/{'a' * 64}/small", 401, 404, 404),
    ("POST", "/api/photos/lacking"): Row("/api/photos/lacking", 401, 200, 200, {"json": {"sums": []}}),
    ("GET", "/api/hand-overs/{hand_over}/report"): Row("/api/hand-overs/none/report", 401, 404, 403),
    ("GET", "/api/reckon"): Row("/api/reckon", 200, 200, 200),
    ("POST", "/api/reckon/{name}"): Row("/api/reckon/oxygen-saturation", 200, 200, 200, {"json": OXYGEN}),
    ("GET", "/season-report"): Row("/season-report?pond=main&first=2026-04-01&last=2026-09-30", 401, 200, 403),
    ("GET", "/year-ring"): Row("/year-ring?pond=main&year=2026", 401, 200, 403),
    ("GET", "/api/season-report/photos"): Row(
        "/api/season-report/photos?pond=main&first=2026-04-01&last=2026-09-30", 401, 200, 403
    ),
    ("GET", "/print"): Row("/print", 200, 200, 200),
    ("GET", "/api/reach/push-key"): Row("/api/reach/push-key", 401, 200, 403),
    ("GET", "/api/reach/push"): Row("/api/reach/push", 401, 200, 403),
    ("POST", "/api/reach/push"): Row("/api/reach/push", 401, 201, 403, {"json": SUBSCRIPTION}),
    ("DELETE", "/api/reach/push"): Row("/api/reach/push", 401, 404, 403),
    ("DELETE", "/api/reach/push/{subscription_id}"): Row("/api/reach/push/none", 401, 404, 403),
    ("GET", "/api/reach/feed"): Row("/api/reach/feed", 401, 200, 403),
    ("POST", "/api/reach/feed"): Row("/api/reach/feed", 401, 201, 403, {"json": {}}),
    ("PUT", "/api/reach/feed"): Row("/api/reach/feed", 401, 200, 403, {"json": {}}),
    ("DELETE", "/api/reach/feed"): Row("/api/reach/feed", 401, 204, 403),
    ("GET", "/feed/{name}"): Row("/feed/{feed}.ics", 404, 404, 404, but={FEED: 200}),
    ("POST", "/api/helper/look"): Row("/api/helper/look", 400, 400, 400, {"json": {"secret": "no"}}),
    ("POST", "/api/helper/bind"): Row("/api/helper/bind", 400, 400, 400, {"json": {"secret": "no"}}),
    ("GET", "/api/hand-overs/{hand_over}/links"): Row("/api/hand-overs/autumn/links", 401, 200, 403),
    ("POST", "/api/hand-overs/{hand_over}/links"): Row(
        "/api/hand-overs/autumn/links", 401, 201, 403, {"json": {"helper": JO}}
    ),
    ("DELETE", "/api/hand-overs/{hand_over}/links/{link_id}"): Row("/api/hand-overs/autumn/links/none", 401, 404, 403),
    ("POST", "/api/hand-overs/{hand_over}/links/{link_id}/allow-move"): Row(
        "/api/hand-overs/autumn/links/none/allow-move", 401, 404, 403
    ),
    ("GET", "/api/reach"): Row("/api/reach", 401, 200, 403),
    ("PUT", "/api/reach"): Row("/api/reach", 401, 200, 403, {"json": REACH}),
    ("POST", "/api/reach/test"): Row("/api/reach/test", 401, 409, 403),
    ("POST", "/api/alarms/{alarm_id}/on-it"): Row("/api/alarms/none/on-it", 401, 404, 403),
    ("GET", "/unsubscribe/{token}"): Row("/unsubscribe/{unsubscribe}", 404, 404, 404, but={UNSUBSCRIBE: 200}),
    ("POST", "/unsubscribe/{token}"): Row("/unsubscribe/{unsubscribe}", 404, 404, 404, but={UNSUBSCRIBE: 200}),
    ("GET", "/on-it/{token}"): Row("/on-it/{on_it}", 404, 404, 404, but={ON_IT: 200}),
    ("POST", "/on-it/{token}"): Row("/on-it/{on_it}", 404, 404, 404, but={ON_IT: 200}),
    ("GET", "/trust"): Row("/trust", 200, 200, 200),
    ("GET", "/trust/authority.crt"): Row("/trust/authority.crt", 200, 200, 200),
    ("POST", "/print"): Row("/print", 303, 303, 303, {"data": {k: SIGN_IN[k] for k in ("name", "passphrase")}}),
}


@pytest.fixture
async def household(make_household: Any) -> Any:
    return await make_household(https=True)  # with every route there can be


@pytest.fixture
async def callers(household: Any, keeper: httpx.AsyncClient) -> dict[str, httpx.AsyncClient]:
    """Everybody who may ask, by `WHO`."""
    await settle_pond(household.database, zone="Europe/Berlin")
    return {
        "nobody": household.caller(),
        KEEPER: keeper,
        REMOVED: await removed_device(household, keeper),
        PROBE_KEY: await logger(household, keeper),
        FEED: household.caller(),
        UNSUBSCRIBE: household.caller(),
        ON_IT: household.caller(),
        **await helpers(household, keeper),
    }


@pytest.fixture
async def words(household: Any, callers: dict[str, httpx.AsyncClient]) -> dict[str, str]:
    """What stands in the braces of paths, by name: the true one, for the caller of `OWN_WORDS` alone."""
    return {"feed": await feed_token(callers[KEEPER]), **await message_tokens(household)}


async def feed_token(keeper: httpx.AsyncClient) -> str:
    made = await keeper.post("/api/reach/feed", json={})
    assert made.status_code == 201
    token: str = made.json()["url"].rpartition("/")[2].removesuffix(".ics")
    return token


async def message_tokens(household: Any) -> dict[str, str]:
    """Words of links in a message about an alarm."""
    now = household.now
    concern = Concern(about="power-out/1", what="power_out", pond="main", at=now, title="The power is out", says="Aki.")
    await match_alarms(household.database, [concern], now, ["alarm"])
    (aki,) = await people(household.database)
    ways = {
        "u" * 32: WayOut(act="unsubscribe_alarms", person=aki.id, made_at=now),
        "o" * 32: WayOut(act="on_it", person=aki.id, alarms=("alarm",), made_at=now),
    }
    about = {
        "id": "m",
        "key": f"alarm/alarm/{aki.id}/email",
        "person": aki.id,
        "channel": "email",
        "to": "aki@pond.example",
    }
    message = Message(**about, subject="The power is out", text="", made_at=now, next_try_at=now)
    await keep_messages(household.database, [Outgoing(message=message, ways=ways)])
    return {"unsubscribe": "u" * 32, "on_it": "o" * 32}


async def removed_device(household: Any, keeper: httpx.AsyncClient) -> httpx.AsyncClient:
    removed = household.caller()
    assert (await removed.post("/api/sign-in", json=SIGN_IN)).status_code == 200
    (device,) = [one for one in (await removed.get("/api/devices")).json() if one["this"]]
    assert (await keeper.delete(f"/api/devices/{device['id']}")).status_code == 204
    return removed


async def logger(household: Any, keeper: httpx.AsyncClient) -> httpx.AsyncClient:
    made = await keeper.post("/api/probe-keys", json=NEW_KEY | {"pond": "main"})
    assert made.status_code == 201
    return household.caller(Authorization=f"Bearer {made.json()['token']}")


async def helpers(household: Any, keeper: httpx.AsyncClient) -> dict[str, httpx.AsyncClient]:
    """Everybody with a link, bound weeks ago; the hand-overs lie around the day the table is asked on."""
    today, person = household.now, (await keeper.get("/api/start")).json()["person"]["id"]
    begun = household.now = today - timedelta(days=40)
    await settle_pond(household.database, "other", 200, zone="Europe/Berlin")
    made = Writes(keeper, person, DEVICE)
    ends = {BEFORE: 60, LATE: -3, OTHER_POND: 5, LONG_OVER: -30, REVOKED: 5, MOVED: 5, HELPER: 5}
    names = {who: "autumn" if who == HELPER else f"of-{number}" for number, who in enumerate(ends)}
    for who, days in ends.items():
        on = (today + timedelta(days=days - 9)).date()
        pond = "other" if who == OTHER_POND else "main"
        jobs = [f"{pond}/cover"]
        assert set(
            await made.verdicts(*hand_over(made, begun, on, name=names[who], pond=pond, jobs=jobs), now=begun)
        ) == {"accepted"}
    found: dict[str, httpx.AsyncClient] = {}
    for who, name in names.items():
        link = await make_link(keeper, JO, name)
        found[who] = household.caller(peer=f"10.0.0.{len(found) + 1}")
        await use_phone(found[who], link["secret"])
        if who == MOVED:
            await use_phone(household.caller(), link["secret"])
        if who == REVOKED:
            assert (await keeper.delete(f"/api/hand-overs/{name}/links/{link['link']['id']}")).status_code == 204
    household.now = today
    return found


class WithNone(dict[str, str]):
    """Words for a path; what is not known is "none"."""

    def __missing__(self, _: str) -> str:
        return "none"


def path_for(row: Row, who: str, words: dict[str, str]) -> str:
    own = {name: word for name, word in words.items() if OWN_WORDS.get(who) == name}
    return row.path.format_map(WithNone(own))


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


@pytest.mark.parametrize("route", TABLE, ids=" ".join)
async def test_a_route_answers_everybody_as_its_row_says(
    household: Any, callers: dict[str, httpx.AsyncClient], words: dict[str, str], route: tuple[str, str]
) -> None:
    assert set(callers) == set(WHO)
    row = TABLE[route]
    for who in WHO:  # whoever is signed in asks last: some routes end what they are asked with
        household.later(minutes=2)  # nobody waits for what another one asked
        answer = await callers[who].request(route[0], path_for(row, who, words), **row.sent)
        assert answer.status_code == row.status(who), (who, answer.text[:300])
        assert answer.headers["content-security-policy"].startswith(CONTENT_POLICY)
        if answer.status_code >= 400:
            assert set(answer.json()) == {"code", "what", "where", "right"}


def test_what_is_open_by_the_table_is_what_is_open_in_the_code() -> None:
    open_to_all = {route for route, row in TABLE.items() if row.nobody not in (401, 404)}
    assert open_to_all == OPEN


async def test_no_private_word_opens_what_a_session_does(
    household: Any, callers: dict[str, httpx.AsyncClient], words: dict[str, str]
) -> None:
    link = (await make_link(callers[KEEPER]))["secret"]
    bearer = callers[PROBE_KEY].headers["Authorization"].removeprefix("Bearer ")
    for word in (*words.values(), link, bearer):
        for (method, route), row in TABLE.items():
            household.later(minutes=2)
            asker = household.caller(
                Cookie=f"{COOKIE}={word}", Authorization="" if word == bearer else f"Bearer {word}"
            )
            answer = await asker.request(method, path_for(row, "nobody", {}), **row.sent)
            assert answer.status_code == row.status("nobody"), (method, route, answer.text[:200])


async def test_other_methods_open_nothing_to_nobody(household: Any) -> None:
    nobody = household.caller()
    for row in TABLE.values():
        for method in ("OPTIONS", "HEAD", "TRACE"):
            answer = await nobody.request(method, path_for(row, "nobody", {}))
            assert answer.status_code in (401, 404, 405), (method, row.path)


async def test_the_printable_round_shows_nobody_anything_of_the_pond(callers: dict[str, httpx.AsyncClient]) -> None:
    nobody, keeper, removed = [(await callers[who].get("/print")).text for who in ("nobody", KEEPER, REMOVED)]
    assert nobody == removed and "type=password" in nobody
    assert keeper != nobody
