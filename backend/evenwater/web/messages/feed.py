"""/api/reach/feed: somebody makes, sees and ends their private calendar. GET /feed/…: a calendar program reads it."""

import secrets
from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Any

from litestar import Request, Response, Router, delete, get, post, put
from litestar.connection import ASGIConnection
from litestar.datastructures import State
from litestar.di import NamedDependency, Provide
from litestar.handlers import BaseRouteHandler
from litestar.params import FromPath, HeaderParameter, JSONBody
from msgspec import Struct

from evenwater.delivery.render.feed import calendar_text, feed_contents
from evenwater.domain.messages import Rings
from evenwater.domain.people import SignedIn
from evenwater.settings import Settings
from evenwater.storage import feed as kept
from evenwater.storage.database import Database
from evenwater.storage.feed import Feed
from evenwater.web.access.security import visit_of
from evenwater.web.errors import Refusal
from evenwater.web.messages.feed_desk import ENDING, FeedDesk, feed_read
from evenwater.web.openapi import with_examples
from evenwater.web.plans.planning import Planner

AnyRequest = Request[Any, Any, State]
Clock = Callable[[], datetime]
_CALENDAR = "text/calendar"


class FeedWanted(Struct, frozen=True, forbid_unknown_fields=True):
    """Which jobs ring when their window opens: each, the serious ones, none."""

    rings: Rings = "serious"


class FeedShown(Struct, frozen=True):
    """A calendar as its owner sees it, without its address; `last_read_at` is true to half an hour."""

    rings: Rings
    made_at: datetime
    last_read_at: datetime | None


class FeedAnswer(Struct, frozen=True):
    """The calendar, or that there is none."""

    feed: FeedShown | None


class FeedMade(Struct, frozen=True):
    """The address, for the only time. `from_anywhere`: a calendar on the internet reaches it, as far as we know."""

    url: str
    from_anywhere: bool
    feed: FeedShown


_AT = datetime.fromisoformat("2026-11-03T16:00:00+00:00")
_SHOWN = FeedShown("serious", _AT, _AT)
_MADE = FeedMade("https://pond.example/feed/….ics", True, FeedShown("serious", _AT, None))


@get("/api/reach/feed", summary="Your private calendar", operation_class=with_examples(answered=FeedAnswer(_SHOWN)))
async def show_feed(signed_in: NamedDependency[SignedIn], database: NamedDependency[Database]) -> FeedAnswer:
    """Whether there is one, since when, and when it was last read."""
    return await _answer(database, signed_in)


@post(
    "/api/reach/feed",
    summary="Make a private calendar",
    operation_class=with_examples(given=FeedWanted(), answered=_MADE),
)
async def make_feed(
    data: JSONBody[FeedWanted],
    request: AnyRequest,
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    settings: NamedDependency[Settings],
    clock: NamedDependency[Clock],
) -> FeedMade:
    """The answer holds its address, which is kept nowhere. The address before it opens nothing any more."""
    feed = Feed(person_id=signed_in.person_id, rings=data.rings, made_at=clock())
    token = secrets.token_urlsafe(32)
    await kept.make_feed(database, feed, token)
    url = f"{settings.address(settings.port, visit_of(request).origin)}/feed/{token}{ENDING}"
    return FeedMade(url, settings.public_url is not None, _shown(feed))


@put(
    "/api/reach/feed",
    summary="Which jobs of the calendar ring",
    operation_class=with_examples(given=FeedWanted("none"), answered=FeedAnswer(_SHOWN)),
)
async def change_feed(
    data: JSONBody[FeedWanted], signed_in: NamedDependency[SignedIn], database: NamedDependency[Database]
) -> FeedAnswer:
    """The address stays as it is."""
    if not await kept.set_rings(database, signed_in.person_id, data.rings):
        raise _no_feed()
    return await _answer(database, signed_in)


@delete("/api/reach/feed", summary="End the private calendar")
async def end_feed(signed_in: NamedDependency[SignedIn], database: NamedDependency[Database]) -> None:
    """Its address opens nothing any more; programs that have read it may keep what they read."""
    if not await kept.end_feed(database, signed_in.person_id):
        raise _no_feed()


@get(
    "/feed/{name:str}",
    media_type=_CALENDAR,
    summary="Read a private calendar",
    operation_class=with_examples(answered="BEGIN:VCALENDAR…"),
)
async def read_feed(
    name: FromPath[str],
    request: AnyRequest,
    feed_read: NamedDependency[Feed],
    database: NamedDependency[Database],
    planner: NamedDependency[Planner],
    settings: NamedDependency[Settings],
    clock: NamedDependency[Clock],
    if_none_match: Annotated[str, HeaderParameter(name="If-None-Match")] = "",
) -> Response[bytes]:
    """Two weeks of jobs; 304 while nothing in them has changed."""
    now = clock()
    plan, facts = await planner.plan_and_facts(now)
    url = f"{settings.address(settings.port, visit_of(request).origin)}/round"
    contents = feed_contents(plan, facts, now, feed_read.person_id, feed_read.rings, url)
    changed_at = await kept.mark_read(database, feed_read, contents.sha256, now)
    tag = f'W/"{contents.sha256.hex()[:32]}"'
    headers = {"ETag": tag, "Cache-Control": "private, no-cache"}
    if tag in (one.strip() for one in if_none_match.split(",")):
        return Response(b"", status_code=304, headers=headers, media_type=_CALENDAR)
    return Response(calendar_text(contents, changed_at), headers=headers, media_type=_CALENDAR)


async def _answer(database: Database, signed_in: SignedIn) -> FeedAnswer:
    feed = await kept.feed_of(database, signed_in.person_id)
    return FeedAnswer(_shown(feed) if feed else None)


def _shown(feed: Feed) -> FeedShown:
    return FeedShown(feed.rings, feed.made_at, feed.last_read_at)


def _no_feed() -> Refusal:
    return Refusal(404, "not_found", "there is no calendar", right="make one first")


def feed_routes(database: Database, clock: Clock) -> list[Router]:
    """The owner's routes, and the reader's with the one desk that counts its callers."""
    desk = FeedDesk(database, clock)

    async def require_address(connection: ASGIConnection[Any, Any, Any, Any], _: BaseRouteHandler) -> None:
        await desk.require_address(connection)  # a function: the framework makes copies of a method's owner

    owners = Router(
        path="/", route_handlers=[show_feed, make_feed, change_feed, end_feed], request_max_body_size=16_000
    )
    readers = Router(
        path="/",
        route_handlers=[read_feed],
        guards=[require_address],
        dependencies={"feed_read": Provide(feed_read, sync_to_thread=False)},
    )
    return [owners, readers]
