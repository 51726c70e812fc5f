"""What people wrote down while the keepers were away, in words: notes, trouble, changes, readings, photos."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from msgspec import Struct

from evenwater.domain.entries import Change, CoverMove, FishMove, Look, Note, Power, Reading, Service, Set, WaterRunning
from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import level_words
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.rounds.troubles import TROUBLES
from evenwater.domain.warmth.pond_air import ByHour

_POINTS = {
    "mains": "in the mains",
    "after_carbon": "after the carbon",
    "after_membrane": "after the membrane",
    "outside": "outside",
    "filter_house": "in the filter house",
    "heater": "at the heater",
    "probe": "by the probe, hour by hour",
}
_PROBED = {"water_c": "temperature_c", "air_c": "air_temperature_c"}
_TROUBLES = {one.id: one.title for one in TROUBLES}


class Said(Struct, frozen=True, kw_only=True):
    """One thing somebody wrote down, the photos with it; `by` is a name, empty where nobody is known."""

    at: datetime
    on: date
    text: str
    by: str = ""
    photos: tuple[str, ...] = ()


class MeasuredLine(Struct, frozen=True, kw_only=True):
    """Readings of one quantity at one point, in the keeper's words and unit."""

    pond: str
    what: str
    count: int
    first: str
    last: str
    low: str
    high: str


def _said(one: Seen, text: str, names: Mapping[str, str]) -> Said:
    return Said(at=one.at, on=one.on, text=text, by=names.get(one.entry.author, ""), photos=one.entry.photos)


def notes(facts: Sequence[Seen], names: Mapping[str, str]) -> tuple[Said, ...]:
    """Free words, oldest first."""
    return tuple(_said(one, one.entry.text, names) for one in facts if isinstance(one.entry, Note))


def troubles(facts: Sequence[Seen], names: Mapping[str, str]) -> tuple[Said, ...]:
    """What was wrong, oldest first: looks that were not well, the power, water that was left to run."""
    return tuple(_said(one, text, names) for one in facts if (text := _trouble(one.entry)))


def _trouble(entry: Any) -> str:
    match entry:
        case Look(all_well=False):
            what = [_TROUBLES.get(entry.trouble or "", ""), *entry.wrong]
            said = [", ".join(one for one in what if one), entry.text or ""]
            text = ": ".join(one for one in said if one) or "Something was wrong"
            return text[:1].upper() + text[1:]
        case Power():
            return "Power back" if entry.on else "Power out"
        case WaterRunning():
            return "Water opened" if entry.running else "Water shut"
        case _:
            return ""


def changes(
    facts: Sequence[Seen],
    settings: Sequence[Seen],
    ponds: Mapping[str, Pond],
    titles: Mapping[str, str],
    names: Mapping[str, str],
) -> tuple[Said, ...]:
    """What was altered, oldest first: at the pond, and in its settings; of settings one line for all made at once."""
    told = [_said(one, text, names) for one in facts if (text := _change(one.entry, ponds))]
    seen: set[tuple[date, str, str]] = set()
    for one in settings:
        entry = one.entry
        if not isinstance(entry, Set) or entry.target.startswith("hand-over/"):
            continue
        once = (one.on, entry.author, entry.target)
        if once not in seen:
            seen.add(once)
            told.append(_said(one, f"Set: {_target(entry, ponds, titles)}", names))
    return tuple(sorted(told, key=lambda line: line.at))


def _target(entry: Set, ponds: Mapping[str, Pond], titles: Mapping[str, str]) -> str:
    kind, _, name = entry.target.partition("/")
    if kind == "job":
        return titles.get(name, name)
    if kind == "range":
        return f"range of {QUANTITIES[name].label if name in QUANTITIES else name}"
    return ponds[entry.pond].name if entry.pond in ponds else entry.pond


def _change(entry: Any, ponds: Mapping[str, Pond]) -> str:
    match entry:
        case Change():
            return entry.text
        case Service():
            return entry.service.replace("_", " ").capitalize()
        case CoverMove():
            return f"{entry.covered_fraction:.0%} of the cover on"
        case FishMove():
            where = [ponds[one].name if one in ponds else one for one in (entry.from_pond, entry.to_pond) if one]
            verb = "moved" if len(where) == 2 else "came" if entry.to_pond else "left"
            return f"{entry.count} fish {verb}: {' to '.join(where)}"
        case _:
            return ""


def measured(facts: Sequence[Seen], ponds: Mapping[str, Pond]) -> tuple[MeasuredLine, ...]:
    """Readings by pond, point and quantity: how many, the first and the last, the lowest and the highest."""
    groups: dict[tuple[str, str, str], list[float]] = {}
    for one in facts:
        entry = one.entry
        if isinstance(entry, Reading) and entry.quantity in QUANTITIES:
            groups.setdefault((entry.pond, entry.point, entry.quantity), []).append(entry.value)
    return tuple(_line(ponds[pond], point, quantity, values) for (pond, point, quantity), values in groups.items())


def probed(probes: Mapping[str, ByHour], ponds: Mapping[str, Pond]) -> tuple[MeasuredLine, ...]:
    """The same of what probes sent, hour by hour: the water and the air."""
    return tuple(
        _line(ponds[pond], "probe", quantity, [value for _, value in hours])
        for pond, by_hour in probes.items()
        for series, quantity in _PROBED.items()
        if pond in ponds and (hours := by_hour.get(series))
    )


def _line(pond: Pond, point: str, quantity: str, values: Sequence[float]) -> MeasuredLine:
    label, where = QUANTITIES[quantity].label, _POINTS.get(point, "")
    return MeasuredLine(
        pond=pond.id,
        what=f"{label}, {where}" if where else label,
        count=len(values),
        first=level_words(pond, quantity, values[0]),
        last=level_words(pond, quantity, values[-1]),
        low=level_words(pond, quantity, min(values)),
        high=level_words(pond, quantity, max(values)),
    )


def photos_of(facts: Sequence[Seen]) -> tuple[str, ...]:
    """The sums of all photos that went with anything, each once, oldest first."""
    return tuple(dict.fromkeys(photo for one in facts for photo in one.entry.photos))
