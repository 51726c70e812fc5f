"""/api/probe-keys: a signed-in person makes, sees and revokes the keys of loggers. A key is shown once."""

import secrets
from collections.abc import Callable
from datetime import datetime
from typing import Annotated

from litestar import Router, delete, get, post
from litestar.di import NamedDependency
from litestar.params import FromPath, JSONBody
from msgspec import Meta, Struct

from evenwater.domain.entries import Line, Slug
from evenwater.domain.errors import require_one_of
from evenwater.domain.people import SignedIn
from evenwater.domain.warmth.series import OWN
from evenwater.storage import probe_keys as kept
from evenwater.storage.database import Database
from evenwater.storage.probe_keys import ProbeKey
from evenwater.web.errors import Refusal
from evenwater.web.intake.past_desk import pond_among
from evenwater.web.openapi import with_examples
from evenwater.web.plans.planning import Planner

Clock = Callable[[], datetime]


class NewProbeKey(Struct, frozen=True, forbid_unknown_fields=True):
    """What a key is for: a pond, its series by their bare names, and what the keeper calls the logger."""

    pond: Slug
    series: Annotated[list[str], Meta(min_length=1, max_length=len(OWN))]
    label: Line


class ProbeKeyMade(Struct, frozen=True):
    """The key itself, for the only time, and how it is listed from now on."""

    token: str
    key: ProbeKey


_AT = datetime.fromisoformat("2026-11-03T16:00:00+00:00")
_LISTED = ProbeKey(
    id="5f0c9d2ab7e41c3d",
    pond="main",
    series=("water_c", "air_c"),
    label="Logger in the filter house",
    created_at=_AT,
    created_by="019a4a3e-7c00-7000-8000-000000000003",
    last_used_at=_AT,
)
_GIVEN = NewProbeKey("main", ["water_c", "air_c"], _LISTED.label)


@post(
    "/api/probe-keys",
    summary="Make a key for a logger",
    operation_class=with_examples(given=_GIVEN, answered=ProbeKeyMade(kept.token_of(_LISTED.id, "…"), _LISTED)),
)
async def make_key(
    data: JSONBody[NewProbeKey],
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
    planner: NamedDependency[Planner],
) -> ProbeKeyMade:
    """The answer holds the key itself, which is kept nowhere."""
    now = clock()
    pond = pond_among(await planner.ponds(now), data.pond)
    series = tuple(dict.fromkeys(require_one_of("series", one[:60], OWN) for one in data.series))
    key = ProbeKey(
        id=secrets.token_hex(8),
        pond=pond.id,
        series=series,
        label=data.label,
        created_at=now,
        created_by=signed_in.person_id,
    )
    token = kept.token_of(key.id, secrets.token_urlsafe(32))
    await kept.add_probe_key(database, key, token)
    return ProbeKeyMade(token, key)


@get("/api/probe-keys", summary="The keys of loggers", operation_class=with_examples(answered=[_LISTED]))
async def list_keys(database: NamedDependency[Database]) -> list[ProbeKey]:
    """Those that still open something, the newest first, with when each was last used."""
    return await kept.probe_keys(database)


@delete("/api/probe-keys/{key_id:str}", summary="Revoke a key")
async def revoke_key(key_id: FromPath[str], database: NamedDependency[Database], clock: NamedDependency[Clock]) -> None:
    """Its next call is refused; what it sent stays."""
    if not await kept.revoke_probe_key(database, key_id, clock()):
        raise Refusal(404, "not_found", "there is no such key", where="key_id", right="an id of GET /api/probe-keys")


probe_key_routes = Router(path="/", route_handlers=[make_key, list_keys, revoke_key], request_max_body_size=16_000)
