"""Readings about a change of long ago: older than what a plan knows, and still what the change is judged by."""

from collections.abc import Sequence
from datetime import datetime

import msgspec

from evenwater.domain.fold import Seen, seen
from evenwater.domain.learn.reading_effect import Asked
from evenwater.storage.database import Database, in_text
from evenwater.storage.done_dates import withdrawn
from evenwater.storage.entry_log import LOGGED, readable

# A probe's record is imported by the minute: of an hour the last one counts.
_ABOUT = (
    f"SELECT {LOGGED} FROM (SELECT *, row_number() OVER (PARTITION BY json_extract(content, '$.quantity'),"
    " json_extract(content, '$.point'), substr(placed_at, 1, 13) ORDER BY placed_at DESC) AS nth FROM entry"
    " WHERE placed_at >= ?1 AND placed_at < ?2 AND kind = 'reading' AND pond = ?3"
    " AND json_extract(content, '$.quantity') IN (SELECT value FROM json_each(?4))"
    " AND device NOT IN (SELECT id FROM import WHERE taken_back_at IS NOT NULL)) WHERE nth = 1"
)


async def old_readings(database: Database, asked: Sequence[Asked], before: datetime) -> list[Seen]:
    """The readings asked for, up to a moment, each once and none taken back; oldest first."""
    gone = await withdrawn(database)
    found: dict[str, Seen] = {}
    for one in asked:
        until = in_text(min(one.until, before))
        quantities = msgspec.json.encode(one.quantities).decode()
        rows = await database.reader.execute_fetchall(_ABOUT, (in_text(one.since), until, one.pond, quantities))
        found |= {read.entry.id: read for read in map(seen, readable(rows)) if read.entry.id not in gone}
    return sorted(found.values(), key=lambda read: read.order)
