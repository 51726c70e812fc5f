"""Imports: which files were brought in, what of them is here, and taking one back as a whole.

An import's entries are kept in chunks, each a transaction and each safe to repeat; the row that names the import comes
first, so that no entry of an import is ever without it. Until it is finished, `first_on` is None and `count` too small.
"""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

import msgspec

from evenwater.storage.database import Database, in_text
from evenwater.storage.entry_log import Arrival, append


class KeptImport(msgspec.Struct, frozen=True):
    """A file that was brought in, and what became of it."""

    id: str
    pond: str
    author: str
    file_name: str
    kept_at: datetime
    count: int
    bad_count: int
    first_on: date | None
    last_on: date | None
    taken_back_at: datetime | None


_COLUMNS = "id, pond, author, file_name, kept_at, count, bad_count, first_on, last_on, taken_back_at"


def _read(row: Any) -> KeptImport:
    return msgspec.convert(dict(zip(_COLUMNS.split(", "), row, strict=True)), KeptImport, strict=False)


async def imports(database: Database, pond: str | None = None) -> list[KeptImport]:
    """Every import, the last one first; of one pond when it is named."""
    rows = await database.reader.execute_fetchall(
        f"SELECT {_COLUMNS} FROM import WHERE ifnull(?, pond) = pond ORDER BY kept_at DESC, id", (pond,)
    )
    return [_read(row) for row in rows]


async def import_named(database: Database, import_id: str) -> KeptImport | None:
    """The import with that id."""
    rows = await database.reader.execute_fetchall(f"SELECT {_COLUMNS} FROM import WHERE id = ?", (import_id,))
    return next((_read(row) for row in rows), None)


async def begin_import(database: Database, one: KeptImport, travels_from: datetime) -> None:
    """Name the import, before any of its entries; one that was cut off half-way goes on, not finished until counted."""
    async with database.transaction() as connection:
        await connection.execute(
            "INSERT OR IGNORE INTO import (id, pond, author, file_name, kept_at, travels_from, bad_count, first_seq)"
            " SELECT ?, ?, ?, ?, ?, ?, ?, ifnull(max(seq), 0) + 1 FROM entry",
            (one.id, one.pond, one.author, one.file_name, in_text(one.kept_at), in_text(travels_from), one.bad_count),
        )
        await connection.execute("UPDATE import SET first_on = NULL, last_on = NULL WHERE id = ?", (one.id,))


async def keep_chunk(database: Database, arrivals: Sequence[Arrival], now: datetime) -> int:
    """Keep these entries of an import; returns how many were not here before."""
    kept = await append(database, arrivals, [], now, 0.0)
    return sum(not one.was_here for one in kept.values())


async def finish_import(database: Database, import_id: str) -> None:
    """Count what of it is here; an import that brought nothing new is none."""
    async with database.transaction() as connection:
        await connection.execute(
            "UPDATE import SET (count, first_on, last_on) = (SELECT count(*), min(placed_on), max(placed_on) FROM entry"
            " WHERE seq >= import.first_seq AND device = import.id AND kind <> 'take_back') WHERE id = ?",
            (import_id,),
        )
        await connection.execute("DELETE FROM import WHERE id = ? AND count = 0", (import_id,))


async def known_ids(database: Database, ids: Sequence[str]) -> dict[str, bool]:
    """Those of the ids that are in the log, and whether they went with an import that was taken back."""
    rows = await database.reader.execute_fetchall(
        "SELECT entry.id, import.taken_back_at IS NOT NULL FROM entry LEFT JOIN import ON import.id = entry.device"
        " WHERE entry.id IN (SELECT value FROM json_each(?))",
        (msgspec.json.encode(ids).decode(),),
    )
    return {row[0]: bool(row[1]) for row in rows}


async def entries_of(
    database: Database, import_id: str, after_seq: int, limit: int
) -> list[tuple[int, str, datetime, date]]:
    """(seq, id, placed at, placed on) of an import's entries, in order; its take backs are not among them."""
    rows = await database.reader.execute_fetchall(
        "SELECT seq, id, placed_at, placed_on FROM entry WHERE device = ?1 AND kind <> 'take_back'"
        " AND seq >= (SELECT first_seq FROM import WHERE id = ?1) AND seq > ?2 ORDER BY seq LIMIT ?3",
        (import_id, after_seq, limit),
    )
    return [(row[0], row[1], datetime.fromisoformat(row[2]), date.fromisoformat(row[3])) for row in rows]


async def mark_taken_back(database: Database, import_id: str, now: datetime) -> None:
    """All of it is withdrawn."""
    async with database.transaction() as connection:
        await connection.execute(
            "UPDATE import SET taken_back_at = ? WHERE id = ? AND taken_back_at IS NULL", (in_text(now), import_id)
        )
