"""Who may send samples: whoever brings a key, as often as a key may be used.

- A key goes in the Authorization header. No session counts here, and a key counts nowhere else.
- Wrong keys are counted by the address they come from. A right key is not held up by a neighbour's wrong one: 256
  random bits are not found by guessing, but a logger that was set up wrongly may try all day.
"""

import math
from collections.abc import Callable
from datetime import datetime
from typing import Any

from litestar.connection import ASGIConnection, Request

from evenwater.storage.database import Database
from evenwater.storage.probe_keys import ProbeKey, use_probe_key
from evenwater.web.access.security import visit_of
from evenwater.web.errors import Refusal
from evenwater.web.rate import TokenBuckets

CALLS_PER_MIN = 60
_WRONG_AT_ONCE, _WRONG_PER_S = 20, 1 / 30
_LONGEST_TOKEN = 200


class ProbeDesk:
    """One per application. `clock` gives the moment, aware."""

    def __init__(self, database: Database, clock: Callable[[], datetime]) -> None:
        self._database, self._clock = database, clock
        self._calls = TokenBuckets(CALLS_PER_MIN, CALLS_PER_MIN / 60)
        self._wrong = TokenBuckets(_WRONG_AT_ONCE, _WRONG_PER_S)

    async def require_key(self, connection: ASGIConnection[Any, Any, Any, Any]) -> None:
        """Let a call pass that brings a key, before its body is read.

        Raises:
            Refusal: 401 probe_key without a key that opens it, 429 slow_down when it is too often.
        """
        now = self._clock()
        token = _bearer(connection.headers.getall("authorization", []))
        key = await use_probe_key(self._database, token, now) if token else None
        if key is None:
            _require_turn(self._wrong.take(visit_of(connection).source, now.timestamp()), "too many wrong keys")
            raise Refusal(
                401,
                "probe_key",
                "there is no such key, or it was revoked",
                where="Authorization",
                right="Bearer and a key, as it was shown once when it was made",
                WWW_Authenticate="Bearer",
            )
        _require_turn(self._calls.take(key.id, now.timestamp()), f"more than {CALLS_PER_MIN} calls a minute")
        connection.state.probe_key = key


def probe_key(request: Request[Any, Any, Any]) -> ProbeKey:
    """The key that was brought; found by the guard."""
    found: ProbeKey = request.state.probe_key
    return found


def _bearer(headers: list[str]) -> str:
    """The token of the one Authorization header; "" when there is none, or two."""
    scheme, _, token = headers[0].strip().partition(" ") if len(headers) == 1 else ("", "", "")
    token = token.strip()
    return token if scheme.lower() == "bearer" and len(token) <= _LONGEST_TOKEN else ""


def _require_turn(wait_s: float, what: str) -> None:
    if wait_s > 0:
        seconds = str(math.ceil(wait_s))
        raise Refusal(
            429, "slow_down", what, right=f"again in {seconds} s, several samples at once", Retry_After=seconds
        )
