"""The rows of a table, read as it was understood: moments and values, and what could not be read, named.

One bad cell costs that cell; a bad date costs its line. Nothing is worked out from a formula.
"""

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.past.dates import Civil, NoDate, read_date, read_time
from evenwater.domain.past.header_words import unit_of_cell
from evenwater.domain.past.meanings import DATE, NOTE, TIME, Meaning, scale_of
from evenwater.domain.past.moments import Moments
from evenwater.domain.past.numbers import NoNumber, is_nothing, read_number
from evenwater.domain.past.table import Row
from evenwater.domain.past.understanding import Column, Understanding

FIRST_YEAR: Final = 1990
_REMEMBERED: Final = 5000
_LONGEST_NOTE: Final = 2000
_GIVEN: Final = frozenset({"dose_g", "water_change_l", "feed_g", "salt_g"})


class Bad(Struct, frozen=True):
    """What could not be read: where, and what would be right. `column` is "" for a whole line."""

    line: int
    column: str
    cell: str
    what: str
    right: str


class Found(Struct, frozen=True, gc=False):
    """One value, in the stored unit, or a note's text."""

    column: Column
    value: float | str


class ReadRow(Struct, frozen=True, gc=False):
    """A line's moment [s since 1970, UTC], whether its time of day was told, and what stands there."""

    line: int
    at_s: int
    timed: bool
    found: list[Found]


class _Nothing(Struct, frozen=True, gc=False):
    """A cell in which nothing was measured."""


Cell = Found | NoNumber | _Nothing
_NOTHING: Final = _Nothing()


def read_rows(
    understanding: Understanding, rows: Iterable[Row], known: dict[str, Meaning], zone: ZoneInfo, now: datetime
) -> Iterator[ReadRow | Bad]:
    """Each row as it would be kept, and each thing that is wrong, in the order of the file.

    Args:
        understanding: What the table is taken for.
        rows: All rows of the file.
        known: Every meaning there is, with the pond's own units.
        zone: The pond's.
        now: Aware; what is later cannot have been measured.
    """
    reader = _Reader(understanding, known, zone, now)
    first, header = understanding.first_line, understanding.header_line
    for row in rows:
        if row.line >= first and row.line != header:
            yield from reader.read(row)


