"""Who may read a calendar: whoever has its address, as often as a calendar program may ask.

- The address is the key: 256 random bits, kept as a hash. No session counts here, and it opens nothing else.
- Wrong addresses are counted by where they come from, right ones by the calendar: a program that asks every minute is
  answered, one that asks every second is told to wait.
"""

import math
from collections.abc import Callable
from datetime import datetime
from typing import Any

from litestar.connection import ASGIConnection, Request

from evenwater.storage.database import Database
from evenwater.storage.feed import Feed, feed_by_token
from evenwater.web.access.security import visit_of
from evenwater.web.errors import Refusal
from evenwater.web.rate import TokenBuckets

ENDING = ".ics"
READS_AT_ONCE, READS_PER_S = 10, 1 / 20
WRONG_AT_ONCE, WRONG_PER_S = 20, 1 / 30
_LONGEST_TOKEN = 100


class FeedDesk:
    """One per application. `clock` gives the moment, aware."""

    def __init__(self, database: Database, clock: Callable[[], datetime]) -> None:
        self._database, self._clock = database, clock
        self._reads = TokenBuckets(READS_AT_ONCE, READS_PER_S)
        self._wrong = TokenBuckets(WRONG_AT_ONCE, WRONG_PER_S)

    async def require_address(self, connection: ASGIConnection[Any, Any, Any, Any]) -> None:
        """Let a call pass whose path names a calendar.

        Raises:
            Refusal: 404 not_found where it names none, 429 slow_down when it comes too often.
        """
        now = self._clock()
        name = str(connection.path_params["name"])
        token = name.removesuffix(ENDING)
        looks_right = name.endswith(ENDING) and len(token) <= _LONGEST_TOKEN
        feed = await feed_by_token(self._database, token) if looks_right else None
        if feed is None:
            _require_turn(self._wrong.take(visit_of(connection).source, now.timestamp()), "too many wrong addresses")
            raise Refusal(
                404,
                "not_found",
                "there is no such calendar, or it was ended",
                where="path",
                right="the address as the app showed it once; a new one can be made there",
            )
        _require_turn(self._reads.take(feed.person_id, now.timestamp()), "this calendar is read too often")
        connection.state.feed = feed


def feed_read(request: Request[Any, Any, Any]) -> Feed:
    """The calendar that is read; found by the guard."""
    found: Feed = request.state.feed
    return found


def _require_turn(wait_s: float, what: str) -> None:
    if wait_s > 0:
        seconds = str(math.ceil(wait_s))
        raise Refusal(429, "slow_down", what, where="path", right=f"again in {seconds} s", Retry_After=seconds)
