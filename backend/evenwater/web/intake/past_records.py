"""What travels over /api/past."""

import math
from datetime import UTC, date, datetime

from msgspec import Struct

from evenwater.domain.past.as_entries import Drawn
from evenwater.domain.past.dates import DateOrder
from evenwater.domain.past.meanings import Meaning
from evenwater.domain.past.reading import Bad
from evenwater.domain.past.tally import Clash, Counted
from evenwater.domain.past.understanding import Column
from evenwater.domain.quantities import Point


class MeaningTold(Struct, frozen=True):
    """What a column may be taken for, and the units it may be in."""

    meaning: str
    label: str
    units: list[str]


class ColumnCount(Struct, frozen=True):
    """What a column holds: how many values, from when to when, from which to which in the stored unit."""

    column: int
    label: str
    point: Point
    unit: str
    count: int
    first_at: datetime
    last_at: datetime
    smallest: float | None
    largest: float | None


class RowShown(Struct, frozen=True):
    """One value as it would be kept."""

    line: int
    at: datetime
    label: str
    value: float | str
    unit: str
    point: Point


class ClashShown(Struct, frozen=True):
    """Two values of one quantity at one moment; both are kept."""

    line: int
    at: datetime
    label: str
    one: float
    other: float
    unit: str


class PastPreview(Struct, frozen=True, kw_only=True):
    """What was understood of a file, and what keeping it would do. Nothing is kept yet."""

    pond: str
    zone: str
    encoding: str
    delimiter: str
    header_line: int | None
    date_order: DateOrder
    date_sure: bool
    date_why: str
    columns: tuple[Column, ...]
    meanings: list[MeaningTold]
    first: list[RowShown]
    counts: list[ColumnCount]
    rows: int
    values: int
    new: int
    already_here: int
    repeated: int
    clashes: list[ClashShown]
    clash_count: int
    bad: list[Bad]
    bad_count: int


class PastKept(Struct, frozen=True):
    """What became of a file: what is new in the log, what was here already. `import_id` is None when nothing is new."""

    import_id: str | None
    accepted: int
    already_here: int
    bad_count: int


class PastImport(Struct, frozen=True):
    """A file that was brought in before."""

    id: str
    pond: str
    file_name: str
    kept_at: datetime
    author: str
    count: int
    bad_count: int
    first_on: date | None
    last_on: date | None
    taken_back_at: datetime | None


class TakeBackImport(Struct, frozen=True, forbid_unknown_fields=True):
    """Which import is to be taken back, all of it."""

    import_id: str


class PastTakenBack(Struct, frozen=True):
    """How many entries were withdrawn."""

    taken_back: int


def meanings_told(known: dict[str, Meaning]) -> list[MeaningTold]:
    """Every meaning, with its units in the order of its definition."""
    return [
        MeaningTold(
            one.meaning, one.label, [one.unit, *(other.unit for other in one.others)] if one.is_measured else []
        )
        for one in known.values()
    ]


def row_shown(one: Drawn, known: dict[str, Meaning]) -> RowShown:
    """A value as it would be kept."""
    column, meaning = one.found.column, known[one.found.column.meaning]
    return RowShown(one.line, _moment(one.at_s), meaning.label, one.found.value, meaning.unit, column.point)


def column_count(one: Counted, known: dict[str, Meaning]) -> ColumnCount:
    """What one column holds."""
    meaning = known[one.column.meaning]
    return ColumnCount(
        column=one.column.number,
        label=meaning.label,
        point=one.column.point,
        unit=meaning.unit,
        count=one.count,
        first_at=_moment(one.first_s),
        last_at=_moment(one.last_s),
        smallest=one.smallest if math.isfinite(one.smallest) else None,
        largest=one.largest if math.isfinite(one.largest) else None,
    )


def clash_shown(one: Clash, known: dict[str, Meaning]) -> ClashShown:
    """What stands twice."""
    meaning = known[one.column.meaning]
    return ClashShown(one.line, _moment(one.at_s), meaning.label, one.one, one.other, meaning.unit)


def _moment(at_s: float) -> datetime:
    return datetime.fromtimestamp(at_s, UTC)
