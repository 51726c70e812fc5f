"""What a season report says, worked out by the server: plain records, in words and units of the keeper.

Nothing in it is finer than a time zone, and nothing names a person unless that was chosen (`asked.py`).
"""

from datetime import date

from msgspec import Struct

from evenwater.domain.quantities import OtherUnit
from evenwater.domain.report.span import Span

Cells = tuple[str, ...]


class Section(Struct, frozen=True, kw_only=True):
    """A part of the report: sentences, a table where there is one, and what is not known. The first column is named."""

    id: str
    title: str
    says: tuple[str, ...] = ()
    columns: Cells = ()
    rows: tuple[Cells, ...] = ()
    unknown: tuple[str, ...] = ()


class Mark(Struct, frozen=True):
    """Something that happened, as it is numbered on the ring."""

    number: int
    on: date
    text: str


class Ring(Struct, frozen=True, kw_only=True):
    """The water's temperature round the year [°C], by date, ascending, and of the same dates a year before.

    `unit`: the one it is shown in. `now_name`, `before_name`: what the two are called. `left_out`: smaller events there
    was no room for.
    """

    now: tuple[tuple[date, float], ...]
    before: tuple[tuple[date, float], ...]
    now_name: str
    before_name: str
    unit: OtherUnit
    marks: tuple[Mark, ...] = ()
    left_out: int = 0


class Pictured(Struct, frozen=True):
    """A photo by its sum, and what stands under it."""

    sum: str
    caption: str


class SeasonReport(Struct, frozen=True, kw_only=True):
    """One pond's season. `about`: what may be told of place and people, empty unless chosen."""

    title: str
    span: Span
    made_on: date
    about: tuple[str, ...] = ()
    sections: tuple[Section, ...] = ()
    ring: Ring | None = None
    photos: tuple[Pictured, ...] = ()
