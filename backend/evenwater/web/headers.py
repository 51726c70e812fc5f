"""What every answer says to the browser, whoever made it.

- Nothing is loaded, framed or sent to anywhere but this server. A page that needs an exception brings its own policy.
- Where the phone is may be asked by our own page alone: the keeper's tap puts the pond on the map, roughly.
- Pictures may also be blobs: a photo that is on the phone only is shown from there.
- No Strict-Transport-Security: it would cover every port of this host, the plain page that hands out the household's
  authority among them, and lock out a phone that has yet to trust it. Behind a proxy that is the proxy's to say.
"""

from litestar.types import Message, Send

CONTENT_POLICY = (
    "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'; "
    "img-src 'self' blob:"
)
_ALWAYS = [(b"x-content-type-options", b"nosniff"), (b"cross-origin-resource-policy", b"same-origin")]
_OF_A_PAGE = [
    (b"referrer-policy", b"no-referrer"),
    (b"permissions-policy", b"camera=(), geolocation=(self), microphone=(), payment=(), usb=()"),
]
# Governed by the page that loads them; with the page's headers on each, a first load is half headers. A worker's script
# stands for itself.
_GOVERNED_BY_A_PAGE = (b"text/javascript", b"text/css")
_WORKERS = frozenset({"/sw.js", "/sw-retire.js", "/photo-worker.js"})


def with_headers(send: Send, path: str, cookies: list[bytes]) -> Send:
    """`send`, with our headers on the answer; `cookies` may be filled until then and yield to one set by the answer."""

    async def send_with_headers(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = list(message["headers"])
            names = {name.lower() for name, _ in given}
            ours = list(_ALWAYS)
            if path in _WORKERS or not dict(given).get(b"content-type", b"").startswith(_GOVERNED_BY_A_PAGE):
                ours += _OF_A_PAGE
                if b"content-security-policy" not in names:
                    ours.append((b"content-security-policy", CONTENT_POLICY.encode()))
            if b"cache-control" not in names and path.startswith("/api/"):
                ours.append((b"cache-control", b"no-store"))
            if b"set-cookie" not in names:
                ours += [(b"set-cookie", cookie) for cookie in cookies]
            message["headers"] = given + ours
        await send(message)

    return send_with_headers
