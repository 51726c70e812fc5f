"""Which row is the header, and what a column is by its header and its cells together."""

from collections.abc import Callable, Sequence
from typing import Final

from msgspec import Struct

from evenwater.domain.past.dates import Civil, read_date, read_time
from evenwater.domain.past.header_words import Heard, hear
from evenwater.domain.past.meanings import DATE, LEFT_OUT, NOTE, TIME
from evenwater.domain.past.numbers import NoNumber, read_number
from evenwater.domain.past.table import Row

_WITHIN: Final = 25
_LOOK_AT: Final = 200
_MOST: Final = 0.6


class Guess(Struct, frozen=True):
    """A column's meaning, how sure, and why."""

    meaning: str
    sure: bool
    why: str


def header_of(sample: Sequence[Row]) -> Row | None:
    """The row that names most columns, among the first; titles above it name none, or one at most."""

    def told(row: Row) -> int:
        heads = [cell for cell in row.cells if cell.strip() and len(cell) <= 60]
        if any(_is_number(cell) or _is_date(cell, None) for cell in heads):
            return 0
        return len({hear(cell).meaning for cell in heads} - {"", LEFT_OUT})

    first = list(sample[:_WITHIN])
    best = max(first, key=told, default=None)
    return best if best is not None and told(best) >= min(2, len(best.cells)) else None


def guess(heard: Heard, cells: list[str], year: int | None) -> Guess:
    """What a column is: what its header says, if its cells can be that.

    Args:
        heard: What the header says.
        cells: Those that hold something.
        year: For dates that name none.
    """
    looked_at = cells[:_LOOK_AT]
    dates = _share(looked_at, lambda cell: _is_date(cell, year))
    numbers = _share(looked_at, _is_number)
    if heard.meaning in (DATE, TIME, "") and dates >= _MOST:
        return Guess(DATE, heard.meaning != "", "the cells are dates")
    if heard.meaning in (TIME, "") and _share(looked_at, lambda cell: read_time(cell) is not None) >= _MOST:
        return Guess(TIME, heard.meaning == TIME, "the cells are times of day")
    if heard.meaning in ("", LEFT_OUT):
        return Guess(LEFT_OUT, True, "nothing we keep")
    if heard.meaning == NOTE:
        return Guess(NOTE, True, "the header says so")
    if not cells:
        return Guess(LEFT_OUT, True, "the column is empty")
    if heard.meaning in (DATE, TIME) or numbers < 0.3:
        return Guess(LEFT_OUT, False, "the cells are not what the header says")
    return Guess(heard.meaning, True, "the header says so")


def _share(cells: list[str], fits: Callable[[str], bool]) -> float:
    return sum(map(fits, cells)) / len(cells) if cells else 0.0


def _is_date(cell: str, year: int | None) -> bool:
    return any(isinstance(read_date(cell, order, year), Civil) for order in ("dmy", "mdy"))


def _is_number(cell: str) -> bool:
    return not isinstance(read_number(cell, "."), NoNumber)
