"""What swims in each pond: what its keeper set, and every move of fish since; who is in quarantine, and until when.

- A setting says what was in it when it was written down; later moves change that. Set for an earlier date, moves
  between that date and the writing count too.
- Fish that leave unweighed take their share by number along. Fish that come unweighed make the mass not known, until
  it is set anew; their number stays known.
"""

from collections.abc import Sequence
from contextlib import suppress
from datetime import date, datetime, timedelta
from typing import Any

import msgspec
from msgspec import Struct

from evenwater.domain.entries import FishMove, Set
from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Known, Seen, of_kinds
from evenwater.domain.pond import Pond, setting_value


class Stock(Struct, frozen=True):
    """The fish of a pond: how many, and all their mass [g]; None is not known."""

    count: int | None
    mass_g: float | None


def more_fish(now: Stock, then: Stock) -> float:
    """How much more or less fish there is than at another time [–]; by mass, else by number, else as much."""
    if now.mass_g is not None and then.mass_g:
        return now.mass_g / then.mass_g
    if now.count is not None and then.count:
        return now.count / then.count
    return 1.0


class Quarantine(Struct, frozen=True):
    """New fish kept apart from `begins` on; from `ends` on they may move, and are told of until they have."""

    count: int
    begins: date
    ends: date

    def over(self, on: date) -> bool:
        """Whether they may move on that date."""
        return on >= self.ends


class Moves(Struct, frozen=True):
    """All that stands of fish going from pond to pond, and of what the keepers set; each oldest first."""

    moves: tuple[Seen, ...]
    settings: tuple[Seen, ...]


_STOCK_FIELDS = ("fish_count", "fish_mass_g")
_AN_INSTANT = timedelta(microseconds=1)
_STAYED = timedelta(days=60)


def moves_of(known: Known) -> Moves:
    """What bears on the stock of every pond, looked out once from all that stands."""
    return Moves(
        tuple(of_kinds(known.facts, FishMove)),
        tuple(one for one in known.settings if isinstance(one.entry, Set) and one.entry.field in _STOCK_FIELDS),
    )


def stock_at(known: Moves, pond: str, at: datetime, on: date) -> Stock:
    """The fish of a pond at a moment, `on` being its civil date there."""
    return Stock(_count(known, pond, at, on), _mass_g(known, pond, at, on))


def _count(known: Moves, pond: str, at: datetime, on: date) -> int | None:
    base = _set_value(known.settings, pond, "fish_count", on)
    if base is None:
        return None
    count = int(base[1])
    for _, entry in _moves_since(known.moves, pond, base[0], at):
        count += entry.count if entry.to_pond == pond else -entry.count
    return max(0, count)


def _mass_g(known: Moves, pond: str, at: datetime, on: date) -> float | None:
    base = _set_value(known.settings, pond, "fish_mass_g", on)
    if base is None:
        return None
    mass_g = float(base[1])
    for one, entry in _moves_since(known.moves, pond, base[0], at):
        moved_g = entry.mass_g
        if moved_g is None and entry.from_pond == pond:
            before = _count(known, pond, one.at - _AN_INSTANT, one.on)
            moved_g = mass_g * min(1.0, entry.count / before) if before else None
        if moved_g is None:
            return None
        mass_g += moved_g if entry.to_pond == pond else -moved_g
    return max(0.0, mass_g)


def _moves_since(moves: Sequence[Seen], pond: str, since: Seen, until: datetime) -> list[tuple[Seen, FishMove]]:
    """Moves in or out of a pond after what `since` says was so."""
    assert isinstance(since.entry, Set)
    from_day = since.entry.effective_from
    return [
        (one, one.entry)
        for one in moves
        if isinstance(one.entry, FishMove)
        and one.at <= until
        and pond in (one.entry.from_pond, one.entry.to_pond)
        and (one.at > since.at or (from_day is not None and one.on > from_day))
    ]


def _set_value(settings: Sequence[Seen], pond: str, field: str, on: date) -> tuple[Seen, Any] | None:
    """The last value set of a field that holds on that date, by server order, and the entry that set it."""
    found: tuple[Seen, Any] | None = None
    for one in settings:
        entry = one.entry
        if isinstance(entry, Set) and (entry.target, entry.field, entry.pond) == ("pond", field, pond):
            holds = entry.effective_from is None or entry.effective_from <= on
            with suppress(DomainError, msgspec.ValidationError):
                found = (one, setting_value(entry)) if holds else found
    return found if found is not None and found[1] is not None else None


def quarantine_of(known: Moves, pond: Pond, on: date) -> Quarantine | None:
    """The new fish kept apart in that pond on a date, or free to move; None where there are none.

    A later arrival begins it anew for all. Fish nobody moved for two months after it have stayed.
    """
    count, begins = 0, None
    for one in known.moves:
        entry = one.entry
        if not isinstance(entry, FishMove) or one.on > on:
            continue
        if entry.to_pond == pond.id and entry.quarantine:
            count, begins = count + entry.count, one.on
        elif entry.from_pond == pond.id and count:
            count = max(0, count - entry.count)
    if begins is None or not count:
        return None
    ends = begins + timedelta(days=pond.quarantine_days)
    return Quarantine(count, begins, ends) if on < ends + _STAYED else None
