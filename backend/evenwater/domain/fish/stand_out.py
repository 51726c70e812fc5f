"""Which fish stand out: against what their own past foretold, and against the others of their pond.

A good summer makes all of them grow more than foreseen; that is taken off first where there are enough to tell. Of
thirty fish that all do as usual, about one stands out by chance at a session: the sentence says what was seen, no more.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from math import exp
from statistics import median
from typing import Final

from msgspec import Struct

from evenwater.domain.fish.against_past import foretold_last
from evenwater.domain.fish.grown import Grown
from evenwater.domain.fish.growth import Point
from evenwater.domain.fish.measures import ln_weight

FAR: Final = 2.3
"""How many standard deviations off a fish stands out: two in a hundred do by chance."""
_OTHERS: Final = 5
_LIGHTER: Final = 0.15
_LATELY_DAYS: Final = 400


class Off(Struct, frozen=True):
    """How the last growth of a fish differs from what was foreseen: in standard deviations, and in words."""

    far: float
    low_cm: float
    high_cm: float
    grown_cm: float
    since: date


def who_stands_out(fish: Sequence[Grown], today: date) -> Mapping[str, str]:
    """By the fish's id, a sentence; those that do as expected are left out.

    Args:
        fish: Those of one pond.
        today: The date; what was measured longer ago than a year is old news.
    """
    told = {one.fish.id: off for one in fish if (off := _off(one, today)) is not None}
    shared = median(off.far for off in told.values()) if len(told) >= _OTHERS else 0.0
    found = {
        name: _words(off, compared=len(told) >= _OTHERS) for name, off in told.items() if abs(off.far - shared) > FAR
    }
    lighter = {one.fish.id: says for one in fish if (says := _lighter(one, today)) is not None}
    return {name: " ".join(says[name] for says in (found, lighter) if name in says) for name in {**found, **lighter}}


def _off(one: Grown, today: date) -> Off | None:
    foreseen = foretold_last(one)
    if foreseen is None or (today - one.dates[-1]).days > _LATELY_DAYS:
        return None
    last, before = one.points[-1], one.points[-2]
    half = FAR * foreseen.sd
    low_cm, high_cm = foreseen.middle - half - before.total_cm, foreseen.middle + half - before.total_cm
    far = (last.total_cm - foreseen.middle) / foreseen.sd
    return Off(far, max(0.0, low_cm), max(0.0, high_cm), _grown(last, before), one.dates[-2])


def _grown(last: Point, before: Point) -> float:
    return last.total_cm - before.total_cm


def _words(off: Off, compared: bool) -> str:
    since = f"{off.since.day} {off.since:%b %Y}"
    others = " and the others" if compared else ""
    return (
        f"Grew {off.grown_cm:.1f} cm since {since}; from its own past{others} {off.low_cm:.1f} to {off.high_cm:.1f} cm"
        " were to be expected."
    )


def _lighter(one: Grown, today: date) -> str | None:
    weighed = [(told.on, ratio) for told in one.measures if (ratio := ln_weight(told)) is not None and told.counts]
    if one.fish.count > 1 or len(weighed) < 2 or (today - weighed[-1][0]).days > _LATELY_DAYS:
        return None
    (since, before), (_, now) = weighed[-2:]
    if before - now < _LIGHTER:
        return None
    return f"{1 - exp(now - before):.0%} lighter for its length than on {since.day} {since:%b %Y}."
