"""/api/hand-overs: the links a keeper makes for helpers.

What a hand-over holds is settings in the log; a link is only the way in. Its secret is shown once, in the answer that
made it, and kept as a hash. It stands behind the # of the address, which browsers send to nobody.
"""

import secrets
from collections.abc import Callable
from datetime import datetime
from typing import Any
from uuid import uuid4

from litestar import Request, Router, delete, get, post
from litestar.datastructures import State
from litestar.di import NamedDependency
from litestar.params import FromPath, JSONBody

from evenwater.delivery.render.link_code import LinkCode, link_code
from evenwater.domain.away.links import HelperDevice, HelperLink, moves_left
from evenwater.domain.away.scope import scope_of
from evenwater.domain.people import SignedIn
from evenwater.settings import Settings
from evenwater.storage import helper_links
from evenwater.storage.database import Database
from evenwater.storage.people import person_names
from evenwater.web.access.security import visit_of
from evenwater.web.base_address import base_address
from evenwater.web.errors import Refusal
from evenwater.web.helping.hand_over_records import BoundDevice, LinkAsked, LinkBrief, LinkListed, LinkMade
from evenwater.web.openapi import with_examples
from evenwater.web.plans.planning import Planner

AnyRequest = Request[Any, Any, State]
Clock = Callable[[], datetime]
_SECRET_BYTES = 20

_LINK = LinkBrief("019a4a3e", "019a4a3e-7c00-7000-8000-000000000009", datetime.fromisoformat("2026-11-03T16:00:00Z"))
_MADE = LinkMade(
    _LINK, "https://pond.example/h#Zm9yIG9uZSBoZWxwZXIgb24", True, "Zm9yIG9uZSBoZWxwZXIgb24", LinkCode(41, "M4")
)
_DEVICE = BoundDevice("019a4a40", "Safari on iPhone", _LINK.made_at, None, _LINK.made_at)
_LISTED = LinkListed(_LINK.id, _LINK.helper, _LINK.made_at, None, [_DEVICE], 1, False)


@post(
    "/{hand_over:str}/links",
    status_code=201,
    summary="Make a helper's link; the one before ends",
    operation_class=with_examples(given=LinkAsked(_LINK.helper), answered=_MADE),
)
async def make_link(
    hand_over: FromPath[str],
    data: JSONBody[LinkAsked],
    request: AnyRequest,
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    settings: NamedDependency[Settings],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Clock],
) -> LinkMade:
    """For one helper of the hand-over, once it has dates and as long as it is not over."""
    now = clock()
    await _require_open(planner, hand_over, data.helper, now)
    if data.helper in await person_names(database):  # what a keeper recorded would be the helper's own
        raise Refusal(400, "not_one_of", "that is a keeper's own id", where="helper", right="a new id for the helper")
    link = HelperLink(
        id=str(uuid4()), hand_over=hand_over, helper=data.helper, made_at=now, made_by=signed_in.person_id
    )
    secret = secrets.token_urlsafe(_SECRET_BYTES)
    await helper_links.add_link(database, link, secret)
    base = base_address(settings, visit_of(request))
    url = f"{base.url}/h#{secret}"
    return LinkMade(LinkBrief(link.id, link.helper, now), url, base.works_offline, secret, link_code(url))


@get(
    "/{hand_over:str}/links",
    summary="A hand-over's links and the devices bound to them",
    operation_class=with_examples(answered=[_LISTED]),
)
async def links(
    hand_over: FromPath[str], database: NamedDependency[Database], clock: NamedDependency[Clock]
) -> list[LinkListed]:
    """The newest first, those that have ended too; none for a hand-over nobody knows."""
    return [_listed(*one, clock()) for one in await helper_links.links_of(database, hand_over)]


@delete("/{hand_over:str}/links/{link_id:str}", summary="End a link, and what it opened, at once")
async def revoke(
    hand_over: FromPath[str],
    link_id: FromPath[str],
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
) -> None:
    """The next call of its device is refused."""
    if not await helper_links.revoke_link(database, hand_over, link_id, clock()):
        raise _no_link()


@post("/{hand_over:str}/links/{link_id:str}/allow-move", status_code=204, summary="Let a link move once more")
async def allow_move(hand_over: FromPath[str], link_id: FromPath[str], database: NamedDependency[Database]) -> None:
    """To whichever browser next uses it; the one before then ends."""
    if not await helper_links.allow_move(database, hand_over, link_id):
        raise _no_link()


async def _require_open(planner: Planner, hand_over_id: str, helper: str, now: datetime) -> None:
    known = await planner.known(now)
    first, _ = known.civil_date(now)
    hand_over = next((one for one in known.hand_overs(first) if one.id == hand_over_id), None)
    if hand_over is None:
        raise Refusal(
            404, "not_found", "no such hand-over is here yet", where="hand_over", right="save it, and let it be sent"
        )
    scope = scope_of(known, hand_over_id, helper, now)
    if scope is None:
        names = ", ".join(f"{one.id} ({one.name})" for one in hand_over.helpers) or "add a helper to it first"
        raise Refusal(400, "not_one_of", "nobody of that id helps there", where="helper", right=names)
    if hand_over.begins_on is None or hand_over.ends_on is None:
        raise Refusal(409, "no_dates", "the hand-over has no dates", where="hand_over", right="set first and last day")
    if scope.is_over:
        raise Refusal(409, "over", "the hand-over is over", where="hand_over", right="a later last day, or a new one")


def _listed(link: HelperLink, devices: list[HelperDevice], now: datetime) -> LinkListed:
    bound = [BoundDevice(one.id, one.label, one.bound_at, one.ended_at, one.last_seen_at) for one in devices]
    return LinkListed(link.id, link.helper, link.made_at, link.revoked_at, bound, moves_left(link, now), link.may_move)


def _no_link() -> Refusal:
    return Refusal(404, "not_found", "no such link is open", where="link_id", right="an id of the list of links")


hand_over_routes = Router(
    path="/api/hand-overs", route_handlers=[make_link, links, revoke, allow_move], request_max_body_size=16_000
)
