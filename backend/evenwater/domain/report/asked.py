"""What a season report is to hold: which parts, and what of it is nobody else's business unless its keeper says so."""

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from evenwater.domain.errors import Contradiction, NotOneOf, OutOfRange
from evenwater.domain.report.span import Span

PARTS: Final = (
    "ring",
    "warmth",
    "water",
    "fish",
    "photos",
    "food",
    "work",
    "spent",
    "changes",
    "forecasts",
)
"""The parts there are, in the order in which they stand."""
MOST_PHOTOS: Final = 24
LONGEST_TITLE: Final = 80


class Asked(Struct, frozen=True, kw_only=True):
    """A report as it was asked for. `title` stands over it; without one the pond's name does.

    `people`: names of those who did the work. `notes`: what was written in free words. `place`: the time zone, nothing
    finer is ever told. `photos`: sums of those chosen; without any the latest of each fish.
    """

    pond: str
    span: Span
    parts: tuple[str, ...] = PARTS
    title: str = ""
    people: bool = False
    notes: bool = False
    place: bool = False
    photos: tuple[str, ...] = ()


def check_asked(asked: Asked) -> Asked:
    """The same, when it can be answered.

    Raises:
        NotOneOf: a part that is none.
        Contradiction: no part at all.
        OutOfRange: too many photos, or a title that is too long.
    """
    for part in asked.parts:
        if part not in PARTS:
            raise NotOneOf("parts", part, PARTS)
    if not asked.parts:
        raise Contradiction("no part is chosen", where="parts", right="one of " + ", ".join(PARTS))
    if len(asked.photos) > MOST_PHOTOS:
        raise OutOfRange("photos", len(asked.photos), 0, MOST_PHOTOS)
    if len(asked.title) > LONGEST_TITLE:
        raise OutOfRange("title", len(asked.title), 0, LONGEST_TITLE, "letters")
    return asked


def listed(words: str) -> Sequence[str]:
    """The words of a list with commas, each once."""
    return tuple(dict.fromkeys(one.strip() for one in words.split(",") if one.strip()))
