"""What of the log somebody looks for: words and numbers in what an entry says, and of which kind, place, person, fish.

A phone looks through what it holds by the same rules (`frontend/domain/search.js`); the cases in
`tests/reference/book/search_cases.json` hold both to one answer.
"""

import re
import unicodedata
from collections.abc import Mapping
from typing import Annotated, Final, Literal

from msgspec import Meta, Struct

from evenwater.domain.book.entry_words import Fields, Names, entry_words

Group = Literal["measured", "done", "given", "water", "fish", "kit", "changes", "said", "settings", "taken_back"]
GROUPS: Final[Mapping[Group, tuple[str, ...]]] = {
    "measured": ("reading", "air_forecast", "start_up"),
    "done": ("tick", "not_done"),
    "given": ("dose", "feed", "salt", "tick"),
    "water": ("water_change", "water_running", "power", "cover"),
    "fish": ("fish_move", "fish_measure", "fish_seen"),
    "kit": ("service", "meter"),
    "changes": ("change",),
    "said": ("note", "look"),
    "settings": ("set",),
    "taken_back": ("take_back",),
}
"""Kinds of entries as a keeper tells them apart. Of ticks only those with an amount are among what was given."""
_AMOUNTS: Final = ("amount_g", "feed_g")
_OF_FISH: Final = ("fish_move", "fish_measure", "fish_seen", "set")
_OF_KIT: Final = ("service", "meter", "change", "tick", "not_done", "set")
_NUMBER: Final = re.compile(r"(?<![\w.,])-?\d[\d,]*(?:\.\d+)?")
_TYPED: Final = re.compile(r"^-?\d+(?:[.,]\d+)?$|^-?\d{1,3}(?:,\d{3})+(?:\.\d+)?$")
_THOUSANDS: Final = re.compile(r"^-?\d{1,3}(?:,\d{3})+(?:\.\d+)?$")

Id = Annotated[str, Meta(max_length=80)]


class Sought(Struct, frozen=True, kw_only=True):
    """What is looked for; all of what is told must hold.

    `text`: each of its words or numbers is in the entry. `place`: a place of the walk, or "point/NAME" where something
    is measured. `person`: an author's id. `fish` and `kit` by id.
    """

    text: Annotated[str, Meta(max_length=200)] = ""
    group: Group | None = None
    pond: Id | None = None
    place: Annotated[str, Meta(max_length=220)] | None = None
    person: Id | None = None
    fish: Id | None = None
    kit: Id | None = None

    @property
    def kinds(self) -> frozenset[str] | None:
        """The kinds that can hold it; None for any."""
        told = [GROUPS[self.group]] if self.group else []
        told += [_OF_FISH] if self.fish else []
        told += [_OF_KIT] if self.kit else []
        return frozenset(told[0]).intersection(*told[1:]) if told else None


def plain(text: str) -> str:
    """Small letters without accents or subscripts, so that "Ōgon" is found by "ogon" and NH₃ by "nh3".

    >>> plain("NH₃ Ōgon")
    'nh3 ogon'
    """
    return "".join(one for one in unicodedata.normalize("NFKD", text) if not unicodedata.combining(one)).lower()


def terms_of(text: str) -> tuple[str, ...]:
    """What was typed, term by term.

    >>> terms_of(" KH  5,5 ")
    ('kh', '5,5')
    """
    return tuple(plain(text).split())


def says(words: str, terms: tuple[str, ...]) -> bool:
    """Whether plain words hold every term: a number the same number, anything else as a part of the words.

    >>> says("kh 5.5 °dkh", ("5,50", "dkh")), says("kh 15.5 °dkh", ("5.5",))
    (True, False)
    """
    numbers: set[float] | None = None
    for term in terms:
        if _TYPED.match(term):
            numbers = {_value(one) for one in _NUMBER.findall(words)} if numbers is None else numbers
            if numbers.isdisjoint(_meant(term)):
                return False
        elif term not in words:
            return False
    return True


def _meant(term: str) -> set[float]:
    """What a typed number may be: of "774,900" a comma may part thousands, or stand for the decimal point."""
    one = {float(term.replace(",", "."))} if term.count(",") + term.count(".") < 2 else set[float]()
    return one | {_value(term)} if _THOUSANDS.match(term) else one


def _value(text: str) -> float:
    """A number as it stands in a text: commas part its thousands."""
    return float(text.replace(",", ""))


def matches(entry: Fields, sought: Sought, names: Names) -> bool:
    """Whether an entry is what is looked for.

    Args:
        entry: As it travels.
        sought: What is looked for.
        names: What its ids stand for.
    """
    kind, pond = str(entry.get("kind", "")), str(entry.get("pond", ""))
    kinds = sought.kinds
    return (
        (kinds is None or kind in kinds)
        and not (sought.group == "given" and kind == "tick" and not any(entry.get(one) for one in _AMOUNTS))
        and sought.pond in (None, pond)
        and sought.person in (None, entry.get("author"))
        and (sought.fish is None or _is_of_fish(entry, sought.fish))
        and (sought.kit is None or _is_of_kit(entry, pond, sought.kit, names))
        and (sought.place is None or _is_at(entry, pond, sought.place, names))
        and (not sought.text.strip() or says(plain(entry_words(entry, names)), terms_of(sought.text)))
    )


def _is_of_fish(entry: Fields, fish: str) -> bool:
    told = entry.get("fish", ())
    return fish == told if isinstance(told, str) else fish in told or entry.get("target") == f"fish/{fish}"


def _is_of_kit(entry: Fields, pond: str, kit: str, names: Names) -> bool:
    job = names.jobs.get((pond, str(entry.get("standing_job"))))
    return entry.get("kit") == kit or entry.get("target") == f"kit/{kit}" or (job is not None and job.kit == kit)


def _is_at(entry: Fields, pond: str, place: str, names: Names) -> bool:
    if place.startswith("point/"):
        return entry.get("kind") == "reading" and entry.get("point", "pond") == place.removeprefix("point/")
    job = names.jobs.get((pond, str(entry.get("standing_job"))))
    return (job is not None and job.place == place) or names.kit_places.get((pond, str(entry.get("kit")))) == place
