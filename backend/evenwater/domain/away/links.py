"""A helper's link: to which device it is bound, and whether it may move to another.

The first tap on "Use this phone" binds it. Each browser keeps its own storage, so that what a camera app opens, the
browser and the home screen are three devices on one phone: within a day the link may move once by itself, later when
a keeper lets it.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Literal

from msgspec import Struct

from evenwater.domain.away.hand_over import MOVES_WITHIN

Bound = Literal["first", "again", "moved"]
FREE_MOVES = 1


class HelperLink(Struct, frozen=True, kw_only=True):
    """One link. `moves`: how often it went from one device to another; `may_move`: a keeper lets it go once more."""

    id: str
    hand_over: str
    helper: str
    made_at: datetime
    made_by: str
    first_bound_at: datetime | None = None
    moves: int = 0
    may_move: bool = False
    revoked_at: datetime | None = None


class HelperDevice(Struct, frozen=True, kw_only=True):
    """A browser a link is or was bound to; `device` is the id it made for itself."""

    id: str
    link: str
    device: str
    label: str
    bound_at: datetime
    last_seen_at: datetime
    ended_at: datetime | None = None


def moves_left(link: HelperLink, now: datetime) -> int:
    """How often it may still move by itself."""
    if link.first_bound_at is not None and now - link.first_bound_at >= MOVES_WITHIN:
        return 0
    return max(0, FREE_MOVES - link.moves)


def may_bind(link: HelperLink, bound: Sequence[HelperDevice], device: str, now: datetime) -> Bound | None:
    """What binding it to that device would be; None when it may not.

    Args:
        link: The link.
        bound: The devices it is bound to now.
        device: The id of the browser that asks.
        now: The moment.
    """
    if link.revoked_at is not None:
        return None
    if link.first_bound_at is None:
        return "first"
    if any(one.device == device for one in bound):
        return "again"
    return "moved" if link.may_move or moves_left(link, now) > 0 else None


def still_may_move(link: HelperLink, bound: Bound, now: datetime) -> bool:
    """Whether what a keeper allowed is left after that binding: what it may by itself is used up first."""
    return link.may_move and (bound != "moved" or moves_left(link, now) > 0)
