"""POST /api/sync: take a device's entries, give back those it lacks, and the plan.

- A verdict per entry, same order and length as sent; a refused one holds up no other.
- Sending again is always safe: an entry already here, with the same content, says so.
- Nothing is confirmed before it is on the disk, and what is there is confirmed whatever becomes of the plan.
"""

import logging
import sqlite3
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Annotated, Any

import msgspec
from litestar import Request, Router, post
from litestar.datastructures import State
from litestar.di import NamedDependency
from litestar.params import HeaderParameter, RawBody

from evenwater.domain.away.scope import Scope
from evenwater.domain.entries import Entry, Look, Set
from evenwater.domain.errors import DomainError
from evenwater.domain.people import SignedIn
from evenwater.domain.placing import place, to_millisecond
from evenwater.domain.pond import setting_value
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.domain.rounds.jobs import PlanNews
from evenwater.storage.database import Database
from evenwater.storage.entry_log import Arrival, Kept, Postponed, append, epoch_for, page_since
from evenwater.storage.errors import StorageUnavailable
from evenwater.storage.helper_links import rename_device
from evenwater.storage.people import move_session
from evenwater.web.exchange.sync_records import SyncAnswer, Verdict, read_request, refused
from evenwater.web.exchange.sync_schema import SyncOperation
from evenwater.web.helping.helper_pass import HelperPass
from evenwater.web.helping.helper_sync import Read, handed_on, judged, note_late
from evenwater.web.packing import unpacked
from evenwater.web.plans.planning import Planner
from evenwater.web.waking import wake

_log = logging.getLogger(__name__)

MAX_BODY = 1_000_000
PAGE = 500
KEPT_ON_DEVICE = timedelta(days=90)


@post(
    "/api/sync",
    status_code=200,
    request_max_body_size=MAX_BODY,
    summary="Send entries, get entries and the plan",
    operation_class=SyncOperation,
)
async def sync(
    body: RawBody,
    request: Request[Any, Any, State],
    signed_in: NamedDependency[SignedIn],
    helper_pass: NamedDependency[HelperPass | None],
    database: NamedDependency[Database],
    clock: NamedDependency[Callable[[], datetime]],
    planner: NamedDependency[Planner],
    content_encoding: Annotated[str, HeaderParameter(name="Content-Encoding")] = "",
) -> SyncAnswer:
    """Keep what is new, answer each entry, hand on what this device lacks."""
    data = read_request(unpacked(body, content_encoding, MAX_BODY))
    scope = helper_pass.scope if helper_pass else None
    if data.device != signed_in.device:
        await (rename_device if scope else move_session)(database, signed_in.session_id, data.device)
    now = to_millisecond(clock())
    skew_s = round((now - data.device_now).total_seconds(), 3)
    read = [_read(raw, signed_in, data.device, now, skew_s) for raw in data.entries]
    # What a helper says of the log is no reason to begin it anew.
    epoch = await epoch_for(database, data.epoch, 0 if scope else data.cursor)
    if scope and read:
        async with planner.helpers_turn:  # two calls at once must not give the same bag twice
            read = await judged(database, scope, await planner.known(now), read, now)
            kept = await _keep(database, read, now, skew_s)
            await note_late(database, scope, kept, now)
    else:
        kept = await _keep(database, read, now, skew_s)
    if any(isinstance(one, Arrival) and isinstance(one.entry, Look) and not one.entry.all_well for one in read):
        wake(request)  # somebody says that something is wrong: whoever must hear of it hears now
    cursor = _past_own(data.cursor, kept) if data.epoch == epoch else 0
    entries, more = [], False
    if cursor <= data.cursor:  # else its own entries were the end of the log, and nothing stands behind them
        entries, cursor, more = (
            await handed_on(database, scope, cursor, PAGE)
            if scope
            else await page_since(database, cursor, now - KEPT_ON_DEVICE, PAGE)
        )
    own = {one.seq for one in kept.values()}
    blanked = [one for one in kept.values() if one.erased]
    return SyncAnswer(
        server_now=now,
        epoch=epoch,
        verdicts=_verdicts(read, kept),
        # Of what was blanked since it was sent the device is to have what is kept.
        entries=[*(one for one in entries if one.seq not in own), *(one.as_logged for one in blanked)],
        cursor=cursor,
        more=more,
        plan=await _news(planner, scope, now, data.plan_tags) if data.want_plan and not more else None,
    )


