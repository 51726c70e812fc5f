"""A whole file, from its bytes to what would be kept of it; nothing of it is in memory but its bytes and a chunk."""

from collections.abc import Iterator
from datetime import datetime
from itertools import islice
from typing import Final
from zoneinfo import ZoneInfo

from evenwater.domain.past.as_entries import Drawn, drawn
from evenwater.domain.past.decoding import encoding_of, lines_of
from evenwater.domain.past.meanings import Meaning
from evenwater.domain.past.reading import Bad, Found, ReadRow, read_rows
from evenwater.domain.past.table import Row, delimiter_of, rows_of
from evenwater.domain.past.tally import Tally
from evenwater.domain.past.understanding import Choices, Understanding, sample_of, understand

CHUNK: Final = 1000
_FIRST_LINES: Final = 100


class PastFile:
    """A keeper's own table, understood as far as it goes and as they chose."""

    def __init__(self, data: bytes, choices: Choices, known: dict[str, Meaning], zone: ZoneInfo, now: datetime) -> None:
        """Look through the file once.

        Raises:
            NotReadable: it is no table of text.
            NotOneOf: a choice names what there is not.
        """
        self._data, self._known, self._zone, self._now = data, known, zone, now
        self.encoding = encoding_of(data)
        self.delimiter = delimiter_of(list(islice(lines_of(data, self.encoding), _FIRST_LINES)))
        self.understanding: Understanding = understand(self.delimiter, sample_of(self._rows()), choices, known)

    def _rows(self) -> Iterator[Row]:
        return rows_of(lines_of(self._data, self.encoding), self.delimiter)

    def counted(self, tally: Tally, first: int) -> list[Drawn]:
        """Count all that would be kept in `tally`; the first of it, at least so many values where there are.

        Raises:
            TooMuch: the file holds more than is read at once.
        """
        shown: list[Drawn] = []
        for row, fresh in self._counted(tally):
            if len(shown) < first:
                shown += drawn(row, fresh)
        return shown

    def chunks(self, tally: Tally) -> Iterator[list[Drawn]]:
        """What would be kept, each value once, in the order of the file; counted, and what is bad named, in `tally`.

        Raises:
            TooMuch: the file holds more than is read at once.
        """
        chunk: list[Drawn] = []
        for row, fresh in self._counted(tally):
            chunk += drawn(row, fresh)
            if len(chunk) >= CHUNK:
                yield chunk
                chunk = []
        if chunk:
            yield chunk

    def _counted(self, tally: Tally) -> Iterator[tuple[ReadRow, list[Found]]]:
        tally.expect(self.understanding.columns)
        for row in read_rows(self.understanding, self._rows(), self._known, self._zone, self._now):
            if isinstance(row, Bad):
                tally.name(row)
            else:
                yield row, tally.fresh(row)
