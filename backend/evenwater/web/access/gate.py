"""The outermost layer: what comes in by a wrong name or from another site's page gets no further.

It stands around the whole application, so that unknown paths, errors and files pass it too.

- The Host must be one of ours. A page elsewhere can make its own name point at this machine; its Host gives it away.
- A write that carries a session must come from a page of ours. Browsers say so in Sec-Fetch-Site (where there is TLS or
  loopback) or Origin; what they say must not contradict. SameSite alone does not tell ports of one host apart.
"""

from collections.abc import Iterable

import msgspec
from litestar.types import ASGIApp, HTTPScope, Receive, Scope, Send

from evenwater.settings import Settings
from evenwater.web.errors import Problem, Refusal
from evenwater.web.headers import with_headers
from evenwater.web.unread_body import UnreadBody
from evenwater.web.visit import Visit, networks, own_hosts, read_visit

COOKIE = "evenwater_session"
_SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
_OWN_PAGE = frozenset({"same-origin", "none"})


class Gate:
    """Wraps an application. Inside, `request.client` and `request.url` are the person's, not the proxy's."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self._app = app
        self._hosts = own_hosts(settings)
        self._trusted = networks(settings.trusted_proxies)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008, "reason": ""})
            return
        visit = read_visit(scope, self._trusted)
        cookies: list[bytes] = []
        scope["state"].update(visit=visit, cookies=cookies)
        scope["client"], scope["scheme"] = (visit.address, 0), visit.scheme
        body = UnreadBody(scope["headers"], receive)
        send = body.sending(with_headers(send, scope["path"], cookies))
        try:
            self._require_known_host(visit)
            if scope["method"] not in _SAFE_METHODS and carries_session(scope):
                require_own_page(scope["headers"], visit)
        except Refusal as refusal:
            await _refuse(send, refusal.status_code, refusal.problem)
        else:
            await self._app(scope, body.receive, send)

    def _require_known_host(self, visit: Visit) -> None:
        if visit.host not in self._hosts:
            raise Refusal(
                400,
                "unknown_host",
                "this server does not go by that name",
                where="Host",
                right=f"one of {', '.join(sorted(self._hosts))}; to add one, start with --public-name",
            )


def require_own_page(headers: Iterable[tuple[bytes, bytes]], visit: Visit) -> None:
    """Let a request pass that a page of ours made.

    Raises:
        Refusal: 403 forbidden_origin, when it says otherwise, or nothing at all.
    """
    given = {name: value.decode("latin-1") for name, value in headers if name in (b"origin", b"sec-fetch-site")}
    origin, site = given.get(b"origin", ""), given.get(b"sec-fetch-site", "")
    # A page may have its Origin blanked to "null" by its own referrer policy; then Sec-Fetch-Site alone decides.
    origin_speaks = origin not in ("", "null")
    if (site or origin_speaks) and (not site or site in _OWN_PAGE) and (not origin_speaks or origin == visit.origin):
        return
    raise Refusal(
        403,
        "forbidden_origin",
        f"this write comes from {origin[:100] or 'an unnamed page'}",
        where="Origin",
        right=f"a page of {visit.origin}; behind a proxy, name the proxy with --trusted-proxy",
    )


def carries_session(scope: HTTPScope) -> bool:
    """Whether it brings a session's cookie, of whatever worth."""
    return any(name == b"cookie" and COOKIE.encode() in value for name, value in scope["headers"])


async def _refuse(send: Send, status_code: int, problem: Problem) -> None:
    body = msgspec.json.encode(problem)
    headers = [
        (b"content-type", b"application/json"),
        (b"content-length", str(len(body)).encode()),
        (b"cache-control", b"no-store"),
    ]
    await send({"type": "http.response.start", "status": status_code, "headers": headers})
    await send({"type": "http.response.body", "body": body, "more_body": False})
