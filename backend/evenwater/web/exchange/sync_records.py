"""What travels in POST /api/sync: the call, a verdict for each entry, the answer."""

import json
from datetime import date, datetime
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, Struct, UnsetType
from msgspec.structs import replace

from evenwater.domain.entries import Uuid
from evenwater.domain.errors import DomainError
from evenwater.domain.rounds.jobs import PlanNews
from evenwater.storage.entry_log import LoggedContent
from evenwater.web.errors import problem_of

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


_decode = msgspec.json.Decoder(SyncRequest).decode


def read_request(body: bytes) -> SyncRequest:
    """The call a device makes. Where an entry is broken text (half an emoji, a NaN), the others are read all the same.

    Raises:
        msgspec.DecodeError, UnicodeDecodeError: not a call, or broken outside its entries.
    """
    try:
        return _decode(body)
    except msgspec.ValidationError:
        raise
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        return _read_loosely(body, error)


def _read_loosely(body: bytes, error: Exception) -> SyncRequest:
    """Taken apart by a reader that minds less; each entry is then judged by itself, and a broken one refused alone."""
    try:
        call = json.loads(body.decode(errors="surrogateescape"))
        entries = [msgspec.Raw(json.dumps(entry).encode()) for entry in call["entries"]]
    except (ValueError, LookupError, TypeError):
        raise error from None
    if len(entries) > MAX_ENTRIES:
        raise error
    return replace(_decode(json.dumps({**call, "entries": []})), entries=entries)


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


def refused(entry_id: str | None, error: DomainError | msgspec.MsgspecError) -> Verdict:
    """The refusal of an entry for what was wrong with it."""
    problem = problem_of(error)
    return Verdict(entry_id, "refused", code=problem.code, what=problem.what, where=problem.where, right=problem.right)


class SyncAnswer(Struct, frozen=True):
    """What a device gets back."""

    server_now: datetime
    epoch: str
    verdicts: list[Verdict]
    entries: list[LoggedContent]
    cursor: int
    more: bool
    plan: PlanNews | None
