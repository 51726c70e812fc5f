"""Entries, in any order, to what we know now.

- Facts stand by where they happened (`at`), then by id; settings by `seq`, unsent ones last. So the order in which
  entries arrive, and how often, changes nothing.
- A withdrawn entry is left out; a withdrawn withdrawal counts for nothing. Each take back has one target, so the chain
  is followed to its end. Take backs that chase each other in a ring withdraw nothing.
- Nothing here reads a clock: what is "recent" is for the caller to say.
- `Fold` keeps the same state while entries come; adding some is cheap, and gives what `fold` gives of all.
"""

from bisect import insort
from collections.abc import Iterable
from contextlib import suppress
from datetime import UTC, date, datetime
from functools import cached_property
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.away.hand_over import HandOver
from evenwater.domain.entries import Dose, Entry, Feed, NotDone, Reading, Set, TakeBack, Tick, zone_named
from evenwater.domain.errors import DomainError
from evenwater.domain.fish.register import Fish
from evenwater.domain.kit import KitItem
from evenwater.domain.placing import LoggedEntry
from evenwater.domain.pond import Pond, Range, setting_value
from evenwater.domain.standing_job import StandingJob

Of = TypeVar("Of", Pond, StandingJob, Range, HandOver, KitItem, Fish)


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


class Facts(tuple[Seen, ...]):
    """Standing facts, oldest first, that know where each kind is, and each reading: nearly all that asks, asks so.

    `volumes` [L] and `inflows` [L/day]: how much water there was and how much came in when they happened, as (from,
    much) in order of time; none where one figure held throughout.
    """

    volumes: tuple[tuple[date, float], ...] = ()
    inflows: tuple[tuple[date, float], ...] = ()

    def of_kinds(self, *kinds: type[Entry]) -> list[Seen]:
        """Those of some kinds, oldest first."""
        found = [self._by_kind[kind] for kind in kinds if kind in self._by_kind]
        return found[0][:] if len(found) == 1 else [one for one in self if type(one.entry) in kinds] if found else []

    @cached_property
    def _by_kind(self) -> dict[type[Entry], list[Seen]]:
        found: dict[type[Entry], list[Seen]] = {}
        for one in self:
            found.setdefault(type(one.entry), []).append(one)
        return found

    def readings(self, quantity: str, point: str) -> list[Seen]:
        """Readings of one quantity at one point, oldest first."""
        return self._by_point.get((quantity, point), [])[:]

    def quantities_at(self, point: str) -> list[str]:
        """What was ever read at a point."""
        return [quantity for quantity, at in self._by_point if at == point]

    @cached_property
    def _by_point(self) -> dict[tuple[str, str], list[Seen]]:
        found: dict[tuple[str, str], list[Seen]] = {}
        for one in self.of_kinds(Reading):
            if isinstance(one.entry, Reading):
                found.setdefault((one.entry.quantity, one.entry.point), []).append(one)
        return found

    @cached_property
    def meals(self) -> "tuple[Meal, ...]":
        """As `feeds`."""
        return tuple(_meals_in((*self.of_kinds(Tick), *self.of_kinds(Feed))))

    @cached_property
    def doses(self) -> "tuple[GivenDose, ...]":
        """As `buffer_doses`."""
        return tuple(_doses_in((*self.of_kinds(Tick), *self.of_kinds(Dose))))


