"""What sightings have in common: of fish, of time, of what went before. Never a diagnosis, and never a medicine.

The first aid is safe whatever it is: test, air, no food, no dose, then somebody who may judge it. A device says it
without asking home, in the same words (frontend/words/fish-words.js); tests hold both to that.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from math import comb
from typing import Final

from evenwater.domain.entries import FishMove, Salt, Service, Sign, WaterChange, WaterRunning
from evenwater.domain.fish.outlook import SeenLine, SignPattern
from evenwater.domain.fold import Seen, readings_of

FIRST_AID: Final = (
    "Test the water now: temperature, oxygen, ammonia, nitrite, pH, chlorine.",
    "More air: every stone and pump on.",
    "No food today, and none until the tests are in.",
    "Stop dosing; put nothing into the water on a guess.",
    "If it goes on tomorrow, or more fish show it: a fish vet, with these notes and the tests.",
)
SOURCE: Final = "Common practice: safe whatever it is. Fish health is for a vet."
_TOGETHER_DAYS: Final = 7
_AGAIN_DAYS: Final = 21
_LOOKS_BACK_DAYS: Final = 60
_AFTER_DAYS: Final = 2
_URGENT_DAYS: Final = 2
_FELL_K: Final = 2.0
_BY_CHANCE: Final = 0.02
_FEWEST: Final = 3
_MOST: Final = 5
SIGN_WORDS: Final[Mapping[Sign, str]] = {
    "flashing": "flashing",
    "gasping": "gasping",
    "isolating": "keeping apart",
    "not_eating": "not eating",
    "clamped_fins": "clamped fins",
    "listless": "listless",
    "jumping": "jumping",
    "spots": "spots",
    "wound": "a wound",
    "swollen": "swollen",
    "other": "something else",
}


def patterns_of(
    seen: Sequence[SeenLine], facts: Sequence[Seen], names: Mapping[str, str], today: date
) -> tuple[SignPattern, ...]:
    """What the sightings of a pond show together, the most pressing first.

    Args:
        seen: Sightings at the pond, newest first.
        facts: The pond's standing facts of the last weeks.
        names: Of fish, by id.
        today: The date.
    """
    lately = [one for one in seen if 0 <= (today - one.on).days <= _LOOKS_BACK_DAYS]
    found = [*_gasping(lately, today), *_on_several(lately, today), *_on_one(lately, names, today)]
    return (*found, *_after_something(lately, facts, today))[:_MOST]


def _pattern(title: str, says: str, of: Sequence[SeenLine]) -> SignPattern:
    return SignPattern(title=title, says=says, steps=FIRST_AID, entries=tuple(one.entry for one in of))


def _gasping(seen: Sequence[SeenLine], today: date) -> list[SignPattern]:
    of = [one for one in seen if "gasping" in one.signs and (today - one.on).days < _URGENT_DAYS]
    says = "Fish that gasp are short of oxygen or something burns their gills: air first, then the tests."
    return [_pattern("Gasping", says, of)] if of else []


def _on_several(seen: Sequence[SeenLine], today: date) -> list[SignPattern]:
    found: list[SignPattern] = []
    for sign, word in SIGN_WORDS.items():
        of = [one for one in seen if sign in one.signs and (today - one.on).days < _TOGETHER_DAYS]
        fish = {name for one in of for name in one.fish}
        if len(fish) > 1 and sign != "other":
            days = (of[0].on - of[-1].on).days + 1
            title = f"{word[0].upper()}{word[1:]} on {len(fish)} fish"
            when = "on one day" if days == 1 else f"within {days} days"
            says = f"{len(fish)} fish {when}: what they share is the water, so the water is tested first."
            found.append(_pattern(title, says, of))
    return sorted(found, key=lambda one: -len(one.entries))


def _on_one(seen: Sequence[SeenLine], names: Mapping[str, str], today: date) -> list[SignPattern]:
    by_fish: dict[str, list[SeenLine]] = {}
    for one in seen:
        if (today - one.on).days < _AGAIN_DAYS:
            for name in one.fish:
                by_fish.setdefault(name, []).append(one)
    found: list[SignPattern] = []
    for name, of in by_fish.items():
        if len({one.on for one in of}) >= _FEWEST:
            signs = ", ".join(dict.fromkeys(SIGN_WORDS[sign] for one in of for sign in one.signs))
            title = f"{names.get(name, name)}: seen again and again"
            says = f"On {len({one.on for one in of})} days in three weeks{f': {signs}' if signs else ''}."
            found.append(_pattern(title, says, of))
    return found


def _after_something(seen: Sequence[SeenLine], facts: Sequence[Seen], today: date) -> list[SignPattern]:
    """Days of a sign that follow something far more often than other days do."""
    begins = max([today - timedelta(days=_LOOKS_BACK_DAYS), *(one.on for one in facts[:1])])
    span = (today - begins).days + 1
    found: list[SignPattern] = []
    for what, dates in _events(facts).items():
        after = {on + timedelta(days=ahead) for on in dates for ahead in range(_AFTER_DAYS + 1)}
        after = {on for on in after if begins <= on <= today}
        for sign, word in SIGN_WORDS.items():
            of = [one for one in seen if sign in one.signs and one.on >= begins]
            days = {one.on for one in of}
            hits = len(days & after)
            if sign != "other" and hits >= _FEWEST and _chance(hits, len(days), len(after) / span) < _BY_CHANCE:
                says = (
                    f"{hits} of the {len(days)} days with it came within {_AFTER_DAYS} days after {what}; of all"
                    f" {span} days {len(after)} did. It may still be chance: worth watching, and no proof."
                )
                found.append(_pattern(f"{word[0].upper()}{word[1:]} after {what}", says, of))
    return found


def _events(facts: Sequence[Seen]) -> dict[str, set[date]]:
    found: dict[str, set[date]] = {}
    for one in facts:
        match one.entry:
            case WaterChange() | WaterRunning(running=True):
                found.setdefault("new water", set()).add(one.on)
            case Salt():
                found.setdefault("salt went in", set()).add(one.on)
            case Service():
                found.setdefault("work on the kit", set()).add(one.on)
            case FishMove(to_pond=to_pond) if to_pond == one.entry.pond:
                found.setdefault("fish came in", set()).add(one.on)
            case _:
                pass
    if fell := _falls(facts):
        found["the water turned colder"] = fell
    return found


def _falls(facts: Sequence[Seen]) -> set[date]:
    """Days on which the water was read colder by two degrees than on the day before."""
    days: dict[date, list[float]] = {}
    for one in readings_of(facts, "temperature_c"):
        value = getattr(one.entry, "value", None)
        if isinstance(value, float):
            days.setdefault(one.on, []).append(value)
    return {
        on
        for on, levels in days.items()
        if (before := days.get(on - timedelta(days=1))) and max(before) - min(levels) >= _FELL_K
    }


def _chance(hits: int, days: int, share: float) -> float:
    """How likely at least so many of so many days follow it by chance alone."""
    return sum(comb(days, many) * share**many * (1.0 - share) ** (days - many) for many in range(hits, days + 1))
