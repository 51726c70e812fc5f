"""Who may call what. Every route needs a session unless it stands in OPEN, or in BY_KEY and asks for a probe's key.

A helper's device passes where FOR_HELPERS says so; all else is the keepers'.

In `create_app`:

    app = Litestar(..., guards=[require_sign_in], dependencies={..., **SIGNED_IN})
    secure(app, database, settings, clock, one_time_code)

A handler then takes `signed_in: NamedDependency[SignedIn]`. The check comes before the body is read.
"""

from collections.abc import Callable
from datetime import datetime
from typing import Any, cast

from litestar import Litestar, Request
from litestar.connection import ASGIConnection
from litestar.datastructures import Cookie
from litestar.di import Provide
from litestar.handlers import BaseRouteHandler
from litestar.types import HTTPScope

from evenwater.domain.people import SESSION_LIFE, SignedIn
from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.storage.people import use_session
from evenwater.web.access.gate import COOKIE, Gate, require_own_page
from evenwater.web.access.sign_in_desk import SignInDesk
from evenwater.web.errors import Refusal
from evenwater.web.helping.helper_pass import HelperPass, ended_refusal, find_pass, lives_on
from evenwater.web.visit import Visit

Connection = ASGIConnection[Any, Any, Any, Any]
Clock = Callable[[], datetime]

OPEN = frozenset(
    {
        ("GET", "/health"),
        ("GET", "/schema/openapi.json"),
        ("GET", "/"),
        ("GET", "/{path}"),
        ("GET", "/api/start"),
        ("POST", "/api/people/first"),
        ("POST", "/api/sign-in"),
        ("POST", "/api/sign-in/example"),
        ("POST", "/api/helper/look"),
        ("POST", "/api/helper/bind"),
        ("GET", "/api/reckon"),
        ("POST", "/api/reckon/{name}"),
        ("GET", "/print"),
        ("POST", "/print"),
        ("GET", "/trust"),
        ("GET", "/trust/authority.crt"),
    }
)

# What a helper's device may ask for, besides what is open; each of them looks at what the hand-over holds.
FOR_HELPERS = frozenset(
    {
        ("POST", "/api/sync"),
        ("PUT", "/api/photos/{photo_sum}"),
        ("GET", "/api/photos/{photo_sum}"),
        ("GET", "/api/photos/{photo_sum}/small"),
        ("POST", "/api/photos/lacking"),
    }
)

# No session opens these; the guard of each asks for a key of its own.
BY_KEY = frozenset(
    {
        ("POST", "/api/probe"),
        ("GET", "/feed/{name}"),
        ("GET", "/unsubscribe/{token}"),
        ("POST", "/unsubscribe/{token}"),
        ("GET", "/on-it/{token}"),
        ("POST", "/on-it/{token}"),
    }
)

# The framework's own pages about the schema; we serve it as JSON alone.
_NOT_SERVED = frozenset({"/schema", "/schema/{path}"})


def secure(
    app: Litestar, database: Database, settings: Settings, clock: Clock, one_time_code: str | None = None
) -> None:
    """Put the gate around an application, and tell its guards where sessions are kept.

    `one_time_code`: what the terminal shows; without it nobody begins a household from elsewhere.
    """
    app.state.sessions = (database, clock)
    app.state.desk = SignInDesk(one_time_code)
    app.asgi_handler = Gate(app.asgi_handler, settings)


async def require_sign_in(connection: Connection, _: BaseRouteHandler) -> None:
    """Guard of the whole application.

    Raises:
        Refusal: 401 sign_in, when the route is not open and the request brings no session that is; to a helper whose
            link has ended 401 with how; to one who asks for what is not theirs 403 not_for_helpers.
    """
    scope = cast("HTTPScope", connection.scope)  # the gate lets nothing else in
    if scope["path_template"] in _NOT_SERVED:
        raise Refusal(404, "not_found", "nothing here", where="path", right="/schema/openapi.json")
    route = (scope["method"], scope["path_template"])
    if route in OPEN | BY_KEY:
        return
    found = connection.state.signed_in = await find_signed_in(connection)
    if found is None:
        helper = helper_pass(connection)
        raise ended_refusal(helper.ended) if helper is not None and helper.ended else _sign_in_first()
    if found.hand_over is None and connection.state.get("plain_door"):
        raise Refusal(403, "not_plain", "keepers come in by https", where="scheme", right="the address with https")
    if found.hand_over is not None and route not in FOR_HELPERS:
        raise Refusal(403, "not_for_helpers", "this is for keepers", where="path", right="the jobs of your hand-over")


async def from_own_page(connection: Connection, _: BaseRouteHandler) -> None:
    """Guard of routes that make a session: as strict as for writes that carry one, so nobody is signed in unawares."""
    require_own_page(connection.scope["headers"], visit_of(connection))


async def find_signed_in(connection: Connection) -> SignedIn | None:
    """Whose session the request brings, if any. One indexed read; once an hour the session and its cookie live on.

    What is no session may be a helper's device: `helper_pass` then says more.
    """
    token = connection.cookies.get(COOKIE)
    if not token:
        return None
    database, clock = connection.app.state.sessions
    now = clock()
    used = await use_session(database, token, now)
    if used is None:
        found = connection.state.helper = await find_pass(database, connection.app.state.planner, token, now)
        if found is None:
            return None
        signed_in, lasts = found.signed_in, await lives_on(database, found, now)
    else:
        signed_in, lasts = used
    if lasts:
        connection.state.cookies.append(session_cookie(token, visit_of(connection)).to_header(header="").encode())
    return signed_in


def helper_pass(connection: Connection) -> HelperPass | None:
    """What a helper's device brought, open or ended; known once `find_signed_in` has looked."""
    found: HelperPass | None = connection.state.get("helper")
    return found


def signed_in(request: Request[Any, Any, Any]) -> SignedIn:
    """Who is asking; found by the guard."""
    found: SignedIn | None = request.state.get("signed_in")
    if found is None:
        raise _sign_in_first()
    return found


def visit_of(connection: Connection) -> Visit:
    """Where the request comes from; read at the gate."""
    visit: Visit = connection.state.visit
    return visit


def session_cookie(token: str, visit: Visit) -> Cookie:
    """The cookie that carries a session; an empty token takes it away."""
    return Cookie(
        COOKIE,
        value=token,
        max_age=int(SESSION_LIFE.total_seconds()) if token else 0,
        httponly=True,
        samesite="lax",
        secure=visit.scheme == "https",
    )


def _sign_in_first() -> Refusal:
    return Refusal(401, "sign_in", "nobody is signed in on this device", where=COOKIE, right="sign in first")


def _helper_pass(request: Request[Any, Any, Any]) -> HelperPass | None:
    return helper_pass(request)


SIGNED_IN = {
    "signed_in": Provide(signed_in, sync_to_thread=False),
    "helper_pass": Provide(_helper_pass, sync_to_thread=False),
}
