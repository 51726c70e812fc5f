"""What a table is taken for, before anything is kept: its columns, units, order of dates, decimal sign.

It is worked out from a part of the rows spread over the whole file, so that a long file takes no more memory than a
short one. What the keeper chose (`Choices`) goes before what was guessed.
"""

from collections.abc import Iterable, Sequence
from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.errors import NotOneOf
from evenwater.domain.past.column_meanings import Guess, guess, header_of
from evenwater.domain.past.column_units import unit_of_column
from evenwater.domain.past.dates import DateOrder, order_of
from evenwater.domain.past.header_words import Heard, hear, unit_of_cell
from evenwater.domain.past.meanings import DATE, LEFT_OUT, Meaning, scale_of
from evenwater.domain.past.numbers import Decimal, NoNumber, decimal_of, is_nothing, read_number
from evenwater.domain.past.table import MOST_COLUMNS, Row
from evenwater.domain.quantities import QUANTITIES, Point

_FIRST: Final = 400
_EVERY: Final = 50
_EXAMPLES: Final = 3


class ColumnChoice(Struct, frozen=True, forbid_unknown_fields=True):
    """What the keeper says a column is; None leaves it to us."""

    meaning: Annotated[str, Meta(max_length=40)] | None = None
    unit: Annotated[str, Meta(max_length=30)] | None = None
    point: Point | None = None


class Choices(Struct, frozen=True, forbid_unknown_fields=True):
    """What the keeper said of the file; all that is None is worked out. `columns` by number, from 0."""

    columns: Annotated[dict[int, ColumnChoice], Meta(max_length=MOST_COLUMNS)] = {}
    date_order: DateOrder | None = None
    decimal: Decimal | None = None
    year: Annotated[int, Meta(ge=1990, le=2100)] | None = None
    point: Point = "pond"


class Column(Struct, frozen=True):
    """What a column is taken for. `unit` is the one its cells are in; `why` says what that rests on."""

    number: int
    letter: str
    header: str
    meaning: str
    unit: str
    point: Point
    decimal: Decimal
    sure: bool
    why: str
    examples: tuple[str, ...]

    @property
    def name(self) -> str:
        """As people speak of it: by its letter and header."""
        return f"{self.letter} {self.header}".strip()


class Understanding(Struct, frozen=True):
    """What the whole file is taken for. `first_line`: where the rows begin; `header_line` None when there is none."""

    delimiter: str
    header_line: int | None
    first_line: int
    date_order: DateOrder
    date_sure: bool
    date_why: str
    year: int | None
    columns: tuple[Column, ...]


def letter_of(number: int) -> str:
    """A column's letter in a spreadsheet.

    >>> letter_of(0), letter_of(27)
    ('A', 'AB')
    """
    letters = ""
    while number >= 0:
        letters = chr(65 + number % 26) + letters
        number = number // 26 - 1
    return letters


def sample_of(rows: Iterable[Row]) -> list[Row]:
    """The first rows, and of the rest every fiftieth."""
    return [row for place, row in enumerate(rows) if (place < _FIRST or place % _EVERY == 0) and not row.broken]


def understand(delimiter: str, sample: Sequence[Row], choices: Choices, known: dict[str, Meaning]) -> Understanding:
    """What the table is taken for.

    Args:
        delimiter: The sign between cells.
        sample: Rows spread over the file, in their order (`sample_of`).
        choices: What the keeper said.
        known: Every meaning there is, with the pond's own units (`meanings`).

    Raises:
        NotOneOf: a choice names a meaning or unit there is not.
    """
    header = header_of(sample)
    rows = [row for row in sample if header is None or row.line > header.line]
    width = min(MOST_COLUMNS, max((len(row.cells) for row in sample), default=0))
    filled = [_filled(rows, n) for n in range(width)]
    heads = [header.cells[n].strip() if header and n < len(header.cells) else "" for n in range(width)]
    guesses = _guesses(heads, filled, choices, known)
    dated = next((n for n in range(width) if guesses[n].meaning == DATE), None)
    order = order_of(filled[dated] if dated is not None else ())
    decimal = choices.decimal or _decimal(delimiter, guesses, filled, known)
    columns = [_column(n, heads[n], guesses[n], filled[n], choices, decimal, known) for n in range(width)]
    return Understanding(
        delimiter=delimiter,
        header_line=header.line if header else None,
        first_line=header.line + 1 if header else 1,
        date_order=choices.date_order or order.order,
        date_sure=choices.date_order is not None or order.sure,
        date_why="chosen" if choices.date_order else order.why,
        year=choices.year,
        columns=tuple(columns),
    )


