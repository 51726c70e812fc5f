"""Counts what a file holds, each value once, and names what stands twice at one moment.

What it remembers grows with the values of a file, some fifty bytes each, and no file may hold over a million.
"""

from heapq import heappush, heappushpop
from typing import Final

from msgspec import Struct

from evenwater.domain.errors import DomainError
from evenwater.domain.past.reading import Bad, Found, ReadRow
from evenwater.domain.past.understanding import Column
from evenwater.domain.quantities import QUANTITIES

MOST_VALUES: Final = 1_000_000
NEWEST: Final = 500
_NAMED: Final = 100


class TooMuch(DomainError):
    """A file with more values than are read at once."""

    code = "too_large"


class Counted(Struct):
    """Of one column: how many values, from when to when [s since 1970], from which to which [stored unit]."""

    column: Column
    count: int = 0
    first_s: int = 0
    last_s: int = 0
    smallest: float | None = None
    largest: float | None = None

    def add(self, at_s: int, value: float | str) -> None:
        """One more."""
        self.first_s = min(self.first_s, at_s) if self.count else at_s
        self.last_s = max(self.last_s, at_s) if self.count else at_s
        self.count += 1
        if not isinstance(value, str):
            self.smallest = value if self.smallest is None else min(self.smallest, value)
            self.largest = value if self.largest is None else max(self.largest, value)


class Clash(Struct, frozen=True):
    """Two values of one quantity at one moment; both are kept."""

    line: int
    at_s: int
    column: Column
    one: float
    other: float


class Tally:
    """Feed it every row of a file, in order."""

    def __init__(self) -> None:
        self.values = self.repeated = self.rows = self.bad_count = self.clash_count = 0
        self.bad: list[Bad] = []
        self.clashes: list[Clash] = []
        self.columns: dict[int, Counted] = {}
        self._newest_s: list[int] = []
        self._at: dict[tuple[str, str], dict[int, float | str]] = {}
        self._more: set[tuple[str, str, int, float | str]] = set()

    def name(self, bad: Bad) -> None:
        """What could not be read; the first hundred are kept by name."""
        self.bad_count += 1
        if len(self.bad) < _NAMED:
            self.bad.append(bad)

    def fresh(self, row: ReadRow) -> list[Found]:
        """What of the row has not been counted before; it is counted now.

        Raises:
            TooMuch: a million values are read.
        """
        self.rows += 1
        fresh = [one for one in row.found if self._is_fresh(row, one)]
        for one in fresh:
            counted = self.columns.get(one.column.number)
            if counted is None:
                counted = self.columns[one.column.number] = Counted(one.column)
            counted.add(row.at_s, one.value)
            if len(self._newest_s) < NEWEST:
                heappush(self._newest_s, row.at_s)
            else:
                heappushpop(self._newest_s, row.at_s)
        self.repeated += len(row.found) - len(fresh)
        self.values += len(fresh)
        if self.values > MOST_VALUES:
            raise TooMuch(
                f"line {row.line} is past the {MOST_VALUES:,}th value", where="file", right="the file in two halves"
            )
        return fresh

    @property
    def newest_from_s(self) -> int:
        """The moment from which on the newest five hundred values stand [s since 1970]; 0 when there are no more."""
        return self._newest_s[0] if self.values > NEWEST else 0

    def _is_fresh(self, row: ReadRow, one: Found) -> bool:
        column, value, at_s = one.column, one.value, row.at_s
        at = self._at.setdefault((column.meaning, column.point), {})
        before = at.get(at_s)
        if before is None:
            at[at_s] = value
            return True
        another = (column.meaning, column.point, at_s, value)
        if before == value or another in self._more:
            return False
        self._more.add(another)
        if column.meaning in QUANTITIES and not isinstance(before, str) and not isinstance(value, str):
            self.clash_count += 1
            if len(self.clashes) < _NAMED:
                self.clashes.append(Clash(row.line, at_s, column, before, value))
        return True
