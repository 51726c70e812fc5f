"""Everything in the log, a page at a time, for taking it out; what is written meanwhile comes at the end."""

import json
from collections.abc import AsyncIterator
from datetime import datetime
from typing import Any

import msgspec

from evenwater.domain.fold import Seen, withdrawn_ids
from evenwater.domain.past.export import Exported
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.storage.database import Database

_PAGE = 500


async def exported(database: Database) -> AsyncIterator[list[Exported]]:
    """Pages of entries in the log's order; `taken_back` when it stands no more."""
    withdrawn = await _withdrawn(database)
    async for rows in _pages(database):
        entries = [(row, msgspec.json.decode(row[6])) for row in rows]
        yield [Exported(row[0], row[2], row[3], row[1], entry, str(entry["id"]) in withdrawn) for row, entry in entries]


async def as_json(database: Database) -> AsyncIterator[str]:
    """Pieces of one JSON document: the epoch, every entry byte for byte as it was kept with its place, what waits."""
    yield f'{{"epoch":{json.dumps(await database.epoch())},"entries":['
    between = ""
    async for rows in _pages(database):
        yield between + ",".join(_with_place(row) for row in rows)
        between = ","
    waiting = await database.reader.execute_fetchall("SELECT content FROM deferred_entry ORDER BY received_at, rowid")
    yield '],"deferred":[' + ",".join(row[0] for row in waiting) + "]}"


def _with_place(row: Any) -> str:
    place = {"seq": row[0], "received_at": row[1], "placed_at": row[2], "placed_on": row[3], "skew_s": row[4]}
    head = json.dumps({**place, "time_doubtful": bool(row[5])}, separators=(",", ":"))
    return f'{head[:-1]},"entry":{row[6]}}}'


async def _pages(database: Database) -> AsyncIterator[list[Any]]:
    after_seq = 0
    while rows := list(
        await database.reader.execute_fetchall(
            "SELECT seq, received_at, placed_at, placed_on, skew_s, time_doubtful, content FROM entry"
            " WHERE seq > ? ORDER BY seq LIMIT ?",
            (after_seq, _PAGE),
        )
    ):
        yield rows
        after_seq = rows[-1][0]


async def _withdrawn(database: Database) -> frozenset[str]:
    rows = await database.reader.execute_fetchall("SELECT content, placed_at FROM entry WHERE kind = 'take_back'")
    read = [(read_entry(row[0].encode()), datetime.fromisoformat(row[1])) for row in rows]
    return withdrawn_ids(Seen(entry, None, at, at.date()) for entry, at in read if not isinstance(entry, Deferred))
