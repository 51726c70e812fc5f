"""/api/helper: how a helper's phone comes in by its link, without an account.

- Looking at a link changes nothing, so what opens links by itself (a previewer, a mail scanner) binds no device.
- "Use this phone" binds it. Within a day it may move once, for a camera's own browser is not the one they keep.
- Guessing is hopeless against 160 random bits, and slowed down all the same, by address and altogether.
"""

import math
import secrets
from collections.abc import Callable
from datetime import datetime
from typing import Any
from uuid import uuid4

from litestar import Request, Response, Router, post
from litestar.datastructures import State
from litestar.di import NamedDependency, Provide
from litestar.params import JSONBody
from msgspec import Struct

from evenwater.domain.away.links import HelperDevice, HelperLink, may_bind
from evenwater.domain.away.scope import Scope, last_day_of, scope_of
from evenwater.domain.fold import Known
from evenwater.domain.people import device_label
from evenwater.settings import Settings
from evenwater.storage import helper_links
from evenwater.storage.database import Database
from evenwater.web.access.security import find_signed_in, from_own_page, helper_pass, session_cookie, visit_of
from evenwater.web.access.sign_in import DeviceSignIn, PersonBrief, SignedInAs
from evenwater.web.base_address import base_address
from evenwater.web.errors import Refusal
from evenwater.web.helping.hand_over_records import HandOverBrief, LinkLooked, LinkState, LookAsked, Secret
from evenwater.web.helping.helper_pass import keeper_names
from evenwater.web.openapi import with_examples
from evenwater.web.plans.planning import Planner
from evenwater.web.rate import TokenBuckets

AnyRequest = Request[Any, Any, State]
Clock = Callable[[], datetime]
_NOBODY = ""  # an id no browser has


