"""People's facts: append once, read since a cursor.

A batch is one transaction and four statements whatever its size. What could fail for a single entry was checked before
it came here, and an id already kept is looked up first; so no entry can hold up another, and no savepoint is needed.
"""

import hashlib
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Any

import aiosqlite
import msgspec

from evenwater.domain.entries import Entry, Set
from evenwater.domain.errors import DomainError
from evenwater.domain.placing import LoggedEntry, Placed, place
from evenwater.domain.pond import setting_value
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.storage.database import Database, in_text

_COLUMNS = (
    "seq, id, pond, kind, author, device, received_at, placed_at, placed_on, skew_s, time_doubtful,"
    " content_sha256, content"
)

_INSERT = f"INSERT INTO entry ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
LOGGED = "seq, received_at, placed_at, placed_on, skew_s, time_doubtful, content"


class Arrival(msgspec.Struct, frozen=True):
    """An entry as it came: read, placed, and byte for byte."""

    entry: Entry
    placed: Placed
    content: bytes


class Postponed(msgspec.Struct, frozen=True):
    """An entry we cannot read yet, and who sent it."""

    head: Deferred
    author: str
    device: str
    content: bytes


class Kept(msgspec.Struct, frozen=True):
    """What became of an arrival: where it stands, whether it was here already, and what is kept.

    `erased`: a name was blanked in it since it was sent, so what is kept is another text.
    """

    seq: int
    received_at: datetime
    placed: Placed
    skew_s: float
    was_here: bool
    content: str
    content_sha256: bytes
    erased: bool = False

    def same_content(self, content: bytes) -> bool:
        """Whether that is what is kept or was sent, spacing and order of keys aside."""
        if self.erased or hashlib.sha256(content).digest() == self.content_sha256:
            return True
        return bool(msgspec.json.decode(self.content) == msgspec.json.decode(content))

    @property
    def as_logged(self) -> "LoggedContent":
        """What is kept, for handing on."""
        placed, raw = self.placed, msgspec.Raw(self.content.encode())
        return LoggedContent(self.seq, self.received_at, placed.at, placed.on, self.skew_s, placed.time_doubtful, raw)


class LoggedContent(msgspec.Struct, frozen=True):
    """`LoggedEntry` with the entry unread, for handing on as it is."""

    seq: int
    received_at: datetime
    placed_at: datetime
    placed_on: date
    skew_s: float
    time_doubtful: bool
    entry: msgspec.Raw


async def append(
    database: Database,
    arrivals: Sequence[Arrival],
    postponed: Sequence[Postponed],
    received_at: datetime,
    skew_s: float,
) -> dict[str, Kept]:
    """Keep every arrival once; answer by id. Confirmed only when the transaction is on the disk.

    Raises:
        StorageUnavailable: nothing was kept.
    """
    async with database.transaction() as connection:
        kept, seq = await _look_up(connection, [arrival.entry.id for arrival in arrivals])
        rows: list[tuple[Any, ...]] = []
        received_text = in_text(received_at)
        for arrival in arrivals:
            if arrival.entry.id not in kept:
                seq += 1
                one = _kept_now(seq, arrival, received_at, skew_s)
                rows.append(_row(one, arrival.entry, received_text))
                kept[arrival.entry.id] = one
        await connection.executemany(_INSERT, rows)
        if postponed:
            await connection.executemany(
                "INSERT OR IGNORE INTO deferred_entry VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                [_postponed_row(one, received_at, skew_s) for one in postponed],
            )
    return kept


class AlreadyThere(Exception):
    """An entry's id is in the log."""


async def append_placed(connection: aiosqlite.Connection, arrivals: Sequence[tuple[Arrival, datetime, float]]) -> None:
    """Keep arrivals inside a transaction, each with when it came and the skew it came with [s].

    Raises:
        AlreadyThere: one of them is in the log, or among them twice.
    """
    kept, seq = await _look_up(connection, [one.entry.id for one, _, _ in arrivals])
    rows: list[tuple[Any, ...]] = []
    for arrival, received_at, skew_s in arrivals:
        if arrival.entry.id in kept:
            raise AlreadyThere(arrival.entry.id)
        seq += 1
        one = _kept_now(seq, arrival, received_at, skew_s)
        kept[arrival.entry.id] = one
        rows.append(_row(one, arrival.entry, in_text(received_at)))
    await connection.executemany(_INSERT, rows)


async def epoch_for(database: Database, epoch: str | None, cursor: int) -> str:
    """The log's epoch, answering a device that stands at `cursor` of `epoch`.

    A device that has seen more of this log than there is shows that an older copy of the file was put back by hand.
    The log then begins a new epoch, so that every device sends again what went missing.
    """
    [(own, last_seq)] = await database.reader.execute_fetchall(
        "SELECT value, (SELECT ifnull(max(seq), 0) FROM entry) FROM meta WHERE key = 'epoch'"
    )
    if epoch == own and cursor > last_seq:
        return await database.begin_epoch()
    return str(own)


async def _look_up(connection: aiosqlite.Connection, ids: Sequence[str]) -> tuple[dict[str, Kept], int]:
    """What the log has of these ids, and its last number: one question, because each costs a change of thread.

    The greatest number is the last one given, because nothing ever leaves the log.
    """
    rows = await connection.execute_fetchall(
        "SELECT id, seq, received_at, placed_at, placed_on, skew_s, time_doubtful, content, content_sha256,"
        " EXISTS (SELECT 1 FROM erased_entry WHERE erased_entry.entry = entry.id)"
        " FROM entry WHERE id IN (SELECT value FROM json_each(?)) OR seq = (SELECT max(seq) FROM entry)",
        (msgspec.json.encode(ids).decode(),),
    )
    asked = set(ids)
    kept = {
        row[0]: Kept(
            row[1],
            datetime.fromisoformat(row[2]),
            Placed(datetime.fromisoformat(row[3]), date.fromisoformat(row[4]), bool(row[6])),
            row[5],
            True,
            row[7],
            row[8],
            bool(row[9]),
        )
        for row in rows
        if row[0] in asked
    }
    return kept, max((row[1] for row in rows), default=0)


