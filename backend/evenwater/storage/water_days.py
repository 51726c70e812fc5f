"""The water's mean temperature by civil date, over years: what was read, and where a probe sent, the probe's."""

from datetime import date, datetime

from evenwater.domain.warmth.series import series_name
from evenwater.storage.database import Database, in_text
from evenwater.storage.done_dates import withdrawn

_READ = (
    "SELECT id, placed_on, json_extract(content, '$.value') FROM entry WHERE kind = 'reading' AND pond = ?1"
    " AND json_extract(content, '$.quantity') = 'temperature_c' AND placed_at >= ?2"
    " AND ifnull(json_extract(content, '$.point'), 'pond') = 'pond'"
    " AND device NOT IN (SELECT id FROM import WHERE taken_back_at IS NOT NULL)"
)
# A probe's day is that of UTC: of degree-days over months it makes no odds.
_SENT = (
    "SELECT substr(at, 1, 10), avg(value) FROM sample WHERE series = ?1 AND issued_at = '' AND at >= ?2"
    " GROUP BY substr(at, 1, 10)"
)


async def water_days(database: Database, pond: str, since: datetime) -> dict[date, float]:
    """By date, the mean of the pond's water [°C] since a moment; dates without any reading are left out."""
    gone = await withdrawn(database)
    read: dict[str, list[float]] = {}
    for entry, on, value in await database.reader.execute_fetchall(_READ, (pond, in_text(since))):
        if entry not in gone:
            read.setdefault(on, []).append(value)
    found = {date.fromisoformat(on): sum(values) / len(values) for on, values in read.items()}
    sent = await database.reader.execute_fetchall(_SENT, (series_name(pond, "water_c"), in_text(since)))
    return found | {date.fromisoformat(on): value for on, value in sent}
