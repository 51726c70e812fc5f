"""Entries, in any order, to what we know now.

- Facts stand by where they happened (`at`), then by id; settings by `seq`, unsent ones last. So the order in which
  entries arrive, and how often, changes nothing.
- A withdrawn entry is left out; a withdrawn withdrawal counts for nothing. Each take back has one target, so the chain
  is followed to its end. Take backs that chase each other in a ring withdraw nothing.
- Nothing here reads a clock: what is "recent" is for the caller to say.
"""

from collections.abc import Iterable
from contextlib import suppress
from datetime import date, datetime
from typing import Any, TypeVar

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.entries import Dose, Entry, Feed, NotDone, Reading, Set, TakeBack, Tick
from evenwater.domain.errors import DomainError
from evenwater.domain.placing import LoggedEntry
from evenwater.domain.pond import Pond, Range, setting_value
from evenwater.domain.standing_job import StandingJob

Of = TypeVar("Of", Pond, StandingJob, Range)


class Seen(Struct, frozen=True):
    """An entry as the server or a device sees it: `seq` is None while it has not been confirmed."""

    entry: Entry
    seq: int | None
    at: datetime
    on: date

    @property
    def order(self) -> tuple[datetime, str]:
        """Facts stand by place in time, then id."""
        return self.at, self.entry.id


def seen(logged: LoggedEntry) -> Seen:
    """A logged entry, placed."""
    return Seen(logged.entry, logged.seq, logged.placed_at, logged.placed_on)


def withdrawn_ids(entries: Iterable[Seen]) -> frozenset[str]:
    """Ids of all entries that are taken back, take backs that no longer count left out."""
    target_of = {one.entry.id: one.entry.entry for one in entries if isinstance(one.entry, TakeBack)}
    takers: dict[str, list[str]] = {}
    for taker, target in target_of.items():
        takers.setdefault(target, []).append(taker)
    in_ring = {taker for taker in target_of if _in_ring(taker, target_of)}
    counts: dict[str, bool] = {}
    # Deepest first: a take back counts when no take back of it counts.
    for start in target_of:
        stack = [start]
        while stack:
            taker = stack[-1]
            open_ones = [t for t in takers.get(taker, ()) if t not in counts and t not in in_ring]
            if taker in counts or taker in in_ring:
                stack.pop()
            elif open_ones:
                stack.extend(open_ones)
            else:
                counts[taker] = not any(counts.get(t, False) for t in takers.get(taker, ()))
                stack.pop()
    return frozenset(target_of[taker] for taker, effective in counts.items() if effective)


def _in_ring(taker: str, target_of: dict[str, str]) -> bool:
    here, steps = target_of[taker], 0
    while here in target_of and here != taker and steps <= len(target_of):
        here, steps = target_of[here], steps + 1
    return here == taker


class Known(Struct, frozen=True):
    """All that stands, folded: nothing withdrawn, each list oldest first."""

    facts: tuple[Seen, ...]
    settings: tuple[Seen, ...]

    def of_pond(self, pond: str) -> tuple[Seen, ...]:
        """The facts of one pond, oldest first."""
        return tuple(one for one in self.facts if one.entry.pond == pond)

    def ponds(self, on: date) -> list[Pond]:
        """Every pond that has been set up and not closed, by id, with its settings as they hold on that date."""
        names = sorted({s.entry.pond for s in self.settings if _target(s) == "pond"})
        ponds = [self._settled(Pond(id=name), name, "pond", on) for name in names]
        return [pond for pond in ponds if not pond.closed]

    def standing_jobs(self, pond: str, on: date) -> list[StandingJob]:
        """The pond's standing jobs that are switched on, in walking order."""
        targets = sorted({_target(s) for s in self.settings if s.entry.pond == pond and _target(s).startswith("job/")})
        jobs = [
            self._settled(StandingJob(id=target.partition("/")[2], pond=pond), pond, target, on) for target in targets
        ]
        return sorted((job for job in jobs if job.active), key=lambda job: (job.order, job.id))

    def ranges(self, pond: str, on: date) -> dict[str, Range]:
        """The keeper's own cut points, by quantity; quantities nobody has set are left out."""
        targets = {_target(s) for s in self.settings if s.entry.pond == pond and _target(s).startswith("range/")}
        return {target.partition("/")[2]: self._settled(Range(), pond, target, on) for target in sorted(targets)}

    def _settled(self, start: Of, pond: str, target: str, on: date) -> Of:
        """`start` with every field set for that date; the last by server order that is still a value of it wins.

        What an older version took and this one would refuse is passed over: no old entry may take the plan away.
        """
        values: dict[str, Any] = {}
        for one in self.settings:
            entry = one.entry
            if (
                isinstance(entry, Set)
                and entry.pond == pond
                and entry.target == target
                and (entry.effective_from is None or entry.effective_from <= on)
            ):
                with suppress(DomainError, msgspec.ValidationError):
                    values[entry.field] = setting_value(entry)
        return replace(start, **values)


def _target(one: Seen) -> str:
    return one.entry.target if isinstance(one.entry, Set) else ""


def fold(entries: Iterable[Seen]) -> Known:
    """One state from any order and any repetition of the same entries.

    The same id seen twice is one entry; the confirmed copy wins over the unconfirmed.
    """
    by_id: dict[str, Seen] = {}
    for one in entries:
        before = by_id.get(one.entry.id)
        if before is None or (before.seq is None and one.seq is not None):
            by_id[one.entry.id] = one
    gone = withdrawn_ids(by_id.values())
    standing = [one for one in by_id.values() if one.entry.id not in gone]
    facts = sorted((one for one in standing if not isinstance(one.entry, Set | TakeBack)), key=lambda one: one.order)
    settings = sorted(
        (one for one in standing if isinstance(one.entry, Set)),
        key=lambda one: (one.seq is None, one.seq or 0, one.order),
    )
    return Known(tuple(facts), tuple(settings))


def buffer_doses(facts: Iterable[Seen]) -> list[tuple[datetime, float, str, Seen]]:
    """(at, grams, substance, entry) of every buffer dose: ticks that carry an amount, and doses of their own."""
    return [
        (one.at, one.entry.amount_g, one.entry.substance or "sodium_bicarbonate", one)
        for one in facts
        if isinstance(one.entry, Tick | Dose) and one.entry.amount_g
    ]


def feeds(facts: Iterable[Seen]) -> list[tuple[Seen, float, float | None]]:
    """(entry, grams, protein share or None) of all food given: ticks that carry food, and food no job asked for."""
    return [
        (one, one.entry.feed_g, one.entry.protein_fraction if isinstance(one.entry, Feed) else None)
        for one in facts
        if isinstance(one.entry, Tick | Feed) and one.entry.feed_g is not None
    ]


def readings_of(facts: Iterable[Seen], quantity: str, point: str = "pond") -> list[Seen]:
    """Readings of one quantity at one point, oldest first."""
    return [
        one
        for one in facts
        if isinstance(one.entry, Reading) and one.entry.quantity == quantity and one.entry.point == point
    ]


def job_key(entry: Tick | NotDone) -> str:
    """`standing_job/due_on/slot`: the job an answer is about."""
    return f"{entry.standing_job}/{entry.due_on.isoformat()}/{entry.slot}"