def _kept_now(seq: int, arrival: Arrival, received_at: datetime, skew_s: float) -> Kept:
    content_sha256 = hashlib.sha256(arrival.content).digest()
    return Kept(seq, received_at, arrival.placed, skew_s, False, arrival.content.decode(), content_sha256)


def _row(kept: Kept, entry: Entry, received_text: str) -> tuple[Any, ...]:
    return (
        kept.seq,
        entry.id,
        entry.pond,
        entry.__struct_config__.tag,
        entry.author,
        entry.device,
        received_text,
        in_text(kept.placed.at),
        kept.placed.on.isoformat(),
        kept.skew_s,
        int(kept.placed.time_doubtful),
        kept.content_sha256,
        kept.content,
    )


def _postponed_row(one: Postponed, received_at: datetime, skew_s: float) -> tuple[Any, ...]:
    head = one.head
    return head.id, head.kind, head.v, one.author, one.device, in_text(received_at), skew_s, one.content.decode()


async def page_since(
    database: Database, cursor: int, horizon: datetime, limit: int
) -> tuple[list[LoggedContent], int, bool]:
    """A page of the log after `cursor`: (entries, new cursor, more to come).

    Facts placed before `horizon` are passed over, settings and what takes one back never are: a device needs all of
    those. Of an import only the newest travel. What was passed over at the end is behind the new cursor, so that nobody
    looks through it twice.
    """
    rows = list(
        await database.reader.execute_fetchall(
            f"SELECT last.seq, page.* FROM (SELECT ifnull(max(seq), 0) AS seq FROM entry) AS last LEFT JOIN ("
            f"SELECT {LOGGED} FROM entry WHERE seq > ? AND (placed_at >= ? OR {_OF_SETTINGS}) AND NOT EXISTS"
            " (SELECT 1 FROM import WHERE import.id = entry.device AND entry.placed_at < import.travels_from)"
            " ORDER BY seq LIMIT ?) AS page ORDER BY page.seq",
            (cursor, in_text(horizon), limit + 1),
        )
    )
    more = len(rows) > limit
    entries = [logged_content(tuple(row)[1:]) for row in rows[:limit] if row[1] is not None]
    return entries, entries[-1].seq if more else max(cursor, rows[0][0]), more


def logged_content(row: aiosqlite.Row | tuple[Any, ...]) -> LoggedContent:
    return LoggedContent(
        row[0],
        datetime.fromisoformat(row[1]),
        datetime.fromisoformat(row[2]),
        date.fromisoformat(row[3]),
        row[4],
        bool(row[5]),
        msgspec.Raw(row[6].encode()),
    )


_OF_SETTINGS = (
    "kind = 'set' OR kind = 'take_back' AND EXISTS (SELECT 1 FROM entry AS taken"
    " WHERE taken.id = json_extract(entry.content, '$.entry') AND taken.kind IN ('set', 'take_back'))"
)


async def settings_after(database: Database, after_seq: int) -> list[LoggedEntry]:
    """Every setting after `after_seq`, and what takes one back; facts are left out."""
    rows = await database.reader.execute_fetchall(
        f"SELECT {LOGGED} FROM entry WHERE seq > ? AND ({_OF_SETTINGS}) ORDER BY seq",
        (after_seq,),
    )
    return readable(rows)


def readable(rows: Iterable[aiosqlite.Row]) -> list[LoggedEntry]:
    """Those of the rows (columns of `LOGGED`) whose entry this version can read."""
    found: list[LoggedEntry] = []
    for row in rows:
        entry = read_entry(row[6].encode())
        if not isinstance(entry, Deferred):
            moments = datetime.fromisoformat(row[1]), datetime.fromisoformat(row[2]), date.fromisoformat(row[3])
            found.append(LoggedEntry(row[0], *moments, row[4], bool(row[5]), entry))
    return found


async def replay_deferred(database: Database) -> int:
    """Keep the deferred entries this version can read; those it still cannot stay. Returns how many were kept.

    They are placed where they first arrived. One that turns out to be wrong, or not from whoever sent it, stays
    deferred, where it can be looked at.
    """
    rows = await database.reader.execute_fetchall(
        "SELECT id, author, device, received_at, skew_s, content FROM deferred_entry ORDER BY received_at, rowid"
    )
    count = 0
    for entry_id, author, device, received_text, skew_s, text in rows:
        content, received_at = text.encode(), datetime.fromisoformat(received_text)
        entry = _read_again(content)
        if entry is None or (entry.author, entry.device) != (author, device):
            continue
        arrival = Arrival(entry, place(entry, received_at, skew_s), content)
        kept = await append(database, [arrival], [], received_at, skew_s)
        if kept[entry_id].same_content(content):
            async with database.transaction() as connection:
                await connection.execute("DELETE FROM deferred_entry WHERE id = ?", (entry_id,))
            count += 1
    return count


def _read_again(content: bytes) -> Entry | None:
    try:
        entry = read_entry(content)
        if isinstance(entry, Set):
            setting_value(entry)
    except (DomainError, msgspec.MsgspecError):
        return None
    return None if isinstance(entry, Deferred) else entry
