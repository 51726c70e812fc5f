"""The sync call's part of the OpenAPI schema: its body is read by ourselves, entry by entry."""

from dataclasses import dataclass
from typing import Any

from litestar.openapi.spec import OpenAPIResponse, Operation, RequestBody

from evenwater.domain.entries import Entry
from evenwater.web.exchange.sync_records import SyncAnswer, SyncRequest
from evenwater.web.openapi import JSON, media, schema_of

_ENTRY = {
    "id": "019a4a3e-7c00-7000-8000-000000000001",
    "v": 1,
    "pond": "main",
    "kind": "reading",
    "happened_at": "2026-11-03T16:40:00.000+01:00",
    "local_date": "2026-11-03",
    "zone": "Europe/Brussels",
    "recorded_at": "2026-11-03T15:40:02.120Z",
    "device": "019a4a3e-7c00-7000-8000-000000000002",
    "author": "019a4a3e-7c00-7000-8000-000000000003",
    "quantity": "kh_dkh",
    "value": 5.0,
    "step": 0.5,
}
_PLACE = {"seq": 41, "received_at": "2026-11-03T16:02:00.000Z", "placed_at": "2026-11-03T15:40:00.000Z"} | {
    "placed_on": "2026-11-03",
    "skew_s": 0.4,
    "time_doubtful": False,
}
GIVEN = {
    "device": _ENTRY["device"],
    "device_now": "2026-11-03T16:01:59.600Z",
    "app_version": "0.1.0",
    "epoch": None,
    "cursor": 0,
    "entries": [_ENTRY],
    "want_plan": False,
}
ANSWERED = {
    "server_now": "2026-11-03T16:02:00.000Z",
    "epoch": "6f1c0b7e",
    "verdicts": [{"id": _ENTRY["id"], "verdict": "accepted"} | _PLACE],
    "entries": [],
    "cursor": 41,
    "more": False,
    "plan": None,
}


def _with_entries(schema: dict[str, Any]) -> dict[str, Any]:
    """The schema of a call with its entries told apart by kind, as they travel."""
    items: dict[str, Any] = schema["properties"]["entries"]["items"]
    entry = schema_of(Entry)
    if "properties" in items:
        items["properties"]["entry"] = entry
    else:
        schema["properties"]["entries"]["items"] = entry
    return schema


@dataclass
class SyncOperation(Operation):
    """POST /api/sync, with one entry sent and accepted."""

    def __post_init__(self) -> None:
        taken = media(_with_entries(schema_of(SyncRequest)), {"one reading": GIVEN})
        self.request_body = RequestBody(required=True, content={JSON: taken})
        answered = media(_with_entries(schema_of(SyncAnswer)), {"one reading": ANSWERED})
        response = OpenAPIResponse(description="A verdict for each entry", content={JSON: answered})
        self.responses = (self.responses or {}) | {"200": response}