class Settings(tuple[Seen, ...]):
    """Settings by server order, that know which are of what; each value is read once.

    What an older version took and this one would refuse is passed over: no old entry may take the plan away.
    """

    def of(self, pond: str, target: str) -> list[tuple[Set, Any]]:
        """(entry, value) of every setting of a target, the last by server order last."""
        return self._by_target.get((pond, target), [])

    def targets(self, pond: str, prefix: str) -> list[str]:
        """What has settings at a pond, of those that begin so, ascending."""
        return sorted({target for of, target in self._by_target if of == pond and target.startswith(prefix)})

    def of_fish(self) -> dict[str, list[tuple[Set, Any]]]:
        """(entry, value) of every setting of each fish, by its id, wherever it was written; in server order."""
        return self._by_fish

    @cached_property
    def _by_fish(self) -> dict[str, list[tuple[Set, Any]]]:
        found: dict[str, list[tuple[Set, Any]]] = {}
        for one in self:
            if isinstance(entry := one.entry, Set) and entry.target.startswith("fish/"):
                with suppress(DomainError, msgspec.ValidationError):
                    found.setdefault(entry.target[5:], []).append((entry, setting_value(entry)))
        return found

    def held(self, pond: str, field: str) -> tuple[tuple[date, float], ...]:
        """What a pond's setting was, each from its date on, in order of time; none where one held throughout.

        What was said to have been so always holds before the first date; where only dated ones were told, the earliest
        does.
        """
        told = [(entry, value) for entry, value in self.of(pond, "pond") if entry.field == field and value is not None]
        dates = sorted({entry.effective_from for entry, _ in told if entry.effective_from})
        found: list[tuple[date, float]] = []
        for on in (date.min, *dates):
            held = [value for entry, value in told if _holds(entry, on)]
            if held and (not found or found[-1][1] != held[-1]):
                found.append((on, held[-1]))
        return tuple(found) if len(found) > 1 else ()

    def ponds(self) -> list[str]:
        """Every pond that has settings of its own, by id."""
        return sorted({pond for pond, target in self._by_target if target == "pond"})

    @cached_property
    def _by_target(self) -> dict[tuple[str, str], list[tuple[Set, Any]]]:
        found: dict[tuple[str, str], list[tuple[Set, Any]]] = {}
        for one in self:
            if isinstance(entry := one.entry, Set):
                of = found.setdefault((entry.pond, entry.target), [])
                with suppress(DomainError, msgspec.ValidationError):
                    of.append((entry, setting_value(entry)))
        return found


class Known(Struct, frozen=True):
    """All that stands, folded: nothing withdrawn, each list oldest first."""

    facts: tuple[Seen, ...]
    settings: Settings

    def of_pond(self, pond: str) -> Facts:
        """The facts of one pond, oldest first."""
        facts = Facts(one for one in self.facts if one.entry.pond == pond)
        facts.volumes = self.settings.held(pond, "volume_l")
        facts.inflows = self.settings.held(pond, "inflow_l_per_day")
        return facts

    def ponds(self, on: date) -> list[Pond]:
        """Every pond that has been set up and not closed, by id, with its settings as they hold on that date."""
        ponds = [self._pond(name, on) for name in self.settings.ponds()]
        return [pond for pond in ponds if not pond.closed]

    def _pond(self, name: str, on: date) -> Pond:
        pond = self._settled(Pond(id=name), name, "pond", on)
        targets = self.settings.targets(name, "kit/")
        if not targets:
            return pond
        kit = {item.id: item for item in pond.kit}
        for target in targets:
            item = target.partition("/")[2]
            kit[item] = self._settled(kit.get(item) or KitItem(id=item, name=item), name, target, on)
        return replace(pond, kit=tuple(item for item in kit.values() if not item.removed))

    def civil_date(self, now: datetime) -> tuple[date, ZoneInfo]:
        """The civil date by which all ponds are looked at, and its zone: the first pond's, UTC without one."""
        ponds = self.ponds(now.astimezone(UTC).date())
        zone = zone_named(ponds[0].zone if ponds else "UTC")
        return now.astimezone(zone).date(), zone

    def standing_jobs(self, pond: str, on: date) -> list[StandingJob]:
        """The pond's standing jobs that are switched on, in walking order."""
        jobs = [
            self._settled(StandingJob(id=target.partition("/")[2], pond=pond), pond, target, on)
            for target in self.settings.targets(pond, "job/")
        ]
        return sorted((job for job in jobs if job.active), key=lambda job: (job.order, job.id))

    def ranges(self, pond: str, on: date) -> dict[str, Range]:
        """The keeper's own cut points, by quantity; quantities nobody has set are left out."""
        targets = self.settings.targets(pond, "range/")
        return {target.partition("/")[2]: self._settled(Range(), pond, target, on) for target in targets}

    def fish(self, on: date) -> list[Fish]:
        """Every fish of the register, as set for that date, by id; those set up by mistake left out."""
        found: list[Fish] = []
        for name, told in sorted(self.settings.of_fish().items()):
            values = {entry.field: value for entry, value in told if _holds(entry, on)}
            found.append(replace(Fish(id=name, pond=told[0][0].pond), **values))
        return [one for one in found if not one.closed]

    def hand_overs(self, on: date) -> list[HandOver]:
        """Every hand-over there ever was, as set for that date, the first to begin first."""
        found = [
            self._settled(HandOver(id=target.partition("/")[2], pond=pond), pond, target, on)
            for pond in self.settings.ponds()
            for target in self.settings.targets(pond, "hand-over/")
        ]
        return sorted(found, key=lambda one: (one.begins_on or date.max, one.id))

    def _settled(self, start: Of, pond: str, target: str, on: date) -> Of:
        """`start` with every field set for that date; the last by server order wins."""
        values = {entry.field: value for entry, value in self.settings.of(pond, target) if _holds(entry, on)}
        return replace(start, **values)


