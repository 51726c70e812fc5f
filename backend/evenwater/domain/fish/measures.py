"""What was measured of each fish, oldest first, with what is odd about it. Everything is kept; not everything counts.

- All lengths are turned to total ones: so a fish measured one way in spring and the other in autumn can be compared.
- Measured twice on a day, the later counts. Of a group each is another fish: all count.
- A length that cannot follow from the one before (a tenth of it, 8 cm shorter, far more than any carp grows) waits:
  when the next one agrees with it, it was right and the earlier wrong.
"""

from collections.abc import Sequence
from datetime import date
from math import exp, log
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.entries import FishMeasure, LengthIs
from evenwater.domain.fish.length_weight import TOTAL_PER_STANDARD, TOTAL_PER_STANDARD_SD, standard_weight_g
from evenwater.domain.fold import Seen, of_kinds

_TAPE_CM: Final = 0.4
_TAPE_FRACTION: Final = 0.01
_SHRINKS_CM: Final = 2.0
_SHRINKS_FRACTION: Final = 0.04
_FASTEST_PER_YEAR: Final = 0.9
_LONGEST_CM: Final = 95.0
_SLACK_CM: Final = 3.0
_DAYS_PER_YEAR: Final = 365.25
_LIGHT, _HEAVY = 0.45, 2.2
"""Share of the standard weight outside which a weight is asked about. Our own."""
_EVER_CM: Final = (4.0, 100.0)


class Measured(Struct, frozen=True, kw_only=True):
    """A fish measured; `sd_cm`: how well the total length is known."""

    entry: str
    fish: str
    pond: str
    on: date
    session: str | None
    length_cm: float | None
    length_is: LengthIs | None
    total_cm: float | None
    sd_cm: float
    weight_g: float | None
    doubts: tuple[str, ...] = ()
    counts: bool = True


def total_of(length_cm: float, length_is: LengthIs | None) -> tuple[float, float]:
    """The length with the tail fin [cm], and how well it is known [cm, one standard deviation].

    Args:
        length_cm: As measured.
        length_is: With the tail fin (total) or without (standard).
    """
    tape_cm = (_TAPE_CM**2 + (_TAPE_FRACTION * length_cm) ** 2) ** 0.5
    if length_is != "standard":
        return length_cm, tape_cm
    return TOTAL_PER_STANDARD * length_cm, TOTAL_PER_STANDARD * tape_cm


def as_measured(total_cm: float, length_is: LengthIs | None) -> float:
    """A total length as the other way of measuring it would show it [cm]."""
    return total_cm / TOTAL_PER_STANDARD if length_is == "standard" else total_cm


def measures_of(facts: Sequence[Seen], groups: frozenset[str]) -> dict[str, list[Measured]]:
    """Every measure with a length or a weight, by fish, oldest first, judged.

    Args:
        facts: Standing facts of every pond, oldest first.
        groups: Ids of those that are groups.
    """
    found: dict[str, list[Measured]] = {}
    for one in of_kinds(facts, FishMeasure):
        entry = one.entry
        if isinstance(entry, FishMeasure) and (entry.length_cm is not None or entry.weight_g is not None):
            found.setdefault(entry.fish, []).append(_measured(one, entry))
    return {fish: told if fish in groups else _judged(_once_a_day(told)) for fish, told in found.items()}


def _measured(one: Seen, entry: FishMeasure) -> Measured:
    total_cm, sd_cm = total_of(entry.length_cm, entry.length_is) if entry.length_cm is not None else (None, 0.0)
    told = Measured(
        entry=entry.id,
        fish=entry.fish,
        pond=entry.pond,
        on=one.on,
        session=entry.session,
        length_cm=entry.length_cm,
        length_is=entry.length_is,
        total_cm=total_cm,
        sd_cm=sd_cm,
        weight_g=entry.weight_g,
    )
    odd = _odd_weight(told)
    return replace(told, doubts=(odd,)) if odd else told


def _odd_weight(one: Measured) -> str | None:
    if one.weight_g is None or one.total_cm is None:
        return None
    ratio = one.weight_g / standard_weight_g(one.total_cm)
    if _LIGHT <= ratio <= _HEAVY:
        return None
    return (
        f"{one.weight_g:g} g at {one.length_cm:g} cm is {'far too heavy' if ratio > 1 else 'far too light'}: is it in"
        " grams, and was the net taken off? The weight is not counted."
    )


def weight_counts(one: Measured) -> bool:
    """Whether its weight may be reckoned with."""
    return one.weight_g is not None and _odd_weight(one) is None