async def _keep(database: Database, read: list[Read], now: datetime, skew_s: float) -> dict[str, Kept]:
    arrivals = [one for one in read if isinstance(one, Arrival)]
    postponed = [one for one in read if isinstance(one, Postponed)]
    return await append(database, arrivals, postponed, now, skew_s) if arrivals or postponed else {}


async def _news(planner: Planner, scope: Scope | None, now: datetime, tags: dict[str, str]) -> PlanNews | None:
    """The plan, or none where a fault keeps it from being made: the device goes on with the one it has.

    A helper gets theirs, and none once it is over.
    """
    if scope and scope.is_over:
        return None
    try:
        return await (planner.helper_news(now, scope, tags) if scope else planner.news(now, tags))
    except (StorageUnavailable, sqlite3.OperationalError):
        raise
    except Exception:  # a setting nobody thought of must not hold up what everybody writes down
        _log.exception("The plan could not be made; entries are answered all the same.")
        return None


def _read(
    raw: msgspec.Raw, signed_in: SignedIn, device: str, now: datetime, skew_s: float
) -> Arrival | Postponed | Verdict:
    content = bytes(raw)
    try:
        entry = read_entry(content)
        if isinstance(entry, Deferred):
            return Postponed(entry, signed_in.person_id, device, content)
        _check_sender(entry, signed_in, device)
        if isinstance(entry, Set):
            setting_value(entry)
        return Arrival(entry, place(entry, now, skew_s), content)
    except (DomainError, msgspec.MsgspecError) as error:
        return refused(_id_of(content), error)


def _check_sender(entry: Entry, signed_in: SignedIn, device: str) -> None:
    if entry.author != signed_in.person_id:
        raise NotSender("author is not the person signed in", where="author", right=signed_in.person_id)
    if entry.device != device:
        raise NotSender("device is not the one that sends", where="device", right=device)


class NotSender(DomainError):
    """An entry sent by somebody or something else than its own author and device."""

    code = "not_sender"


def _id_of(content: bytes) -> str | None:
    try:
        found: Any = msgspec.json.decode(content)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        return None
    found = found.get("id") if isinstance(found, dict) else None  # pyright: ignore[reportUnknownVariableType, reportUnknownMemberType]
    return found if isinstance(found, str) and len(found) <= 64 else None


def _past_own(cursor: int, kept: dict[str, Kept]) -> int:
    """The cursor past the entries just kept, when nothing of others stands before them."""
    fresh = {one.seq for one in kept.values() if not one.was_here}
    return max(fresh) if fresh and min(fresh) == cursor + 1 else cursor


def _verdicts(read: list[Arrival | Postponed | Verdict], kept: dict[str, Kept]) -> list[Verdict]:
    answered: set[str] = set()
    verdicts: list[Verdict] = []
    for one in read:
        if isinstance(one, Verdict):
            verdicts.append(one)
        elif isinstance(one, Postponed):
            verdicts.append(Verdict(one.head.id, "deferred"))
        else:
            here = kept[one.entry.id]
            again = here.was_here or one.entry.id in answered
            verdicts.append(_verdict(one.entry.id, here, again, not again or here.same_content(one.content)))
            answered.add(one.entry.id)
    return verdicts


def _verdict(entry_id: str, kept: Kept, again: bool, same: bool) -> Verdict:
    if not same:
        return Verdict(
            entry_id,
            "refused",
            code="id_reused",
            what="this id is in the log with other content",
            where="id",
            right="a new id for a new entry",
        )
    return Verdict(
        entry_id,
        "already_here" if again else "accepted",
        seq=kept.seq,
        received_at=kept.received_at,
        placed_at=kept.placed.at,
        placed_on=kept.placed.on,
        skew_s=kept.skew_s,
        time_doubtful=kept.placed.time_doubtful,
    )


sync_routes = Router(path="/", route_handlers=[sync])
