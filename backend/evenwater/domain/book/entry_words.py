"""What an entry says, in the words somebody may look for: names for ids, numbers as the keeper reads them.

The sentences people see are the app's own; these are only looked through, so that what is older than a phone holds is
found by the same words.
"""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, Final

from msgspec import Struct

from evenwater.domain.fold import Known
from evenwater.domain.keeper_units import level_words
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES

Fields = Mapping[str, Any]
"""An entry as it travels: its JSON, read."""

KIND_WORDS: Final[Mapping[str, str]] = {
    "reading": "",
    "tick": "done",
    "dose": "buffer given",
    "not_done": "not done",
    "look": "looked",
    "note": "",
    "set": "set",
    "take_back": "took back",
    "water_change": "water changed L",
    "feed": "fed g",
    "salt": "salt g",
    "service": "serviced",
    "start_up": "membrane started",
    "cover": "covers",
    "air_forecast": "forecast °C",
    "meter": "counter",
    "change": "changed",
    "water_running": "water",
    "power": "power",
    "fish_move": "fish",
    "fish_measure": "cm g length weight",
    "fish_seen": "seen on the fish",
}
_YES_NO: Final[Mapping[str, tuple[str, str]]] = {
    "on": ("power back", "power out"),
    "running": ("water opened", "water shut"),
    "all_well": ("all well", "something was wrong"),
}
_ENVELOPE: Final = frozenset(
    {"id", "v", "pond", "kind", "happened_at", "local_date", "zone", "recorded_at", "device", "author", "photos"}
)
_SILENT: Final = _ENVELOPE | {"quantity", "step", "slot", "due_on", "session", "entry", "standing_job", "kit", "fish"}


class Job(Struct, frozen=True):
    """What a standing job was ever called, where it stands on the walk, and of which kit it is."""

    words: str
    place: str
    kit: str | None


class Names(Struct, frozen=True):
    """What ids stand for. `jobs` and `kit` by (pond, id); `kit_places` where the keeper told them."""

    ponds: Mapping[str, Pond]
    jobs: Mapping[tuple[str, str], Job]
    kit: Mapping[tuple[str, str], str]
    kit_places: Mapping[tuple[str, str], str]
    fish: Mapping[str, str]
    people: Mapping[str, str]


def names_in(known: Known, people: Mapping[str, str], on: date) -> Names:
    """The names in a log's settings, also of what has been switched off, removed or closed since.

    Args:
        known: All that stands; of it the settings are looked at.
        people: Names by id.
        on: The date for which units and kit are as set.
    """
    ponds = {pond.id: pond for pond in known.ponds(on)}
    jobs: dict[tuple[str, str], Job] = {}
    kit: dict[tuple[str, str], str] = {}
    places: dict[tuple[str, str], str] = {}
    for pond in known.settings.ponds():
        for target in known.settings.targets(pond, "job/"):
            jobs[pond, target[4:]] = _job(known, pond, target)
        for target in known.settings.targets(pond, "kit/"):
            kit[pond, target[4:]] = " ".join(_values(known, pond, target, "name"))
    for pond in ponds.values():
        for item in pond.kit:
            kit[pond.id, item.id] = f"{kit.get((pond.id, item.id), '')} {item.name}"
            if item.place:
                places[pond.id, item.id] = item.place
    fish = {
        name: " ".join(str(value) for entry, value in told if entry.field in ("name", "variety"))
        for name, told in known.settings.of_fish().items()
    }
    return Names(ponds, jobs, kit, places, fish, people)


def _job(known: Known, pond: str, target: str) -> Job:
    words = list(_values(known, pond, target, "text", "texts"))
    place, kit = list(_values(known, pond, target, "place")), list(_values(known, pond, target, "kit"))
    return Job(" ".join(words), place[-1] if place else "", kit[-1] if kit else None)


def _values(known: Known, pond: str, target: str, *fields: str) -> Iterator[str]:
    for entry, value in known.settings.of(pond, target):
        if entry.field in fields:
            yield from _flat(value)


def entry_words(entry: Fields, names: Names) -> str:
    """Everything somebody may look an entry up by, in one line.

    Args:
        entry: As it travels.
        names: What its ids stand for.
    """
    kind, pond = str(entry.get("kind", "")), str(entry.get("pond", ""))
    parts = [KIND_WORDS.get(kind, kind.replace("_", " ")), names.people.get(str(entry.get("author")), "")]
    parts += _subjects(entry, pond, names)
    parts += _measured(entry, names.ponds.get(pond))
    for name, value in entry.items():
        if name in _YES_NO and isinstance(value, bool):
            parts.append(_YES_NO[name][not value])
        elif name not in _SILENT and not (kind == "reading" and name == "value"):
            parts += _flat(value)
    return " ".join(one for one in parts if one)


def _subjects(entry: Fields, pond: str, names: Names) -> Iterator[str]:
    if job := entry.get("standing_job"):
        yield names.jobs[pond, job].words if (pond, job) in names.jobs else str(job).replace("-", " ")
    if kit := entry.get("kit"):
        yield names.kit.get((pond, kit), str(kit).replace("-", " "))
    fish = entry.get("fish", ())
    for one in (fish,) if isinstance(fish, str) else fish:
        yield names.fish.get(one, str(one).replace("-", " "))
    for other in (str(entry.get("from_pond")), str(entry.get("to_pond"))):
        if other in names.ponds:
            yield names.ponds[other].name
    of, _, target = str(entry.get("target", "")).partition("/")
    if of == "job" and (pond, target) in names.jobs:
        yield names.jobs[pond, target].words
    elif of == "kit":
        yield names.kit.get((pond, target), "")
    elif of == "fish":
        yield names.fish.get(target, "")
    elif of == "range" and target in QUANTITIES:
        yield QUANTITIES[target].label


def _measured(entry: Fields, pond: Pond | None) -> Iterator[str]:
    quantity, value = str(entry.get("quantity", "")), entry.get("value")
    if quantity not in QUANTITIES:
        return
    yield QUANTITIES[quantity].label
    if isinstance(value, int | float):
        yield level_words(pond or Pond(id=""), quantity, value)


def _flat(value: Any) -> Iterator[str]:
    """Words and numbers of a value, whatever is in it; names of fields are none of them."""
    if isinstance(value, str):
        yield value.replace("_", " ")
    elif isinstance(value, bool) or value is None:
        return
    elif isinstance(value, int | float):
        yield f"{value:.10g}"
    elif isinstance(value, Mapping):
        for one in value.values():  # pyright: ignore[reportUnknownVariableType]
            yield from _flat(one)
    elif isinstance(value, list | tuple):
        for one in value:  # pyright: ignore[reportUnknownVariableType]
            yield from _flat(one)
    elif isinstance(value, Struct):
        for name in value.__struct_fields__:
            yield from _flat(getattr(value, name))
