"""Where a browser takes notifications: an address its maker's push service gave it, and two keys (RFC 8030, RFC 8291).

The address comes from a browser and is called by the server, so it may only be one that a push service could have:
https on its usual port, a name and no number. Whether the name leads to a public machine is looked at at each call.
"""

import re
from base64 import urlsafe_b64decode
from binascii import Error as NotBase64
from urllib.parse import urlsplit

from evenwater.domain.errors import DomainError

LONGEST_ADDRESS = 1000
_HOST = re.compile(r"(?=.{4,253}\Z)([a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z]([a-z0-9-]{0,61}[a-z0-9])?", re.ASCII)
_POINT_BYTES, _SECRET_BYTES = 65, 16
_UNCOMPRESSED = 4


class NotAPushAddress(DomainError):
    """Not what a browser's push service gives out."""

    code = "not_a_push_address"


def push_host(endpoint: str) -> str:
    """The host name of a push address.

    Raises:
        NotAPushAddress: it is none.
    """
    try:
        parts = urlsplit(endpoint)
        port = parts.port
    except ValueError:
        raise _no_address() from None
    plain = endpoint.isascii() and endpoint.isprintable() and " " not in endpoint and len(endpoint) <= LONGEST_ADDRESS
    named = parts.username is None and parts.password is None and not parts.fragment
    host = parts.hostname or ""
    if not (plain and named and parts.scheme == "https" and port in (None, 443) and _HOST.fullmatch(host)):
        raise _no_address()
    return host


def push_keys(p256dh: str, auth: str) -> tuple[bytes, bytes]:
    """A browser's public key (65 bytes, uncompressed) and its secret (16 bytes) from their base64url.

    Raises:
        NotAPushAddress: one of them is none.
    """
    point, secret = _bytes(p256dh, "keys.p256dh"), _bytes(auth, "keys.auth")
    if len(point) != _POINT_BYTES or point[0] != _UNCOMPRESSED:
        raise NotAPushAddress("the key is none of a browser", where="keys.p256dh", right="65 bytes as base64url")
    if len(secret) != _SECRET_BYTES:
        raise NotAPushAddress("the secret is none of a browser", where="keys.auth", right="16 bytes as base64url")
    return point, secret


def _bytes(text: str, where: str) -> bytes:
    try:
        return urlsafe_b64decode(text.rstrip("=").encode("ascii") + b"=" * (-len(text.rstrip("=")) % 4))
    except (NotBase64, UnicodeEncodeError):
        raise NotAPushAddress("not base64url", where=where, right="as the browser gives it") from None


def _no_address() -> NotAPushAddress:
    return NotAPushAddress(
        "this is no address of a push service", where="endpoint", right="https, a host name, as the browser gives it"
    )
