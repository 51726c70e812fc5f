"""Signing in and out, and the devices signed in.

- Who first starts a server runs it. Away from the server's own screen that takes the code its terminal shows.
- A session is always made new: what cookie the request brings is never taken over, and its session ends.
- The example opens with one tap at the screen it runs on, and nowhere else.
"""

import logging
import secrets
from collections.abc import Callable
from datetime import date, datetime
from typing import Annotated, Any, Literal
from uuid import uuid4

from litestar import Request, Response, Router, delete, get, post
from litestar.datastructures import State
from litestar.di import NamedDependency, Provide
from litestar.params import FromPath, JSONBody
from msgspec import Meta, Struct

from evenwater import __version__
from evenwater.domain.people import Person, Session, SignedIn, device_label, passphrase_text, person_name
from evenwater.settings import Settings
from evenwater.storage import people
from evenwater.storage.database import Database
from evenwater.web.access.security import find_signed_in, from_own_page, helper_pass, session_cookie, visit_of
from evenwater.web.access.sign_in_desk import SignInDesk
from evenwater.web.errors import Refusal
from evenwater.web.helping.helper_pass import keeper_names
from evenwater.web.openapi import with_examples

log = logging.getLogger("evenwater.web")

Clock = Callable[[], datetime]
_MAX_BODY = 16_000

_UUID = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"
# max_length, because in Python "$" also matches before a line break.
DeviceId = Annotated[str, Meta(pattern=r"^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$", max_length=36, examples=[_UUID])]