def _holds(entry: Set, on: date) -> bool:
    return entry.effective_from is None or entry.effective_from <= on


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
    facts = sorted((one for one in standing if not isinstance(one.entry, Set | TakeBack)), key=_fact_order)
    settings = sorted((one for one in standing if isinstance(one.entry, Set)), key=_setting_order)
    return Known(tuple(facts), Settings(settings))


def _fact_order(one: Seen) -> tuple[datetime, str]:
    return one.order


def _setting_order(one: Seen) -> tuple[bool, int, tuple[datetime, str]]:
    return one.seq is None, one.seq or 0, one.order


class Fold:
    """All that stands, kept while entries come."""

    def __init__(self) -> None:
        self._by_id: dict[str, Seen] = {}
        self._targets: set[str] = set()
        self._facts: list[Seen] = []
        self._settings = Settings()

    def __len__(self) -> int:
        return len(self._by_id)

    def add(self, entries: Iterable[Seen]) -> None:
        """Take in more, in any order and repetition."""
        known_before, again = len(self._by_id), False
        fresh: list[Seen] = []
        for one in entries:
            before = self._by_id.get(one.entry.id)
            if before is None or (before.seq is None and one.seq is not None):
                self._by_id[one.entry.id] = one
                fresh.append(one)
                # What takes back, is taken back or is seen a second time changes what stood before.
                again = again or before is not None or isinstance(one.entry, TakeBack)
        again = again or any(one.entry.id in self._targets for one in fresh)
        if again or len(fresh) > known_before:
            self._fold_all()
            return
        for one in fresh:
            if not isinstance(one.entry, Set):
                insort(self._facts, one, key=_fact_order)
        if settings := [one for one in fresh if isinstance(one.entry, Set)]:
            self._settings = Settings(sorted((*self._settings, *settings), key=_setting_order))

    def _fold_all(self) -> None:
        known = fold(self._by_id.values())
        self._facts, self._settings = list(known.facts), known.settings
        takers = (one.entry for one in self._by_id.values())
        self._targets = {entry.entry for entry in takers if isinstance(entry, TakeBack)}

    def known(self) -> Known:
        """What stands now."""
        return Known(tuple(self._facts), self._settings)


def of_kinds(facts: Iterable[Seen], *kinds: type[Entry]) -> list[Seen]:
    """The facts of some kinds, oldest first where the facts are."""
    return facts.of_kinds(*kinds) if isinstance(facts, Facts) else [one for one in facts if type(one.entry) in kinds]


GivenDose = tuple[datetime, float, str, Seen]
Meal = tuple[Seen, float, float | None]


def buffer_doses(facts: Iterable[Seen]) -> list[GivenDose]:
    """(at, grams, substance, entry) of every buffer dose: ticks that carry an amount, and doses of their own."""
    return list(facts.doses) if isinstance(facts, Facts) else _doses_in(facts)


def _doses_in(facts: Iterable[Seen]) -> list[GivenDose]:
    given = [
        (one.at, one.entry.amount_g, one.entry.substance or "sodium_bicarbonate", one)
        for one in facts
        if isinstance(one.entry, Tick | Dose) and one.entry.amount_g
    ]
    return sorted(given, key=lambda dose: dose[3].order)


def feeds(facts: Iterable[Seen]) -> list[Meal]:
    """(entry, grams, protein share or None) of all food given: ticks that carry food, and food no job asked for."""
    return list(facts.meals) if isinstance(facts, Facts) else _meals_in(facts)


def _meals_in(facts: Iterable[Seen]) -> list[Meal]:
    given = [
        (one, one.entry.feed_g, one.entry.protein_fraction if isinstance(one.entry, Feed) else None)
        for one in facts
        if isinstance(one.entry, Tick | Feed) and one.entry.feed_g is not None
    ]
    return sorted(given, key=lambda meal: meal[0].order)


def readings_of(facts: Iterable[Seen], quantity: str, point: str = "pond") -> list[Seen]:
    """Readings of one quantity at one point, oldest first."""
    if isinstance(facts, Facts):
        return facts.readings(quantity, point)
    return [
        one
        for one in facts
        if isinstance(one.entry, Reading) and one.entry.quantity == quantity and one.entry.point == point
    ]


def job_key(entry: Tick | NotDone) -> str:
    """`standing_job/due_on/slot`: the job an answer is about."""
    return f"{entry.standing_job}/{entry.due_on.isoformat()}/{entry.slot}"
