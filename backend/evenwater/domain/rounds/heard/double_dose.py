"""Buffer given twice by people who did not know of each other: both doses stay, and everybody concerned is told.

Two doses are one meant twice when they were recorded on different devices, and either answer the same job or, on the
same civil day, one of them answers none. Twice on one device is no accident: whoever gave the second saw the first.

What follows for the next dose needs no rule of its own: each dose lifts the KH that is believed, and whatever was given
in the last 24 hours counts against the most a day may raise it.
"""

from bisect import bisect_left
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from evenwater.domain.entries import Tick, zone_named
from evenwater.domain.fold import GivenDose, Known, Seen, buffer_doses, job_key
from evenwater.domain.keeper_units import change_words
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.jobs import Notice
from evenwater.domain.water.buffer import rise_dkh

TOLD_FOR = timedelta(days=7)
"""A phone may come home days later with the second of two doses; what is older no longer matters to the water."""
COUNTED_FOR = timedelta(hours=36)
"""Until the evening after, the next dose says that it counts both."""
_AFTER_MIDNIGHT = timedelta(days=1)


def double_doses(known: Known, now: datetime, names: Mapping[str, str]) -> list[Notice]:
    """A notice for each time buffer was given twice of late, the oldest first.

    Args:
        known: All that stands in the log.
        now: The moment.
        names: Keepers' and helpers' names by id.
    """
    today = known.civil_date(now)[0]
    oldest = now - TOLD_FOR - _AFTER_MIDNIGHT
    recent = known.facts[bisect_left(known.facts, oldest, key=_at) :]
    helpers = {one.id for hand_over in known.hand_overs(today) for one in hand_over.helpers}
    found = [
        _notice(pond, given, names, helpers, zone_named(pond.zone))
        for pond in known.ponds(today)
        for given in given_twice([one for one in recent if one.entry.pond == pond.id], now, TOLD_FOR)
    ]
    return sorted(found, key=lambda one: (one.at, one.id))


def given_twice(facts: Sequence[Seen], now: datetime, within: timedelta) -> list[list[GivenDose]]:
    """The doses of one pond that were meant as one, each time all of them, oldest first.

    Args:
        facts: One pond's standing facts, oldest first.
        now: The moment; later facts are left out.
        within: How long ago the last of them may have been given.
    """
    groups: list[list[GivenDose]] = []
    for dose in buffer_doses(facts):
        if not now - within - _AFTER_MIDNIGHT < dose[0] <= now:
            continue
        meant = next((group for group in groups if any(_meant_as_one(dose, other) for other in group)), None)
        if meant is None:
            groups.append([dose])
        else:
            meant.append(dose)
    return [group for group in groups if len(group) > 1 and group[-1][0] > now - within]


def _at(one: Seen) -> datetime:
    return one.at


def counted_words(facts: Sequence[Seen], now: datetime) -> str:
    """What the next dose says where buffer was given twice just now; empty where it was not."""
    if not given_twice(facts, now, COUNTED_FOR):
        return ""
    return " What was given twice is counted."


def _meant_as_one(one: GivenDose, other: GivenDose) -> bool:
    first, second = one[3].entry, other[3].entry
    if first.device == second.device:
        return False
    if isinstance(first, Tick) and isinstance(second, Tick):
        return job_key(first) == job_key(second)
    return one[3].on == other[3].on


def _notice(
    pond: Pond, given: Sequence[GivenDose], names: Mapping[str, str], helpers: Collection[str], zone: ZoneInfo
) -> Notice:
    on = given[0][3].on
    each = ", ".join(
        f"{names.get(one.entry.author, 'somebody')} {grams:.0f} g at {at.astimezone(zone):%H:%M}"
        for at, grams, _, one in given
    )
    often = "twice" if len(given) == 2 else f"{len(given)} times"
    return Notice(
        id=f"double-dose/{pond.id}/{on.isoformat()}/{given[0][3].entry.id}/{len(given)}",
        what="double_dose",
        at=given[-1][0],
        text=f"Buffer was given {often} on {on:%A} {on.day} {on:%B}: {each}. {_together(pond, given)}",
        pond=pond.id,
        people=_concerned(pond, given, names, helpers),
        answers=tuple(one.entry.id for _, _, _, one in given),
    )


def _together(pond: Pond, given: Sequence[GivenDose]) -> str:
    total_g = sum(grams for _, grams, _, _ in given)
    counted = "The next dose counts all of it."
    if pond.volume_l is None:
        return f"Together {total_g:.0f} g. {counted}"
    rise = sum(rise_dkh(pond.volume_l, grams, substance, pond.purity_fraction) for _, grams, substance, _ in given)
    lifts = f"Together {total_g:.0f} g, which lifts KH by about {change_words(pond, 'kh_dkh', rise)}."
    if rise <= pond.kh_rise_limit_dkh:
        return f"{lifts} {counted}"
    most = change_words(pond, "kh_dkh", pond.kh_rise_limit_dkh)
    return f"{lifts} That is more than the {most} a day allows: the next is held back until a day has passed."


def _concerned(
    pond: Pond, given: Sequence[GivenDose], names: Mapping[str, str], helpers: Collection[str]
) -> tuple[str, ...]:
    """Whoever gave it; and where a helper did, those on duty, or every keeper where nobody was set for duty."""
    authors = tuple(dict.fromkeys(one.entry.author for _, _, _, one in given))
    if not any(author in helpers for author in authors):
        return authors
    keepers = pond.on_duty or tuple(one for one in names if one not in helpers)
    return tuple(dict.fromkeys((*authors, *keepers)))
