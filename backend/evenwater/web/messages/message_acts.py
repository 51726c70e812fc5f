"""What links in messages open: /unsubscribe/… and /on-it/…

- Opening one changes nothing: mail programs and scanners follow links. A button on the page posts.
- Whoever holds the token may: no session is asked for, nor looked at. A mail program's one-click POST (RFC 8058) comes
  from anywhere, without a cookie.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from litestar import Request, Response, Router, get, post
from litestar.datastructures import State
from litestar.di import NamedDependency
from litestar.enums import MediaType
from litestar.params import FromPath
from msgspec.structs import replace

from evenwater.delivery.render.act_pages import act_page
from evenwater.domain.entries import zone_named
from evenwater.domain.messages import Reach, WayOut
from evenwater.domain.rounds.heard.alarms import Alarm
from evenwater.storage.alarms import alarm, take_on
from evenwater.storage.database import Database
from evenwater.storage.messages import way_out, withdraw
from evenwater.storage.people import person_names
from evenwater.storage.reach import keep_reach, reach_of
from evenwater.web.errors import Refusal
from evenwater.web.openapi import with_examples

AnyRequest = Request[Any, Any, State]
Clock = Callable[[], datetime]

_SHOWN = "<!doctype html><html lang=en>…"
_WHAT: Final = {"unsubscribe_list": "the daily list", "unsubscribe_alarms": "alarms"}
_KEYS: Final = {"unsubscribe_list": ("list/",), "unsubscribe_alarms": ("alarm/", "notice/")}
_FIELDS: Final = {"unsubscribe_list": "email_list", "unsubscribe_alarms": "email_alarms"}


@get(
    "/unsubscribe/{token:str}",
    media_type=MediaType.HTML,
    summary="What would be ended",
    operation_class=with_examples(answered=_SHOWN),
)
async def show_unsubscribe(
    token: FromPath[str], request: AnyRequest, database: NamedDependency[Database]
) -> Response[str]:
    """Changes nothing."""
    way = await _way(request, database, token, "unsubscribe_list", "unsubscribe_alarms")
    if way is None:
        return _gone()
    what = _WHAT[way.act]
    reach = await reach_of(database, way.person)
    if reach is not None and not getattr(reach, _FIELDS[way.act]):
        return _ended(what)
    return _page(
        act_page("No more by e-mail", f"The button ends {what} by e-mail. Nothing else changes.", f"End {what}")
    )


@post(
    "/unsubscribe/{token:str}",
    status_code=200,
    media_type=MediaType.HTML,
    summary="End it",
    operation_class=with_examples(answered=_SHOWN),
)
async def unsubscribe(
    token: FromPath[str], request: AnyRequest, database: NamedDependency[Database], clock: NamedDependency[Clock]
) -> Response[str]:
    """Once or often, the same."""
    way = await _way(request, database, token, "unsubscribe_list", "unsubscribe_alarms")
    if way is None:
        return _gone()
    reach = await reach_of(database, way.person) or Reach(person=way.person)
    await keep_reach(database, replace(reach, **{_FIELDS[way.act]: False}), clock())
    for begins in _KEYS[way.act]:
        await withdraw(database, way.person, begins)
    return _ended(_WHAT[way.act])


@get(
    "/on-it/{token:str}",
    media_type=MediaType.HTML,
    summary="What somebody would be on",
    operation_class=with_examples(answered=_SHOWN),
)
async def show_on_it(token: FromPath[str], request: AnyRequest, database: NamedDependency[Database]) -> Response[str]:
    """Changes nothing."""
    way = await _way(request, database, token, "on_it")
    found = await _alarms(database, way)
    if way is None or not found:
        return _gone()
    says, free = await _stand(database, found, way)
    return _page(act_page(_title(found), says, "Seen, I am on it" if free else None))


@post(
    "/on-it/{token:str}",
    status_code=200,
    media_type=MediaType.HTML,
    summary="Seen, I am on it",
    operation_class=with_examples(answered=_SHOWN),
)
async def on_it(
    token: FromPath[str], request: AnyRequest, database: NamedDependency[Database], clock: NamedDependency[Clock]
) -> Response[str]:
    """Nobody else is told of it any more. Whoever said so first stays."""
    way = await _way(request, database, token, "on_it")
    for one in way.alarms if way else ():
        await take_on(database, one, way.person if way else "", clock())
    found = await _alarms(database, way)
    if way is None or not found:
        return _gone()
    says, _ = await _stand(database, found, way)
    return _page(act_page(_title(found), says))


async def _alarms(database: Database, way: WayOut | None) -> list[Alarm]:
    """All a message told of, in its order."""
    asked = [await alarm(database, one) for one in (way.alarms if way else ())]
    return [one for one in asked if one is not None]


def _title(found: Sequence[Alarm]) -> str:
    return found[0].concern.title if len(found) == 1 else f"{len(found)} things to see to"


async def _stand(database: Database, found: Sequence[Alarm], way: WayOut) -> tuple[str, bool]:
    """How each stands, a line each, and whether anybody may still be on one of them."""
    reach = await reach_of(database, way.person)
    zone, names = zone_named(reach.zone if reach else "UTC"), await person_names(database)
    lines = [
        f"{f'{one.concern.title}. ' if len(found) > 1 else ''}{_stands(one, way.person, names, zone)}" for one in found
    ]
    free = any(one.on_it is None and one.over_at is None for one in found)
    return "\n".join([*lines, *(["Once somebody is on it, nobody else is told."] if free else [])]), free


def _stands(found: Alarm, person: str, names: Mapping[str, str], zone: ZoneInfo) -> str:
    says = " ".join(found.concern.says.split())
    if found.on_it is not None and found.on_it_at is not None:
        who = "You are" if found.on_it == person else f"{names.get(found.on_it, 'Somebody')} is"
        return f"{says} {who} on it, since {_clock(found.on_it_at, zone)}. Nobody else is told."
    return f"It is over, since {_clock(found.over_at, zone)}." if found.over_at is not None else says


def _clock(at: datetime, zone: ZoneInfo) -> str:
    return f"{at.astimezone(zone):%H:%M}"


async def _way(request: AnyRequest, database: Database, token: str, *acts: str) -> WayOut | None:
    """What a token does. None for a person's browser, which gets a page that says so.

    Raises:
        Refusal: 404, to a program.
    """
    way = await way_out(database, token) if len(token) <= 100 else None
    if way is not None and way.act in acts:
        return way
    if "text/html" in request.headers.get("accept", ""):
        return None
    raise Refusal(
        404, "not_found", "this link leads nowhere any more", where="path", right="the link of a newer message"
    )


def _ended(what: str) -> Response[str]:
    says = f"You get {what} by e-mail no more. To have it again: Pond book, “How the list reaches me”."
    return _page(act_page("Done", says))


def _gone() -> Response[str]:
    says = "This link leads nowhere any more. A newer message has one that works, and so has the app."
    return _page(act_page("Nothing here", says), 404)


def _page(html: str, status_code: int = 200) -> Response[str]:
    return Response(html, status_code=status_code, media_type=MediaType.HTML, headers={"Cache-Control": "no-store"})


message_act_routes = Router(
    path="/", route_handlers=[show_unsubscribe, unsubscribe, show_on_it, on_it], request_max_body_size=16_000
)