class DeviceSignIn(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The device that signs in: its own id, and what it calls itself in the list of devices."""

    device: DeviceId
    device_label: str = ""


class PersonSignIn(DeviceSignIn, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A person at a device. The name is compared without case."""

    name: str
    passphrase: str


class FirstPerson(PersonSignIn, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Who runs this server. `code` is asked for away from its own screen."""

    code: str = ""


class PersonBrief(Struct, frozen=True, omit_defaults=True):
    """A person, as others see them; `hand_over`: which one, of a helper."""

    id: str
    name: str
    hand_over: str | None = None


class SignedInAs(Struct, frozen=True):
    """Who is now signed in; the session itself is in the cookie."""

    person: PersonBrief


class Over(Struct, frozen=True):
    """What is left to say to a helper: who thanks them, and which day was the last."""

    keeper_names: list[str]
    ended_on: date | None


class Start(Struct, frozen=True, omit_defaults=True):
    """What the app shows first. `needs_code`: the first start asks the code; `example`: one tap opens the example.

    "over": a helper's hand-over is, and `over` thanks them; what waits on their device is taken for a week.
    """

    app_version: str
    state: Literal["first_start", "sign_in", "signed_in", "over"]
    needs_code: bool
    example: bool
    person: PersonBrief | None
    over: Over | None = None


class Device(Struct, frozen=True):
    """A session, as it is listed. `this`: the one that asks."""

    id: str
    device: str
    label: str
    person_id: str
    created_at: datetime
    last_seen_at: datetime
    this: bool


AnyRequest = Request[Any, Any, State]

_DEVICE = "019a4a3e-7c00-7000-8000-000000000002"
_PHONE = {"device": _DEVICE, "device_label": "Marit's phone"}
_PERSON = {"name": "Marit", "passphrase": "four small words here"} | _PHONE
_SIGNED_IN = SignedInAs(PersonBrief("019a4a3e-7c00-7000-8000-000000000003", "Marit"))
_LISTED = {
    "id": "7d0c",
    "person_id": _SIGNED_IN.person.id,
    "device": _DEVICE,
    "label": "Marit's phone",
    "this": True,
} | {
    "created_at": "2026-11-03T16:00:00Z",
    "last_seen_at": "2026-11-03T16:00:00Z",
}


@get(
    "/api/start",
    operation_class=with_examples(answered=Start("0.1.0", "sign_in", False, False, None)),
    summary="What the app is to show first",
)
async def start(request: AnyRequest, database: NamedDependency[Database], settings: NamedDependency[Settings]) -> Start:
    """Open to all; says nothing about who lives here."""
    example = settings.example and visit_of(request).on_this_machine
    signed_in = await find_signed_in(request)
    helper = helper_pass(request)
    if helper is not None and helper.scope is not None and helper.scope.is_over and helper.ended in (None, "over"):
        thanks = Over(await keeper_names(database, helper.link), helper.scope.last_day)
        brief = PersonBrief(helper.scope.helper.id, helper.scope.helper.name, helper.scope.hand_over.id)
        return Start(__version__, "over", False, example, brief, thanks)
    if signed_in is not None:
        person = PersonBrief(signed_in.person_id, signed_in.person_name, signed_in.hand_over)
        return Start(__version__, "signed_in", False, example, person)
    if await people.has_people(database):
        return Start(__version__, "sign_in", False, example, None)
    return Start(__version__, "first_start", not visit_of(request).on_this_machine, False, None)


@post(
    "/api/people/first",
    operation_class=with_examples(given=_PERSON | {"code": ""}, answered=_SIGNED_IN),
    status_code=200,
    guards=[from_own_page],
    summary="Begin: the first person",
)
async def add_first(
    data: JSONBody[FirstPerson],
    request: AnyRequest,
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
    desk: NamedDependency[SignInDesk],
) -> Response[SignedInAs]:
    """Only while there is nobody."""
    now, visit = clock(), visit_of(request)
    desk.admit_address(visit.source, now)
    if await people.has_people(database):
        raise _already_begun()
    if not visit.on_this_machine:
        desk.require_code(data.code)
    person = Person(str(uuid4()), person_name(data.name), now)
    passphrase_hash = await desk.hash(passphrase_text(data.passphrase))
    if not await people.add_first_person(database, person, passphrase_hash):
        raise _already_begun()
    return await _signed_in(request, database, person, data, now)


@post(
    "/api/sign-in",
    operation_class=with_examples(given=_PERSON, answered=_SIGNED_IN),
    status_code=200,
    guards=[from_own_page],
    summary="Sign in with name and passphrase",
)
async def sign_in(
    data: JSONBody[PersonSignIn],
    request: AnyRequest,
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
    desk: NamedDependency[SignInDesk],
) -> Response[SignedInAs]:
    """Slowed down by name and by address."""
    return await sign_in_person(data, request, database, clock(), desk)


async def sign_in_person(
    given: PersonSignIn, request: AnyRequest, database: Database, now: datetime, desk: SignInDesk
) -> Response[SignedInAs]:
    """Check name and passphrase, and make the session.

    Raises:
        Refusal: 401 not_recognised, or 429 slow_down.
        DomainError: a name or passphrase that cannot be one.
    """
    desk.admit_address(visit_of(request).source, now)
    name, passphrase = person_name(given.name), passphrase_text(given.passphrase)
    found = await people.credential(database, name, given.device)
    desk.admit_name(name, given.device, found, now)
    if not await desk.accepts(found, passphrase) or found is None:
        # Not what was typed: somebody's passphrase often stands where the name should.
        log.warning("a sign-in from %s was refused: name and passphrase do not go together", visit_of(request).source)
        raise Refusal(
            401,
            "not_recognised",
            "the name or the passphrase is not right",
            where="passphrase",
            right="both as they were given; `evenwater people reset NAME` on the server gives a new passphrase",
        )
    return await _signed_in(request, database, found.person, given, now)


@post(
    "/api/sign-in/example",
    operation_class=with_examples(given=_PHONE, answered=_SIGNED_IN),
    status_code=200,
    guards=[from_own_page],
    summary="Open the example with one tap",
)
async def sign_in_to_example(
    data: JSONBody[DeviceSignIn],
    request: AnyRequest,
    database: NamedDependency[Database],
    settings: NamedDependency[Settings],
    clock: NamedDependency[Clock],
) -> Response[SignedInAs]:
    """As the example's keeper; only where the server runs, and only when it runs the example."""
    somebody = await people.people(database) if settings.example and visit_of(request).on_this_machine else []
    if not somebody:
        raise Refusal(
            403,
            "no_example",
            "one tap opens the example only, and only on the machine it runs on",
            right="sign in with name and passphrase",
        )
    return await _signed_in(request, database, somebody[0], data, clock())


@post("/api/sign-out", status_code=204, summary="End this device's session")
async def sign_out(
    request: AnyRequest,
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
) -> Response[None]:
    """The session ends on the server too, so a copy of the cookie opens nothing."""
    await people.revoke_session(database, signed_in.session_id, clock())
    return Response(None, status_code=204, cookies=[session_cookie("", visit_of(request))])


@get(
    "/api/devices",
    operation_class=with_examples(answered=[_LISTED]),
    summary="The devices signed in, the one seen last first",
)
async def devices(
    signed_in: NamedDependency[SignedIn], database: NamedDependency[Database], clock: NamedDependency[Clock]
) -> list[Device]:
    """Of the whole household."""
    return [_device(session, signed_in) for session in await people.open_sessions(database, clock())]


@delete("/api/devices/{session_id:str}", summary="Sign a device out")
async def remove_device(
    session_id: FromPath[str], database: NamedDependency[Database], clock: NamedDependency[Clock]
) -> None:
    """Any keeper may remove any device; its next call is refused."""
    if not await people.revoke_session(database, session_id, clock()):
        raise Refusal(
            404, "not_found", "no such device is signed in", where="session_id", right="an id of GET /api/devices"
        )


async def _signed_in(
    request: AnyRequest, database: Database, person: Person, at: DeviceSignIn, now: datetime
) -> Response[SignedInAs]:
    former = await find_signed_in(request)
    if former is not None and former.hand_over is None:
        await people.revoke_session(database, former.session_id, now)
    token = secrets.token_urlsafe(32)
    label = device_label(at.device_label)
    await people.begin_session(database, person.id, at.device, label, token, now, str(uuid4()))
    log.info("%s signed in on %s", person.name, label)
    return Response(SignedInAs(PersonBrief(person.id, person.name)), cookies=[session_cookie(token, visit_of(request))])


def _device(session: Session, signed_in: SignedIn) -> Device:
    return Device(
        id=session.id,
        device=session.device,
        label=session.device_label,
        person_id=session.person_id,
        created_at=session.created_at,
        last_seen_at=session.last_seen_at,
        this=session.id == signed_in.session_id,
    )


def _already_begun() -> Refusal:
    return Refusal(409, "already_begun", "somebody runs this server already", right="sign in with name and passphrase")


def desk_of(state: State) -> SignInDesk:
    """The application's one desk."""
    desk: SignInDesk = state.desk
    return desk


sign_in_routes = Router(
    path="/",
    route_handlers=[start, add_first, sign_in, sign_in_to_example, sign_out, devices, remove_device],
    dependencies={"desk": Provide(desk_of, sync_to_thread=False)},
    request_max_body_size=_MAX_BODY,
)
