"""Where each fish of the register is, by its moves: in its own pond until the first that names it.

- Of a group named alone fewer may move than it holds: then it is in two places. Named beside others, all of it moves.
- Whoever says where a fish went is believed, wherever it was thought to be before.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

from evenwater.domain.entries import FishMove
from evenwater.domain.fish.outlook import Gone
from evenwater.domain.fish.register import Fish
from evenwater.domain.fold import Seen, of_kinds


class Stay(Struct, frozen=True):
    """From a date on so many of a fish were in each of these ponds; in none, they are gone."""

    since: date | None
    ponds: dict[str, int]


class Whereabouts(Struct, frozen=True):
    """Where a fish is, and was: `stays` oldest first, the first since ever. `last_pond`: where it is or last was."""

    stays: tuple[Stay, ...]
    last_pond: str
    gone: Gone | None
    gone_on: date | None
    quarantine: bool

    @property
    def here(self) -> dict[str, int]:
        """How many are in each pond now."""
        return self.stays[-1].ponds

    def pond_on(self, on: date) -> str | None:
        """Where most of it was on a date; the pond it was set up in before anything is known."""
        stay = [one for one in self.stays if one.since is None or one.since <= on][-1]
        return max(stay.ponds, key=lambda pond: stay.ponds[pond], default=None)


def whereabouts(fish: Iterable[Fish], facts: Sequence[Seen]) -> dict[str, Whereabouts]:
    """By the fish's id.

    Args:
        fish: The register.
        facts: Standing facts of every pond, oldest first.
    """
    moves: dict[str, list[tuple[Seen, FishMove]]] = {}
    for one in of_kinds(facts, FishMove):
        if isinstance(one.entry, FishMove):
            for name in dict.fromkeys(one.entry.fish):
                moves.setdefault(name, []).append((one, one.entry))
    return {one.id: _of(one, moves.get(one.id, ())) for one in fish}


def _of(fish: Fish, moves: Sequence[tuple[Seen, FishMove]]) -> Whereabouts:
    stays = [Stay(None, {fish.pond: fish.count})]
    last_pond, gone, gone_on, quarantine = fish.pond, None, None, False
    for one, move in moves:
        ponds = _moved(fish, stays[-1].ponds, move)
        stays.append(Stay(one.on, ponds))
        if ponds:
            last_pond, gone, gone_on = max(ponds, key=lambda pond: ponds[pond]), None, None
            quarantine = move.quarantine if move.to_pond else quarantine
        else:
            last_pond, gone_on = move.from_pond or last_pond, one.on
            gone = _gone(move)
    return Whereabouts(tuple(stays), last_pond, gone, gone_on, quarantine)


def _moved(fish: Fish, before: dict[str, int], move: FishMove) -> dict[str, int]:
    alone = len(set(move.fish)) == 1
    if move.from_pond is None or not before:  # new, or back from nowhere: where it is now is all there is to know
        return {move.to_pond: fish.count} if move.to_pond else {}
    # Told of a pond it was not thought to be in, it is taken from where it was.
    source = move.from_pond if move.from_pond in before else max(before, key=lambda pond: before[pond])
    many = min(move.count, before[source]) if alone else before[source]
    after = before | {source: before[source] - many}
    if move.to_pond is not None:
        after[move.to_pond] = after.get(move.to_pond, 0) + many
    return {pond: count for pond, count in after.items() if count}


def _gone(move: FishMove) -> Gone:
    return move.how if move.how in ("sold", "given", "died") else "left"
