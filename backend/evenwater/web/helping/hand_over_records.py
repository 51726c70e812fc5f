"""What is said about hand-overs and their links over the wire."""

from datetime import date, datetime
from typing import Annotated, Literal

from msgspec import Meta, Struct

from evenwater.delivery.render.link_code import LinkCode
from evenwater.domain.entries import Uuid

Secret = Annotated[str, Meta(min_length=20, max_length=200, pattern=r"^[A-Za-z0-9_-]+\Z")]
LinkState = Literal["open", "not_yet", "bound_elsewhere", "over", "revoked"]


class LinkAsked(Struct, frozen=True, forbid_unknown_fields=True):
    """For which helper of the hand-over a link is to be made."""

    helper: Uuid


class LinkBrief(Struct, frozen=True):
    """A link as it was made."""

    id: str
    helper: str
    made_at: datetime


class LinkMade(Struct, frozen=True):
    """A new link; this answer alone holds its secret. `works_offline`: whether their phone keeps it for no signal."""

    link: LinkBrief
    url: str
    works_offline: bool
    secret: str
    code: LinkCode


class BoundDevice(Struct, frozen=True):
    """A browser the link is or was bound to."""

    id: str
    label: str
    bound_at: datetime
    ended_at: datetime | None
    last_seen_at: datetime


class LinkListed(Struct, frozen=True):
    """A link as a keeper sees it. `moves_left`: by itself; `may_move`: a keeper lets it move once more."""

    id: str
    helper: str
    made_at: datetime
    revoked_at: datetime | None
    devices: list[BoundDevice]
    moves_left: int
    may_move: bool


class LookAsked(Struct, frozen=True, forbid_unknown_fields=True):
    """The secret, from behind the # of the link."""

    secret: Secret


class HandOverBrief(Struct, frozen=True):
    """Who asks for help, with what and until when."""

    id: str
    name: str
    helper_name: str
    keeper_names: list[str]
    begins_on: date | None
    ends_on: date | None


class LinkLooked(Struct, frozen=True):
    """What a link is; looking binds nothing. `bound_here`: this very browser uses it already.

    A link that is "not_yet" may be bound: the round shows when its first day comes near.
    """

    state: LinkState
    hand_over: HandOverBrief
    works_offline: bool
    bound_here: bool = False