class BindAsked(DeviceSignIn, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The secret, and the device that is to be used."""

    secret: Secret


class HelperDoor:
    """How often links may be tried: 20 at once from one address and two a minute after; 120 and two a second in all."""

    def __init__(self) -> None:
        self._by_address = TokenBuckets(20, 1 / 30)
        self._together = TokenBuckets(120, 2.0)

    def admit(self, source: str, now: datetime) -> None:
        """Count an attempt, before anything is looked up.

        Raises:
            Refusal: 429 slow_down, with the seconds to wait.
        """
        now_s = now.timestamp()
        wait_s = self._by_address.take(source, now_s) or self._together.take("", now_s)
        if wait_s > 0:
            seconds = str(math.ceil(wait_s))
            raise Refusal(429, "slow_down", "too many attempts", right=f"try again in {seconds} s", Retry_After=seconds)


class Found(Struct, frozen=True):
    """A link by its secret, and how it stands."""

    link: HelperLink
    bound: list[HelperDevice]
    known: Known
    scope: Scope | None


_SECRET = "Zm9yIG9uZSBoZWxwZXIgb24"
_HAND_OVER = HandOverBrief("autumn", "While we are away", "Jo", ["Marit"], None, None)
_LOOKED = LinkLooked("open", _HAND_OVER, True)
_DEVICE = "019a4a3e-7c00-7000-8000-000000000012"
_PERSON = SignedInAs(PersonBrief("019a4a3e-7c00-7000-8000-000000000009", "Jo", "autumn"))


@post(
    "/look",
    status_code=200,
    summary="What a helper's link is; binds nothing",
    operation_class=with_examples(given=LookAsked(_SECRET), answered=_LOOKED),
)
async def look(
    data: JSONBody[LookAsked],
    request: AnyRequest,
    database: NamedDependency[Database],
    settings: NamedDependency[Settings],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Clock],
    door: NamedDependency[HelperDoor],
) -> LinkLooked:
    """Whoever has the secret is told who asks, for what and until when."""
    now, visit = clock(), visit_of(request)
    door.admit(visit.source, now)
    found = await _find(database, planner, data.secret, now)
    here = await _bound_here(request, found)
    return LinkLooked(
        _state(found, here, now),
        await _brief(database, found, now),
        base_address(settings, visit).works_offline,
        here,
    )


@post(
    "/bind",
    status_code=200,
    guards=[from_own_page],
    summary="Use this phone: bind a helper's link to a device",
    operation_class=with_examples(
        given={"secret": _SECRET, "device": _DEVICE, "device_label": "Jo's phone"}, answered=_PERSON
    ),
)
async def bind(
    data: JSONBody[BindAsked],
    request: AnyRequest,
    database: NamedDependency[Database],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Clock],
    door: NamedDependency[HelperDoor],
) -> Response[SignedInAs]:
    """The device is then the helper's for as long as the hand-over lasts; what was bound before ends."""
    now, visit = clock(), visit_of(request)
    door.admit(visit.source, now)
    found = await _find(database, planner, data.secret, now)
    scope = _require_open(found)
    await _require_no_keeper(request)
    device = HelperDevice(
        id=str(uuid4()),
        link=found.link.id,
        device=data.device,
        label=device_label(data.device_label),
        bound_at=now,
        last_seen_at=now,
    )
    token = secrets.token_urlsafe(32)
    if await helper_links.bind_device(database, device, token) is None:
        raise Refusal(
            409,
            "bound_elsewhere",
            "this link is used on another phone",
            where="secret",
            right="ask the keeper to let it move",
        )
    person = PersonBrief(scope.helper.id, scope.helper.name, scope.hand_over.id)
    return Response(SignedInAs(person), cookies=[session_cookie(token, visit)])


async def _find(database: Database, planner: Planner, secret: str, now: datetime) -> Found:
    found = await helper_links.link_by_secret(database, secret)
    if found is None:
        raise Refusal(
            404, "no_such_link", "no link of ours", where="secret", right="the whole address, as it was sent or printed"
        )
    link, bound = found
    known = await planner.known(now)
    return Found(link, bound, known, scope_of(known, link.hand_over, link.helper, now))


async def _bound_here(request: AnyRequest, found: Found) -> bool:
    await find_signed_in(request)
    own = helper_pass(request)
    return own is not None and own.ended is None and own.link.id == found.link.id


def _state(found: Found, here: bool, now: datetime) -> LinkState:
    if found.link.revoked_at is not None or found.scope is None:
        return "revoked"
    if found.scope.is_over:
        return "over"
    if not here and may_bind(found.link, found.bound, _NOBODY, now) is None:
        return "bound_elsewhere"
    return "not_yet" if found.scope.phase == "not_yet" else "open"


def _require_open(found: Found) -> Scope:
    if found.link.revoked_at is not None or found.scope is None:
        raise Refusal(403, "revoked", "the keeper has ended this link", where="secret", right="ring the keeper")
    if found.scope.is_over:
        raise Refusal(403, "over", "this hand-over is over", where="secret", right="nothing more to do; thank you")
    return found.scope


async def _require_no_keeper(request: AnyRequest) -> None:
    """A keeper who tries the link out would sign their own phone out, with all that waits on it."""
    signed_in = await find_signed_in(request)
    if signed_in is not None and signed_in.hand_over is None:
        raise Refusal(
            409,
            "signed_in_here",
            f"{signed_in.person_name} is signed in on this device as a keeper",
            where="device",
            right="open the link on the helper's phone, or in a private window",
        )


async def _brief(database: Database, found: Found, now: datetime) -> HandOverBrief:
    link, names = found.link, await keeper_names(database, found.link)
    first, _ = found.known.civil_date(now)
    hand_over = next((one for one in found.known.hand_overs(first) if one.id == link.hand_over), None)
    if hand_over is None:
        return HandOverBrief(link.hand_over, "", "", names, None, None)
    helper = next((one.name for one in hand_over.helpers if one.id == link.helper), "")
    last_day = last_day_of(found.known, hand_over)
    return HandOverBrief(hand_over.id, hand_over.name, helper, names, hand_over.begins_on, last_day)


def helper_routes() -> Router:
    """The routes, with a door of their own."""
    door = HelperDoor()
    return Router(
        path="/api/helper",
        route_handlers=[look, bind],
        dependencies={"door": Provide(lambda: door, sync_to_thread=False)},
        request_max_body_size=16_000,
    )
