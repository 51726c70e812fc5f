"""What is different in POST /api/sync when a helper's device calls: what it may add, what it is given back.

- Each entry is judged by itself (`domain/away/allowed.py`); one that is in the log already is answered as ever,
  whatever the keepers have changed since.
- In the week after the last day entries dated inside are still taken, and marked; nothing is given back any more.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

from evenwater.domain.away.allowed import MOST_IN_A_DAY, Given, Own, TooMany, check_allowed, given_by
from evenwater.domain.away.scope import Scope
from evenwater.domain.entries import Reading, TakeBack, Tick
from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Known
from evenwater.domain.rounds.heard.notices import NotTaken
from evenwater.storage.database import Database
from evenwater.storage.entry_log import Arrival, Kept, LoggedContent, Postponed
from evenwater.storage.helper_log import keep_refused, kept_since, mark_late, own_of, page_for
from evenwater.web.exchange.sync_records import Verdict, refused

Read = Arrival | Postponed | Verdict


_SAID_AND_DONE = ("not_for_helpers", "above_ceiling", "over")
"""Why what a helper did at the water may be refused; a trial round's was not done, and the rest is a faulty phone's."""


async def judged(database: Database, scope: Scope, known: Known, read: Sequence[Read], now: datetime) -> list[Read]:
    """What was read, with a refusal in the place of whatever a helper may not add; the keepers are told of those."""
    arrivals = [one.entry for one in read if isinstance(one, Arrival)]
    targets = [entry.entry for entry in arrivals if isinstance(entry, TakeBack)]
    # Grows as it goes: what this call adds may be taken back by it.
    here = await own_of(database, [*(entry.id for entry in arrivals), *targets])
    given = given_by(((one.entry, one.on) for one in known.facts), scope.helper.id)
    room = MOST_IN_A_DAY - await kept_since(database, scope.helper.id, now - timedelta(days=1))
    answered: list[Read] = []
    for one in read:
        answered.append(_judged(one, scope, given, here, room > 0))
        room -= isinstance(answered[-1], Arrival)
    if not_taken := [told for pair in zip(read, answered, strict=True) if (told := _not_taken(*pair, scope))]:
        await keep_refused(database, not_taken, now)
    return answered


def _not_taken(sent: Read, answer: Read, scope: Scope) -> NotTaken | None:
    """What the keepers must hear of: an amount or a job, refused to somebody who was at the water with it."""
    if not isinstance(sent, Arrival) or not isinstance(answer, Verdict) or answer.code not in _SAID_AND_DONE:
        return None
    entry = sent.entry
    if not isinstance(entry, Tick | Reading) or entry.pond not in scope.hand_over.ponds:
        return None
    return NotTaken(entry.id, scope.hand_over.id, scope.helper.id, entry.pond, sent.placed.at, answer.what or "")


def _judged(one: Read, scope: Scope, given: Given, known: dict[str, Own], is_room: bool) -> Read:
    if isinstance(one, Postponed):
        return _newer(one)
    if isinstance(one, Verdict) or one.entry.id in known:
        return one
    entry, on = one.entry, one.placed.on
    try:
        if not is_room:
            raise TooMany
        check_allowed(entry, on, scope, given, known)
    except DomainError as error:
        return refused(entry.id, error)
    known[entry.id] = Own(entry.author, on, str(entry.__struct_config__.tag))
    if isinstance(entry, Tick):
        given.add(entry, on)
    elif isinstance(entry, TakeBack):
        given.drop(entry.entry)
    return one


def _newer(one: Postponed) -> Verdict:
    """What cannot be read cannot be judged, and so is not kept for later either."""
    return Verdict(
        one.head.id,
        "refused",
        code="not_for_helpers",
        what=f"this server does not know {one.head.kind!r} in version {one.head.v}",
        where="kind",
        right="reload the app, and record it again",
    )


async def handed_on(database: Database, scope: Scope, cursor: int, limit: int) -> tuple[list[LoggedContent], int, bool]:
    """A page of what the helper is shown; nothing once the hand-over is over."""
    return ([], cursor, False) if scope.is_over else await page_for(database, scope, cursor, limit)


async def note_late(database: Database, scope: Scope, kept: dict[str, Kept], now: datetime) -> None:
    """Mark what came after the last day."""
    fresh = [entry for entry, one in kept.items() if not one.was_here]
    if scope.phase == "late" and fresh:
        await mark_late(database, scope.hand_over.id, fresh, now)
