"""A household read back from its JSON lines: all of them, or none.

Every line is read as what comes from outside: its shape, each entry as a device's would be, its place in time worked
out anew. Entries keep their order, which is what settings go by; so the log they go into must be empty.
"""

import sqlite3
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

import aiosqlite
import msgspec
from msgspec import Struct

from evenwater.domain.entries import Set
from evenwater.domain.errors import DomainError
from evenwater.domain.people import name_key, person_name
from evenwater.domain.placing import Placed, place
from evenwater.domain.pond import setting_value
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.storage.database import Database, in_text
from evenwater.storage.entry_log import AlreadyThere, Arrival, append_placed
from evenwater.storage.errors import StorageError
from evenwater.storage.log_lines import (
    FORMAT,
    TABLES,
    EntryLine,
    HouseholdLine,
    ImportLine,
    Line,
    OfLine,
    PersonLine,
    PhotoLine,
    SampleLine,
    as_row,
    columns_of,
)
from evenwater.storage.progress import Tell, unseen

_AT_ONCE = 500
_MOST_NAMED = 20
LONGEST_LINE = 4_000_000
"""[bytes]"""
_decode = msgspec.json.Decoder(Line).decode


class NotReadBack(StorageError):
    """Lines that cannot be read back, by number and in words; nothing was kept."""

    def __init__(self, problems: Sequence[str], count: int) -> None:
        super().__init__(problems[0])
        self.problems, self.count = tuple(problems), count


class ReadBack(Struct, frozen=True, kw_only=True):
    """What was read back. `people`: names of those who need a passphrase; `photos`: whose pictures are not in it."""

    entries: int
    samples: int
    photos: int
    people: tuple[str, ...]
    made_at: datetime


class _Reading:
    """One reading under way: lines of one kind are gathered and kept some at a time."""

    def __init__(self, connection: aiosqlite.Connection) -> None:
        self._connection = connection
        self._rows: dict[type[OfLine], list[Any]] = {}
        self._imports: set[str] = set()
        self.head: HouseholdLine | None = None
        self.problems: list[str] = []
        self.bad_count = 0
        self.counts: dict[type[OfLine], int] = {}
        self.people: list[str] = []

    def add(self, number: int, text: bytes) -> None:
        """Take a line in; what is wrong with it is written down."""
        try:
            if len(text) > LONGEST_LINE:
                raise ValueError("longer than any line of ours")
            self._take(_decode(text))
        except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError, ValueError) as error:
            self._refuse(number, str(error) if self.head else f"this is no export of this program ({error})")
        except DomainError as error:
            self._refuse(number, f"{error.what}; right would be {error.right}")

    def _refuse(self, number: int, why: str) -> None:
        self.bad_count += 1
        if len(self.problems) < _MOST_NAMED:
            self.problems.append(f"line {number}: {why}")

    def _take(self, line: OfLine) -> None:
        if self.head is None:
            if not isinstance(line, HouseholdLine):
                raise ValueError("the first line is not the household's")
            if line.format > FORMAT:
                raise ValueError(f"it was written by a newer version ({line.version}): use that one, or a newer one")
            self.head = line
            return
        if isinstance(line, HouseholdLine):
            raise ValueError("a second household begins here: bring in one file at a time")
        row = self._row(line)
        self.counts[type(line)] = self.counts.get(type(line), 0) + 1
        if not isinstance(line, PhotoLine):  # its picture is not here; one that is found in the folder gets its row
            self._rows.setdefault(type(line), []).append(row)

    def _row(self, line: OfLine) -> Any:
        if isinstance(line, EntryLine):
            return self._arrival(line)
        if isinstance(line, PersonLine):
            name = person_name(line.name)
            self.people.append(name)
            return line.id, name, name_key(name), "", in_text(line.created_at)
        if isinstance(line, ImportLine):
            self._imports.add(line.id)
        return as_row(line)

    def _arrival(self, line: EntryLine) -> tuple[Arrival, datetime, float]:
        content = line.as_sent.encode() if line.as_sent is not None else bytes(line.entry)
        entry = read_entry(content)
        if isinstance(entry, Deferred):
            raise ValueError(f"the entry was written by a newer app (version {entry.v})")
        if isinstance(entry, Set):
            setting_value(entry)
        as_told = Placed(line.placed_at, line.placed_on, line.time_doubtful)
        placed = as_told if entry.device in self._imports else place(entry, line.received_at, line.skew_s)
        return Arrival(entry, placed, content), line.received_at, line.skew_s

    async def keep(self, *, at_least: int = 1) -> None:
        """Keep what is gathered, once there is that much; nothing any more when a line was refused."""
        if sum(map(len, self._rows.values())) < at_least:
            return
        gathered, self._rows = self._rows, {}
        for kind, rows in gathered.items() if not self.problems else ():
            if kind is EntryLine:
                await append_placed(self._connection, rows)
            else:
                await self._connection.executemany(_INSERT[kind], rows)

    def done(self) -> ReadBack:
        """What was read back.

        Raises:
            NotReadBack: a line was refused, or lines are missing.
        """
        entries = self.counts.get(EntryLine, 0)
        if self.head is None:
            if not self.problems:
                self._refuse(1, "the file is empty")
        elif entries != self.head.entries and not self.problems:
            self._refuse(1, f"{self.head.entries:,} entries were written, and {entries:,} are here: it was cut off")
        if self.head is None or self.problems:
            raise NotReadBack(self.problems, self.bad_count)
        return ReadBack(
            entries=entries,
            samples=self.counts.get(SampleLine, 0),
            photos=self.counts.get(PhotoLine, 0),
            people=tuple(self.people),
            made_at=self.head.made_at,
        )


async def read_back(database: Database, lines: Iterable[bytes], of_bytes: int, tell: Tell = unseen) -> ReadBack:
    """Keep a household's lines in a database whose log is empty, in one transaction.

    Args:
        database: Where to.
        lines: Each as `lines_of` wrote it.
        of_bytes: How much there is of them [bytes].
        tell: How far it has come.

    Raises:
        NotReadBack: a line cannot be read, or the log is not empty; nothing was kept.
        StorageUnavailable: the disk is full; nothing was kept.
    """
    async with database.transaction() as connection:
        [(there,)] = await connection.execute_fetchall("SELECT count(*) FROM entry")
        if there:
            what = (
                f"there are {there:,} entries here already, and settings go by their order: read into an empty folder"
            )
            raise NotReadBack([what], 1)
        reading, done = _Reading(connection), 0
        try:
            for number, text in enumerate(lines, 1):
                reading.add(number, text)
                if reading.head is None:  # whatever follows, and be it without end, is none of ours
                    break
                done += len(text)
                await reading.keep(at_least=_AT_ONCE)
                tell("reading lines", done, of_bytes)
            await reading.keep()
        except (sqlite3.IntegrityError, AlreadyThere) as error:
            raise NotReadBack([f"something stands in it twice, or is here already ({error})"], 1) from error
        return reading.done()


def _insert(kind: type[OfLine]) -> str:
    columns = ("id", "name", "name_key", "passphrase_hash", "created_at") if kind is PersonLine else columns_of(kind)
    marks = ", ".join("?" * len(columns))
    return f"INSERT INTO {TABLES[kind][0]} ({', '.join(columns)}) VALUES ({marks})"


_INSERT = {kind: _insert(kind) for kind in TABLES if kind is not EntryLine}
