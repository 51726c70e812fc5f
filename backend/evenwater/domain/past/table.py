"""Lines of text -> rows of cells: the sign between cells, quotation marks, and what to do when one is never closed."""

import csv
from collections import Counter, deque
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from msgspec import Struct

DELIMITERS: Final = (";", "\t", ",", "|")
MOST_COLUMNS: Final = 200
_LOOK_AT: Final = 60
_LONGEST_CELL_LINES: Final = 40


class Row(Struct, frozen=True, gc=False):
    """One row; `line` is the number of its first line in the file, from 1. `broken` says why it could not be read."""

    line: int
    cells: list[str]
    broken: str = ""


def delimiter_of(lines: Sequence[str]) -> str:
    """The sign between cells: the one by which most of the first lines fall into the same number of cells.

    >>> delimiter_of(["My pond", "Date;KH", "1.2.2026;5,5"])
    ';'
    """
    looked_at = [line for line in lines if line.strip()][:_LOOK_AT]

    def fit(delimiter: str) -> tuple[int, int]:
        widths = Counter(len(row.cells) for row in rows_of(looked_at, delimiter) if len(row.cells) > 1)
        width, times = max(widths.items(), key=lambda one: one[0] * one[1], default=(1, 0))
        return times * (width - 1), times

    return max(DELIMITERS, key=fit)


def rows_of(lines: Iterable[str], delimiter: str) -> Iterator[Row]:
    """Every row that holds anything. A quotation mark that is never closed costs its own line and no other."""
    blank = f" \t{delimiter}"
    ahead: deque[tuple[int, str]] = deque()
    numbered = enumerate(lines, 1)
    while (here := ahead.popleft() if ahead else next(numbered, None)) is not None:
        line, text = here
        if not text.strip(blank):
            continue
        if '"' not in text:
            yield Row(line, text.split(delimiter))
        elif not _is_open(text, delimiter):
            yield from _parsed(line, text, delimiter)
        else:
            yield from _over_lines(line, text, delimiter, ahead, numbered)


def _over_lines(
    line: int, text: str, delimiter: str, ahead: deque[tuple[int, str]], numbered: Iterator[tuple[int, str]]
) -> Iterator[Row]:
    """A cell that goes on in the next line; what was looked at in vain stays `ahead`."""
    whole = text
    for more in range(_LONGEST_CELL_LINES):
        if more == len(ahead):
            following = next(numbered, None)
            if following is None:
                break
            ahead.append(following)
        whole += "\n" + ahead[more][1]
        if not _is_open(whole, delimiter):
            for _ in range(more + 1):
                ahead.popleft()
            yield from _parsed(line, whole, delimiter)
            return
    yield Row(line, [text], "a quotation mark is opened and never closed")


def _is_open(text: str, delimiter: str) -> bool:
    """Whether the text ends inside a quoted cell."""
    if text.count('"') % 2 == 0:
        return False
    quoted, at_start, place = False, True, 0
    while place < len(text):
        sign = text[place]
        if quoted and text.startswith('""', place):
            place += 1
        elif quoted:
            quoted = sign != '"'
        else:
            quoted = sign == '"' and at_start
            at_start = sign in (delimiter, "\n") or (at_start and sign == " ")
        place += 1
    return quoted


def _parsed(line: int, text: str, delimiter: str) -> Iterator[Row]:
    try:
        # Only a quoted cell goes over lines; any other end of line was taken away before.
        for cells in csv.reader(text.splitlines(keepends=True), delimiter=delimiter, skipinitialspace=True):
            yield Row(line, cells)
    except csv.Error as error:
        yield Row(line, [text[:200]], f"the line cannot be read ({error})")
