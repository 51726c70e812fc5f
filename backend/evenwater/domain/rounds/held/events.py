"""What may be going on at the pond this minute, from entries alone: water running in, the power out, just back.

A device says the same without signal: frontend/domain/events.js. Both answer every case of
tests/reference/rounds/event_cases.json alike. `trouble` names the first steps (troubles.py).
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import Power, WaterRunning
from evenwater.domain.fold import Seen

USUAL_LIMIT_MIN: Final = 30.0
"""Where the keeper set none [min]. Common practice, no source."""
RINSE_AFTER_MIN: Final = 60.0
"""Without flow for longer, a filter is drained and rinsed before it runs into the pond [min].

Common practice, no source: an hour or two. We say the shorter, since what is in it dies unseen.
"""
_BACK_SHOWN: Final = timedelta(hours=24)
_A_MINUTE: Final = timedelta(minutes=1)


class Running(Struct, frozen=True):
    """Water that runs into a pond, since when; it matters from `serious_at` on.

    `dechlorinated`: whether it is; None where nobody said.
    """

    pond: str
    since: datetime
    minutes: int
    limit_min: float
    serious_at: datetime
    serious: bool
    dechlorinated: bool | None
    trouble: str = "water-running"


class Out(Struct, frozen=True):
    """The power is out."""

    since: datetime
    minutes: int
    rinse: bool
    trouble: str = "power-out"


class Back(Struct, frozen=True):
    """The power is back; `rinse`: it was out for so long that filters are rinsed before they run again."""

    since: datetime
    back_at: datetime
    minutes: int
    rinse: bool
    trouble: str = "power-back"


def water_running(
    facts: Sequence[Seen], now: datetime, pond: str | None = None, usual_min: float = USUAL_LIMIT_MIN
) -> Running | None:
    """The water that runs, in that pond or in any; of several the one that is serious first.

    Args:
        facts: Standing facts, oldest first.
        now: The moment; later facts are left out.
        pond: Which pond, None for all.
        usual_min: From when on it matters where whoever opened it did not say [min].
    """
    opened: dict[str, tuple[Seen, float, bool | None]] = {}
    for one in facts:
        entry = one.entry
        if not isinstance(entry, WaterRunning) or one.at > now or (pond is not None and entry.pond != pond):
            continue
        if not entry.running:
            opened.pop(entry.pond, None)
            continue
        first, limit_min, dechlorinated = opened.get(entry.pond, (one, usual_min, None))
        said = entry.dechlorinated if entry.dechlorinated is not None else dechlorinated
        opened[entry.pond] = first, entry.limit_min or limit_min, said
    running = [_running(name, *one, now) for name, one in opened.items()]
    return min(running, key=lambda one: (one.serious_at, one.pond), default=None)


def _running(pond: str, first: Seen, limit_min: float, dechlorinated: bool | None, now: datetime) -> Running:
    serious_at = first.at + timedelta(seconds=int(limit_min * 60 + 0.5))
    minutes = (now - first.at) // _A_MINUTE
    return Running(pond, first.at, minutes, limit_min, serious_at, now >= serious_at, dechlorinated)


def power_out(facts: Sequence[Seen], now: datetime) -> Out | None:
    """The power cut that lasts; one mains serves all ponds, so whichever pond it was written for."""
    since, _ = _power(facts, now)
    if since is None:
        return None
    minutes = (now - since) // _A_MINUTE
    return Out(since, minutes, minutes > RINSE_AFTER_MIN)


def power_back(facts: Sequence[Seen], now: datetime) -> Back | None:
    """The last power cut, for a day after the power came back; None while it is out."""
    since, last = _power(facts, now)
    if since is not None or last is None or now - last[1] > _BACK_SHOWN:
        return None
    minutes = (last[1] - last[0]) // _A_MINUTE
    return Back(last[0], last[1], minutes, minutes > RINSE_AFTER_MIN)


def _power(facts: Sequence[Seen], now: datetime) -> tuple[datetime | None, tuple[datetime, datetime] | None]:
    """Since when it is out, and (out, back) of the last cut that ended."""
    since: datetime | None = None
    last: tuple[datetime, datetime] | None = None
    for one in facts:
        if not isinstance(one.entry, Power) or one.at > now:
            continue
        if not one.entry.on:
            since = since or one.at
        elif since is not None:
            since, last = None, (since, one.at)
    return since, last
