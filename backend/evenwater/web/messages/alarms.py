"""POST /api/alarms/{id}/on-it: a keeper says in the app what the link in a message says too."""

from collections.abc import Callable
from datetime import datetime

from litestar import post
from litestar.di import NamedDependency
from litestar.params import FromPath
from msgspec import Struct

from evenwater.domain.people import SignedIn
from evenwater.storage.alarms import take_on
from evenwater.storage.database import Database
from evenwater.web.errors import Refusal
from evenwater.web.openapi import with_examples

Clock = Callable[[], datetime]


class OnIt(Struct, frozen=True):
    """Who is on it since when, whoever said so first; nobody where it was over before."""

    on_it: str | None
    on_it_at: datetime | None


_AKI = "019a4a3e-7c00-7000-8000-000000000003"
_EXAMPLE = OnIt(_AKI, datetime.fromisoformat("2026-11-24T17:10:00+00:00"))


@post(
    "/api/alarms/{alarm_id:str}/on-it",
    status_code=200,
    summary="Seen, I am on it",
    operation_class=with_examples(answered=_EXAMPLE),
)
async def on_it_here(
    alarm_id: FromPath[str],
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
) -> OnIt:
    """Nobody else is told of it any more. Once or often, the same."""
    found = await take_on(database, alarm_id, signed_in.person_id, clock())
    if found is None:
        raise Refusal(404, "not_found", "there is no such alarm", where="path", right="one that stands on the round")
    return OnIt(found.on_it, found.on_it_at)