def _filled(rows: Sequence[Row], number: int) -> list[str]:
    cells = (row.cells[number].strip() for row in rows if number < len(row.cells))
    return [cell for cell in cells if not is_nothing(cell)]


def _guesses(heads: list[str], filled: list[list[str]], choices: Choices, known: dict[str, Meaning]) -> list[Guess]:
    """Of each column what the keeper chose, else what it looks like; no two guessed alike."""
    taken: set[tuple[str, Point]] = set()
    guesses: list[Guess] = []
    for number, (head, cells) in enumerate(zip(heads, filled, strict=True)):
        chosen = choices.columns.get(number, ColumnChoice())
        heard = hear(head) if head else Heard()
        said = chosen.point or heard.point or choices.point
        if chosen.meaning is not None:
            if chosen.meaning not in known:
                raise NotOneOf("meaning", chosen.meaning, known)
            found = Guess(chosen.meaning, True, "chosen")
        else:
            found = guess(heard, cells, choices.year)
            if found.meaning != LEFT_OUT and (found.meaning, _point(found.meaning, said)) in taken:
                found = Guess(LEFT_OUT, False, f"another column is {known[found.meaning].label} already")
        taken.add((found.meaning, _point(found.meaning, said)))
        guesses.append(found)
    return guesses


def _point(meaning: str, wanted: Point) -> Point:
    """Where it was measured: where that quantity can be, if not where it was said."""
    quantity = QUANTITIES.get(meaning)
    return wanted if quantity is None or wanted in quantity.points else quantity.points[0]


def _decimal(delimiter: str, guesses: list[Guess], filled: list[list[str]], known: dict[str, Meaning]) -> Decimal:
    """What the measured columns show together, for those that do not show it themselves."""
    shown = decimal_of(
        cell
        for one, cells in zip(guesses, filled, strict=True)
        if known[one.meaning].is_measured
        for cell in cells[:_FIRST]
    )
    return shown or ("," if delimiter == ";" else ".")


def _column(
    number: int,
    head: str,
    guessed: Guess,
    cells: list[str],
    choices: Choices,
    decimal: Decimal,
    known: dict[str, Meaning],
) -> Column:
    chosen, heard = choices.columns.get(number, ColumnChoice()), hear(head) if head else Heard()
    meaning = known[guessed.meaning]
    own = choices.decimal or decimal_of(cells) or decimal
    unit, sure, why = "", guessed.sure, guessed.why
    if meaning.is_measured:
        if chosen.unit is not None:
            if scale_of(meaning, chosen.unit) is None:
                raise NotOneOf("unit", chosen.unit, [meaning.unit, *(one.unit for one in meaning.others)])
            unit, why = chosen.unit, "chosen"
        else:
            found = unit_of_column(meaning, heard.unit, _values(meaning, cells, own))
            unit, sure, why = found.unit, found.sure, found.why or why
    point = _point(guessed.meaning, chosen.point or heard.point or choices.point)
    return Column(number, letter_of(number), head[:80], meaning.meaning, unit, point, own, sure, why, _examples(cells))


def _values(meaning: Meaning, cells: list[str], decimal: Decimal) -> list[float]:
    """The numbers that name no unit of their own."""
    read = {cell: read_number(cell, decimal) for cell in dict.fromkeys(cells)}
    numbers = (read[cell] for cell in cells)
    return [
        one.value for one in numbers if not isinstance(one, NoNumber) and unit_of_cell(one.unit, meaning.meaning) == ""
    ]


def _examples(cells: list[str]) -> tuple[str, ...]:
    return tuple(cell[:40] for cell in list(dict.fromkeys(cells[:50]))[:_EXAMPLES])
