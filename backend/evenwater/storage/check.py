"""Whether a household is as it was written: the file, the log entry by entry, what was worked out of it, its photos.

Reads and changes nothing, beside a server that runs or without one. Each part gives a `Finding`; one that cannot be
looked at because an earlier one is wrong is left out.
"""

import hashlib
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any, Final

import msgspec
from msgspec import Struct

from evenwater.domain.entries import Entry
from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Fold, Seen, fold
from evenwater.domain.placing import place
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.settings import DATABASE_NAME
from evenwater.storage.errors import NotOurs
from evenwater.storage.photos import FOLDER_NAME
from evenwater.storage.picture import NoPicture, size_of
from evenwater.storage.progress import Tell, unseen
from evenwater.storage.schema import require_own_schema

_SHOWN: Final = 5
_ONE_BY_ONE: Final = 300


class Finding(Struct, frozen=True):
    """What one part of a check found: `says` in words, `examples` of what is wrong."""

    about: str
    right: bool
    says: str
    examples: tuple[str, ...] = ()


def check(data: Path, tell: Tell = unseen) -> list[Finding]:
    """Look at the household in a folder.

    Raises:
        NotOurs: it cannot be read at all.
    """
    file = data / DATABASE_NAME
    try:
        with closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True, isolation_level=None)) as read:
            read.execute("PRAGMA busy_timeout=5000")
            read.execute("BEGIN")  # one moment of the log, whatever is written meanwhile
            schema = _schema_finding(read)  # first: nothing of a strange database is to run
            found = [schema, _file_finding(read, tell)]
            if schema.right:
                found += _log_findings(read, tell)
                found += [*_photo_findings(read, data, tell), *_small_findings(read)]
            return found
    except sqlite3.DatabaseError as error:
        raise NotOurs(f"{file} cannot be read ({error})") from error


def _file_finding(read: sqlite3.Connection, tell: Tell) -> Finding:
    tell("reading the file", 0, 1)
    wrong = [str(row[0]) for row in read.execute("PRAGMA integrity_check") if row[0] != "ok"]
    wrong += [f"{row[0]} row {row[1]} points at no {row[2]}" for row in read.execute("PRAGMA foreign_key_check")]
    return _finding("file", wrong, "the database file is sound", "the database file is damaged")


def _schema_finding(read: sqlite3.Connection) -> Finding:
    try:
        number = require_own_schema(read)
    except NotOurs as error:
        return Finding("tables", False, str(error))
    return Finding("tables", True, f"its tables are those of schema {number}")


class _Log:
    """What is gathered while the log is read once."""

    def __init__(self, imports: frozenset[str]) -> None:
        self.imports = imports
        self.count, self.last_seq = 0, 0
        self.unsound: list[str] = []
        self.misplaced: list[str] = []
        self.a_day_beside = 0
        self.seen: list[Seen] = []

    def add(self, row: tuple[Any, ...]) -> None:
        """One entry of the log, as it is kept."""
        seq, entry_id, pond, kind, author, device, received_at, at, on, skew_s, doubtful, sha256, content = row
        self.count += 1
        if seq != self.last_seq + 1:
            self.unsound.append(f"entry {seq} follows entry {self.last_seq}: one between them is gone")
        self.last_seq = seq
        entry = self._read(seq, sha256, content, (entry_id, pond, kind, author, device))
        if entry is None:
            return
        placed = datetime.fromisoformat(at), date.fromisoformat(on), bool(doubtful)
        self.seen.append(Seen(entry, seq, placed[0], placed[1]))
        if device not in self.imports:  # an import's are placed by its file
            anew = place(entry, datetime.fromisoformat(received_at), skew_s)
            same_moment = (anew.at, anew.time_doubtful) == (placed[0], placed[2])
            if same_moment and abs(anew.on - placed[1]) == timedelta(days=1):
                self.a_day_beside += 1  # what a zone's rules make of a moment changes with the rules
            elif not same_moment or anew.on != placed[1]:
                self.misplaced.append(f"entry {seq} stands at {at}, and belongs at {anew.at.isoformat()}")

    def _read(self, seq: int, sha256: bytes, content: str, columns: tuple[str, ...]) -> Entry | None:
        if hashlib.sha256(content.encode()).digest() != sha256:
            self.unsound.append(f"entry {seq} is not what was sent: its bytes have changed")
            return None
        try:
            entry = read_entry(content.encode())
        except (DomainError, msgspec.MsgspecError) as error:
            self.unsound.append(f"entry {seq} cannot be read: {error}")
            return None
        if isinstance(entry, Deferred):
            self.unsound.append(f"entry {seq} was written by a newer app (version {entry.v})")
            return None
        told = (entry.id, entry.pond, entry.__struct_config__.tag, entry.author, entry.device)
        if told != columns:
            self.unsound.append(f"entry {seq} is filed under another id, pond, kind, person or device than its own")
        return entry


