"""Counts what a file holds, each value once, and names what stands twice at one moment.

What it remembers grows with the values of a file, some fifty bytes each, and no file may hold over a million.
"""

import math
from collections import Counter
from collections.abc import Iterable
from heapq import heappush, heappushpop
from typing import Final

from msgspec import Struct

from evenwater.domain.errors import DomainError
from evenwater.domain.past.meanings import LEFT_OUT
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
    """Of one column: how many values, from when to when [s since 1970], from which to which [stored unit].

    Words have no least and no most: those stay infinite.
    """

    column: Column
    count: int = 0
    first_s: float = math.inf
    last_s: float = -math.inf
    smallest: float = math.inf
    largest: float = -math.inf

    def add(self, at_s: int, value: float | str) -> None:
        """One more."""
        self.count += 1
        if at_s < self.first_s:
            self.first_s = at_s
        if at_s > self.last_s:
            self.last_s = at_s
        if not isinstance(value, str):
            if value < self.smallest:
                self.smallest = value
            if value > self.largest:
                self.largest = value


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
        self._newest: list[tuple[int, int]] = []  # (moment, values) of the newest rows
        self._stands: dict[int, list[Found]] = {}  # at each moment
        self._alike = False  # two columns of one meaning

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
        at_s = row.at_s
        stands = self._stands.get(at_s)
        if stands is None and not self._alike:
            self._stands[at_s] = fresh = row.found
        else:
            fresh = [one for one in row.found if self._is_fresh(row, one)]
        for one in fresh:
            (self.columns.get(one.column.number) or self._begin(one.column)).add(at_s, one.value)
        self.repeated += len(row.found) - len(fresh)
        self.values += len(fresh)
        (heappush if len(self._newest) < NEWEST else heappushpop)(self._newest, (at_s, len(fresh)))
        if self.values > MOST_VALUES:
            raise TooMuch(
                f"line {row.line} is past the {MOST_VALUES:,}th value", where="file", right="the file in two halves"
            )
        return fresh

    def expect(self, columns: Iterable[Column]) -> None:
        """The file's columns: where two are of one meaning, each value of a row is looked at by itself."""
        met = Counter((one.meaning, one.point) for one in columns if one.meaning != LEFT_OUT)
        self._alike = any(times > 1 for times in met.values())

    def _begin(self, column: Column) -> Counted:
        counted = self.columns[column.number] = Counted(column)
        return counted

    @property
    def newest_from_s(self) -> int:
        """From when on the newest values stand, some five hundred [s since 1970]; 0 when there are no more."""
        if self.values <= NEWEST:
            return 0
        left = NEWEST
        for at_s, values in sorted(self._newest, reverse=True):
            left -= values
            if left <= 0:
                return at_s
        return self._newest[0][0]

    def _is_fresh(self, row: ReadRow, one: Found) -> bool:
        """Whether nothing like it stands at its moment yet; a quantity that differs there is named."""
        column, value, at_s = one.column, one.value, row.at_s
        stands = self._stands.get(at_s, [])
        before = [
            other.value
            for other in stands
            if (other.column.meaning, other.column.point) == (column.meaning, column.point)
        ]
        if value in before:
            return False
        self._stands[at_s] = [*stands, one]
        if before and column.meaning in QUANTITIES and not isinstance(value, str):
            self.clash_count += 1
            if len(self.clashes) < _NAMED and not isinstance(before[0], str):
                self.clashes.append(Clash(row.line, at_s, column, before[0], value))
        return True
