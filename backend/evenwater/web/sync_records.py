"""What travels in POST /api/sync: the call, a verdict for each entry, the answer."""

from datetime import date, datetime
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, Struct, UnsetType

from evenwater.domain.entries import Uuid
from evenwater.domain.rounds.jobs import PlanNews
from evenwater.storage.entry_log import LoggedContent

MAX_ENTRIES = 500


class SyncRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """What a device sends. `plan_tags`: the tag of each day of the plan it has."""

    device: Uuid
    device_now: Annotated[datetime, Meta(tz=True)]
    app_version: Annotated[str, Meta(max_length=40)]
    epoch: Annotated[str, Meta(max_length=64)] | None
    cursor: Annotated[int, Meta(ge=0)]
    entries: Annotated[list[msgspec.Raw], Meta(max_length=MAX_ENTRIES)]
    want_plan: bool = True
    plan_tags: dict[str, str] = {}


class Verdict(Struct, frozen=True, omit_defaults=True):
    """What became of one entry. Refusals carry code, what, where and right; the others their place in the log."""

    id: str | None
    verdict: Literal["accepted", "already_here", "refused", "deferred"]
    seq: int | UnsetType = UNSET
    received_at: datetime | UnsetType = UNSET
    placed_at: datetime | UnsetType = UNSET
    placed_on: date | UnsetType = UNSET
    skew_s: float | UnsetType = UNSET
    time_doubtful: bool | UnsetType = UNSET
    code: str | UnsetType = UNSET
    what: str | UnsetType = UNSET
    where: str | UnsetType = UNSET
    right: str | UnsetType = UNSET


class SyncAnswer(Struct, frozen=True):
    """What a device gets back."""

    server_now: datetime
    epoch: str
    verdicts: list[Verdict]
    entries: list[LoggedContent]
    cursor: int
    more: bool
    plan: PlanNews | None