def _log_findings(read: sqlite3.Connection, tell: Tell) -> Iterator[Finding]:
    log = _Log(
        frozenset(row[0] for row in read.execute("SELECT id FROM import")) if _has(read, "import") else frozenset()
    )
    (of,) = read.execute("SELECT count(*) FROM entry").fetchone()
    rows = read.execute(
        "SELECT seq, id, pond, kind, author, device, received_at, placed_at, placed_on, skew_s, time_doubtful,"
        " content_sha256, content FROM entry ORDER BY seq"
    )
    for row in rows:
        log.add(row)
        tell("reading the log", log.count, of)
    entries = f"{log.count:,} entries"
    yield _finding("log", log.unsound, f"the log is whole: {entries}, each as it was sent", "the log is not whole")
    beside = (
        f", {log.a_day_beside:,} of them a day beside today's rules for their time zone" if log.a_day_beside else ""
    )
    yield _finding(
        "places", log.misplaced, f"each stands where it belongs in time{beside}", "some stand elsewhere in time"
    )
    yield _fold_finding(log.seen, tell)
    if log.imports:
        yield _import_finding(read)


def _fold_finding(seen: list[Seen], tell: Tell) -> Finding:
    """A server that has run for long must know what one knows that reads the log anew."""
    tell("folding the log", 0, 1)
    try:
        anew, read_on = fold(seen), Fold()
        read_on.add(seen[:-_ONE_BY_ONE])
        for one in seen[-_ONE_BY_ONE:]:
            read_on.add([one])
    except DomainError as error:
        return Finding("standing", False, f"what stands cannot be worked out: {error.what}")
    same = (tuple(anew.facts), tuple(anew.settings)) == (tuple(read_on.known().facts), tuple(read_on.known().settings))
    wrong = [] if same else ["the log read entry by entry gives another result than read at once"]
    return _finding("standing", wrong, "what stands follows from the log alone", "what stands is not sure")


def _import_finding(read: sqlite3.Connection) -> Finding:
    rows = read.execute(
        "SELECT file_name, first_on IS NOT NULL, count,"
        " (SELECT count(*) FROM entry WHERE device = import.id AND kind <> 'take_back') FROM import"
    ).fetchall()
    wrong = [
        f"{name!r} brought {count:,} entries, and {there:,} are here"
        for name, finished, count, there in rows
        if there < count or (finished and there > count)
    ]
    # It is counted at its end: until then, and for ever where it was cut off, more may be here than its count says.
    going_on = [f"{name!r}, {there:,} entries so far" for name, finished, _, there in rows if not finished]
    told = f"; not finished: {'; '.join(going_on)}" if going_on else ""
    well = f"what was brought in from files is all here{told}"
    return _finding("imports", wrong, well, "what was brought in is not all here")


def _photo_findings(read: sqlite3.Connection, data: Path, tell: Tell) -> Iterator[Finding]:
    if not _has(read, "photo"):
        return
    rows = read.execute("SELECT sum, bytes FROM photo ORDER BY sum").fetchall()
    wrong: list[str] = []
    for done, (photo, size) in enumerate(rows, 1):
        if trouble := photo_trouble(data / FOLDER_NAME / photo[:2], photo, size):
            wrong.append(f"photo {photo[:12]}: {trouble}")
        tell("looking at photos", done, len(rows))
    yield _finding("photos", wrong, f"{len(rows):,} photos are here, in both sizes", "some photos are not as kept")


def photo_trouble(folder: Path, photo: str, size: int) -> str | None:
    """What is wrong with a photo's two files in `folder`, that had `size` [bytes] together when they were kept."""
    files = [folder / f"{photo}.jpg", folder / f"{photo}.small.jpg"]
    if lacking := [file.name for file in files if not file.is_file()]:
        return f"{lacking[0]} is missing"
    try:
        if sum(file.stat().st_size for file in files) != size:
            return "its files have another size than when they were kept"
        for file in files:
            size_of(file.read_bytes())
    except NoPicture:
        return "it is no picture"
    except OSError as error:
        return f"it cannot be read ({error.strerror})"
    return None


def _small_findings(read: sqlite3.Connection) -> Iterator[Finding]:
    """What was kept as it was shown must be readable; what waits for a newer version is told."""
    (unreadable,) = read.execute("SELECT count(*) FROM shown WHERE NOT json_valid(content)").fetchone()
    wrong = [f"{unreadable} of them"] if unreadable else []
    yield _finding(
        "shown", wrong, "every plan and forecast is kept as it was shown", "some of what was shown is damaged"
    )
    (waiting,) = read.execute("SELECT count(*) FROM deferred_entry").fetchone()
    if waiting:
        yield Finding("waiting", True, f"{waiting:,} entries from a newer app wait for a newer server")


def _has(read: sqlite3.Connection, table: str) -> bool:
    return (
        read.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?", (table,)).fetchone() is not None
    )


def _finding(about: str, wrong: list[str], well: str, ill: str) -> Finding:
    if not wrong:
        return Finding(about, True, well)
    more = (f"and {len(wrong) - _SHOWN:,} more",) if len(wrong) > _SHOWN else ()
    return Finding(about, False, ill, (*wrong[:_SHOWN], *more))
