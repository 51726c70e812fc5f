"""On which dates standing jobs were done, however long ago: what the year on one page looks back on."""

from collections.abc import Sequence
from datetime import UTC, date, datetime

import msgspec

from evenwater.domain.entries import TakeBack
from evenwater.domain.fold import Seen, withdrawn_ids
from evenwater.storage.database import Database, in_text

# By the index of each job's ticks, so that ten years of a busy pond cost no more than the jobs asked for.
TICKS = (
    "SELECT asked.value, entry.id, placed_on FROM json_each(?1) AS asked CROSS JOIN entry ON kind = 'tick'"
    " AND pond = ?2 AND json_extract(content, '$.standing_job') = asked.value AND placed_at >= ?3 AND placed_at < ?4"
)
_ANY = datetime(2000, 1, 1, tzinfo=UTC)
_read = msgspec.json.Decoder(TakeBack).decode


async def done_dates(
    database: Database, pond: str, jobs: Sequence[str], since: datetime, until: datetime
) -> dict[str, tuple[date, ...]]:
    """The dates, ascending, of each of these standing jobs that was ticked between two moments; none taken back."""
    gone = await withdrawn(database)
    rows = await database.reader.execute_fetchall(
        TICKS,
        (msgspec.json.encode(jobs).decode(), pond, in_text(since), in_text(until)),
    )
    found: dict[str, set[date]] = {}
    for job, entry, placed_on in rows:
        if entry not in gone:
            found.setdefault(job, set()).add(date.fromisoformat(placed_on))
    return {job: tuple(sorted(dates)) for job, dates in found.items()}


async def withdrawn(database: Database) -> frozenset[str]:
    """Ids of all entries that are taken back."""
    rows = await database.reader.execute_fetchall("SELECT seq, content FROM entry WHERE kind = 'take_back'")
    # Where they stand in time is nothing to what they take back.
    return withdrawn_ids(Seen(_read(text), seq, _ANY, _ANY.date()) for seq, text in rows)