def _once_a_day(told: Sequence[Measured]) -> list[Measured]:
    """Of two lengths of a fish in one session or on one day the later counts; both stay."""
    found = list(told)
    for nth, one in enumerate(found):
        later = next((two for two in found[nth + 1 :] if two.total_cm is not None and _together(one, two)), None)
        if one.total_cm is not None and later is not None:
            both = f"Measured twice, {one.length_cm:g} and {later.length_cm:g} cm: both are kept, the later counts."
            found[nth] = replace(one, counts=False, doubts=(*one.doubts, both))
            place = found.index(later)
            if not any("Measured twice" in doubt for doubt in later.doubts):
                found[place] = replace(later, doubts=(*later.doubts, both))
    return found


def _together(one: Measured, two: Measured) -> bool:
    return one.on == two.on or (one.session is not None and one.session == two.session)


def _judged(told: Sequence[Measured]) -> list[Measured]:
    """Which lengths count: each follows from the last believed one, or from the one that waits."""
    found = list(told)
    believed: int | None = None
    waits: int | None = None
    for nth, one in enumerate(found):
        if one.total_cm is None or not one.counts:
            continue
        why = _cannot_follow(found[believed], one) if believed is not None else None
        if why is None:
            believed, waits = nth, None
        elif waits is not None and _cannot_follow(found[waits], one) is None:
            assert believed is not None
            found[waits] = replace(found[waits], counts=True, doubts=())
            wrong = f"Does not fit what was measured after it: {found[waits].length_cm:g} and {one.length_cm:g} cm."
            found[believed] = replace(found[believed], counts=False, doubts=(*found[believed].doubts, wrong))
            believed, waits = nth, None
        else:
            found[nth], waits = replace(one, counts=False, doubts=(*one.doubts, why)), nth
    return found


def _cannot_follow(before: Measured, one: Measured) -> str | None:
    """Why a length cannot be the next of the same fish, as a question; None when it can."""
    assert before.total_cm is not None and one.total_cm is not None
    low_cm, high_cm = next_length_cm(before.total_cm, before.on, one.on)
    if low_cm <= one.total_cm <= high_cm:
        return None
    was = f"{before.length_cm:g} cm {before.length_is} on {before.on.day} {before.on:%b %Y}"
    for times in (10.0, 0.1):
        if low_cm <= one.total_cm * times <= high_cm:
            return f"{one.length_cm:g} cm after {was}: was it {_plain(one, times)} cm? It is kept, and not counted."
    off = f"{abs(one.total_cm - before.total_cm):.0f} cm {'shorter' if one.total_cm < before.total_cm else 'longer'}"
    return f"{off} than {was}: the same fish, and the same kind of length? Kept, and not counted until one agrees."


def _plain(one: Measured, times: float) -> str:
    return f"{(one.length_cm or 0.0) * times:g}"


def next_length_cm(total_cm: float, since: date, on: date) -> tuple[float, float]:
    """What the next total length lies between [cm], whatever the fish: outside it the device asks.

    Args:
        total_cm: The last one that counts [cm].
        since: When that was.
        on: When it is measured again.

    >>> low, high = next_length_cm(50.0, date(2026, 4, 1), date(2026, 10, 1))
    >>> 47 < low < 49 and 60 < high < 75
    True
    """
    years = max(0.0, (on - since).days / _DAYS_PER_YEAR)
    room_cm = max(2.0, _LONGEST_CM - total_cm)
    low_cm = total_cm - max(_SHRINKS_CM, _SHRINKS_FRACTION * total_cm)
    return low_cm, total_cm + _SLACK_CM + room_cm * (1.0 - exp(-_FASTEST_PER_YEAR * years))


def any_length_cm() -> tuple[float, float]:
    """What a first total length nearly always lies between [cm]."""
    return _EVER_CM


def any_weight_g(total_cm: tuple[float, float]) -> tuple[float, float]:
    """What a fish of a length between these nearly always weighs [g]; outside it the unit is asked about.

    Args:
        total_cm: Shortest and longest [cm].
    """
    return _LIGHT * standard_weight_g(total_cm[0]), _HEAVY * standard_weight_g(total_cm[1])


def length_known_cm(one: Measured) -> float:
    """How well its total length is known beside other fish [cm]; where all were measured alike, `sd_cm` holds."""
    if one.length_is != "standard" or one.total_cm is None:
        return one.sd_cm
    return (one.sd_cm**2 + (TOTAL_PER_STANDARD_SD * one.length_cm if one.length_cm else 0.0) ** 2) ** 0.5


def ln_weight(one: Measured) -> float | None:
    """ln of its weight over the standard weight of its length; None where it was not weighed."""
    if one.weight_g is None or one.total_cm is None or not weight_counts(one):
        return None
    return log(one.weight_g / standard_weight_g(one.total_cm))
