"""A logger's table, or an electricity supplier's prices, read as samples.

Two kinds of table, told apart by their first line:

    at,series,value                       at,water_c,air_c
    2026-11-03T16:30:00Z,water_c,14.2     2026-11-03T16:30:00Z,14.2,6.1

- Columns stand in any order, between commas, semicolons or tabs. A cell that is empty, or says that nothing was
  measured, is left out.
- The decimal sign is a point, or a comma where commas do not part the cells. Thousands are not grouped: "1.234" is
  little more than one, whatever the rest of the file looks like.
- A time without an offset counts by the zone given, as in any table that is brought in; without a zone it is refused.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from itertools import islice
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.errors import Contradiction, DomainError, Missing, NotOneOf
from evenwater.domain.past.dates import Civil
from evenwater.domain.past.decoding import encoding_of, lines_of
from evenwater.domain.past.moments import Moments
from evenwater.domain.past.numbers import is_nothing
from evenwater.domain.past.table import Row, delimiter_of, rows_of
from evenwater.domain.warmth.series import OWN

_NUMBER = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?(?:[eE][+-]?[0-9]{1,2})?")
_LOOKED_AT = 60
_LONG = {"at", "series", "value"}
_RIGHT_HEADER = "at,series,value or at and a series a column, like at,water_c,air_c"


class SentSample(Struct, frozen=True, forbid_unknown_fields=True):
    """One value as a probe sends it: a series by its bare name, a moment with its offset, the value in its unit."""

    series: str
    at: datetime
    value: float


def read_table(data: bytes, zone: ZoneInfo | None = None) -> Iterator[tuple[int, SentSample | DomainError]]:
    """(line in the file from 1, the sample or why it cannot be read), in the order of the file.

    What a series may be is not looked at here.

    Raises:
        DomainError: the file is no text, or its first line does not name the columns.
    """
    encoding = encoding_of(data)
    delimiter = delimiter_of(list(islice(lines_of(data, encoding), _LOOKED_AT)))
    rows = rows_of(lines_of(data, encoding), delimiter)
    header = next(rows, None)
    columns = _columns(header.cells if header else [])
    moments = Moments(zone) if zone else None
    for row in rows:
        for found in _samples(row, columns, moments, comma_parts=delimiter == ","):
            yield row.line, found


def _columns(cells: Sequence[str]) -> list[str]:
    columns = [cell.strip().strip('"').lower() for cell in cells]
    while columns and not columns[-1]:
        columns.pop()
    if "at" not in columns or len(columns) < 2:
        raise Missing("the first line does not name the columns", where="line 1", right=_RIGHT_HEADER)
    if len(set(columns)) != len(columns):
        raise Contradiction("the first line names a column twice", where="line 1", right=_RIGHT_HEADER)
    for column in columns:
        if set(columns) != _LONG and column != "at" and column not in OWN:
            raise NotOneOf("column", column[:60], OWN)
    return columns


def _samples(
    row: Row, columns: list[str], moments: Moments | None, *, comma_parts: bool
) -> Iterator[SentSample | DomainError]:
    try:
        cells = _named(row, columns)
        values = {cells["series"]: cells["value"]} if set(columns) == _LONG else cells
        values = {series: text for series, text in values.items() if series != "at" and not is_nothing(text)}
        # A line in another separator is one long time: looked at, though it has no values.
        at = _moment(cells["at"], moments) if values or cells["at"] else None
    except DomainError as error:
        yield error
        return
    for series, text in values.items():
        try:
            assert at is not None  # there are values
            yield SentSample(series, at, _number(text, comma_parts=comma_parts))
        except DomainError as error:
            yield error


def _named(row: Row, columns: list[str]) -> dict[str, str]:
    cells = [cell.strip() for cell in row.cells]
    if row.broken or any(cells[len(columns) :]):
        what = row.broken or f"{len(cells)} cells for {len(columns)} columns"
        raise Contradiction(what, where=f"line {row.line}", right="a cell for each column, decimals with a point")
    return dict(zip(columns, cells + [""] * (len(columns) - len(cells)), strict=False))


def _moment(text: str, moments: Moments | None) -> datetime:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise Contradiction(
            f"{text[:40]!r} is no time", where="at", right="2026-11-03T16:30:00Z, or with an offset like +01:00"
        ) from None
    if at.tzinfo is not None:
        return at
    if moments is None:
        raise Missing("the time names no zone", where="at", right="2026-11-03T16:30:00Z, or with +01:00")
    seconds = at.hour * 3600 + at.minute * 60 + at.second
    return datetime.fromtimestamp(moments.at_s(Civil(at.date(), seconds)), UTC)


def _number(text: str, *, comma_parts: bool) -> float:
    if not _NUMBER.fullmatch(text) or (comma_parts and "," in text):
        raise Contradiction(f"{text[:40]!r} is no number", where="value", right="a number like 14.2, without its unit")
    return float(text.replace(",", "."))