class _Reader:
    def __init__(self, understanding: Understanding, known: dict[str, Meaning], zone: ZoneInfo, now: datetime) -> None:
        self._understanding = understanding
        self._columns = [
            (one.number, one, *_values_of(one, known[one.meaning]))
            for one in understanding.columns
            if known[one.meaning].is_measured or one.meaning == NOTE
        ]
        self._date = next((one for one in understanding.columns if one.meaning == DATE), None)
        self._time = next((one for one in understanding.columns if one.meaning == TIME), None)
        self._moments = Moments(zone)
        self._today, self._now_s = now.astimezone(zone).date(), int(now.timestamp())
        self._dates: dict[str, Civil | NoDate] = {}
        self._times: dict[str, tuple[int, int | None] | None] = {}

    def read(self, row: Row) -> Iterator[ReadRow | Bad]:
        if row.broken:
            yield Bad(row.line, "", row.cells[0][:60], row.broken, "one line for each measurement")
            return
        found: list[Found] = []
        bad: list[Bad] = []
        cells, width = row.cells, len(row.cells)
        for number, column, remembered, value_of in self._columns:
            if number < width and (text := cells[number]):
                value = remembered.get(text) or value_of(text)
                if type(value) is Found:
                    found.append(value)
                elif type(value) is NoNumber:
                    bad.append(Bad(row.line, column.name, text.strip()[:60], value.what, value.right))
        if not found and not bad:
            return
        moment = self._moment(row)
        if isinstance(moment, Bad):
            yield moment
            return
        yield from bad
        if found:
            yield ReadRow(row.line, moment[0], moment[1], found)

    def _moment(self, row: Row) -> tuple[int, bool] | Bad:
        column = self._date
        text = row.cells[column.number].strip() if column and column.number < len(row.cells) else ""
        if column is None:
            return Bad(row.line, "", "", "no column holds the date", "choose the column that holds it")
        civil = self._civil(text)
        if isinstance(civil, NoDate):
            return Bad(row.line, column.name, text[:60], civil.what, civil.right)
        time_s = civil.time_s
        if time_s is None and self._time and self._time.number < len(row.cells):
            told = row.cells[self._time.number].strip()
            if not is_nothing(told):
                time = read_time(told)
                if time is None:
                    return Bad(row.line, self._time.name, told[:60], "no time of day", "a time such as 18:05")
                time_s = time[0]
        return self._checked(row.line, column, text, civil, time_s)

    def _checked(
        self, line: int, column: Column, text: str, civil: Civil, time_s: int | None
    ) -> tuple[int, bool] | Bad:
        if civil.on.year < FIRST_YEAR or civil.on.year > self._today.year + 1:
            span = f"{FIRST_YEAR} to {self._today.year}"
            return Bad(line, column.name, text[:60], f"the year {civil.on.year}", f"a year from {span}")
        at_s = self._moments.at_s(civil, time_s)
        # Of today without a time it is "today", though 18:00 be still to come.
        if at_s > self._now_s + 600 and not (time_s is None and civil.on == self._today):
            return Bad(line, column.name, text[:60], "a day still to come", f"{self._today.isoformat()} or before")
        return at_s, time_s is not None

    def _civil(self, text: str) -> Civil | NoDate:
        """The date, and time, of a cell. Loggers repeat dates and times of day: each is read once."""
        day, space, time = text.partition(" ")
        if space and day[-1:].isdigit():
            time_s = self._times.get(time) or self._remembered_time(time)
            civil = self._dates.get(day) or self._remembered_date(day)
            if time_s is not None and type(civil) is Civil and civil.time_s is None:
                return Civil(civil.on, *time_s)
        return self._dates.get(text) or self._remembered_date(text)

    def _remembered_date(self, text: str) -> Civil | NoDate:
        if len(self._dates) >= _REMEMBERED:
            self._dates.clear()
        civil = read_date(text, self._understanding.date_order, self._understanding.year)
        return self._dates.setdefault(text, civil)

    def _remembered_time(self, text: str) -> tuple[int, int | None] | None:
        if len(self._times) >= _REMEMBERED:
            self._times.clear()
        return self._times.setdefault(text, read_time(text))


def _values_of(column: Column, meaning: Meaning) -> tuple[dict[str, Cell], Callable[[str], Cell]]:
    """What has been read of a column, and a function that reads a cell and remembers it: readings repeat."""
    remembered: dict[str, Cell] = {}
    read = _note if column.meaning == NOTE else _measured

    def value_of(text: str) -> Cell:
        value = read(column, meaning, text.strip())
        if len(remembered) < _REMEMBERED and len(text) < 40:
            remembered[text] = value
        return value

    return remembered, value_of


def _note(column: Column, _: Meaning, text: str) -> Cell:
    return _NOTHING if is_nothing(text) else Found(column, text[:_LONGEST_NOTE])


def _measured(column: Column, meaning: Meaning, text: str) -> Cell:
    if is_nothing(text):
        return _NOTHING
    number = read_number(text, column.decimal)
    if isinstance(number, NoNumber):
        return number
    own = unit_of_cell(number.unit, meaning.meaning) if number.unit else ""
    scale = None if own is None else scale_of(meaning, own or column.unit)
    if scale is None:
        units = ", ".join(one for one in (meaning.unit, *(other.unit for other in meaning.others)) if one)
        return NoNumber(f"{number.unit[:30]!r} is no unit of {meaning.label}", units or "the number alone")
    value = float(f"{(number.value - scale.offset) / scale.per:.10g}")
    if not meaning.low <= value <= meaning.high:
        low, high = (end * scale.per + scale.offset for end in (meaning.low, meaning.high))
        told = f"no {meaning.label} can be {number.value:g} {scale.unit}".strip()
        return NoNumber(told, f"{low:.6g} to {high:.6g} {scale.unit}".strip())
    return _NOTHING if value == 0 and column.meaning in _GIVEN else Found(column, value)
