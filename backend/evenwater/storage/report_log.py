"""What of the log a season report rests on: two spans of one pond's facts, however long ago, and its heater's counter.

Settings are left out: a plan knows all of them. Of an imported record the last reading of each hour counts, as it does
for changes of long ago (`old_readings.py`).
"""

import asyncio
from collections.abc import Iterable, Sequence
from contextlib import suppress
from datetime import date, datetime
from typing import Any

import msgspec

from evenwater.domain.entries import Entry
from evenwater.domain.fold import Seen
from evenwater.domain.warmth.series import series_name
from evenwater.storage.database import Database, in_text
from evenwater.storage.done_dates import withdrawn

_COLUMNS = "seq, placed_at, placed_on, content"
_STANDING = "device NOT IN (SELECT id FROM import WHERE taken_back_at IS NOT NULL)"
_IMPORTED = "kind = 'reading' AND device IN (SELECT id FROM import)"
# Of hundreds of thousands of entries those of two years: found by when they happened.
_OF_SPAN = "FROM entry WHERE placed_at >= ?1 AND placed_at < ?2 AND pond = ?3 AND kind NOT IN ('set', 'take_back')"
_FACTS = (
    f"SELECT {_COLUMNS} {_OF_SPAN} AND {_STANDING} AND NOT ({_IMPORTED}) UNION ALL "
    f"SELECT {_COLUMNS} FROM (SELECT *, row_number() OVER (PARTITION BY json_extract(content, '$.quantity'),"
    " json_extract(content, '$.point'), substr(placed_at, 1, 13) ORDER BY placed_at DESC) AS nth"
    f" {_OF_SPAN} AND {_STANDING} AND {_IMPORTED}) WHERE nth = 1"
)
_COUNTER = (
    "SELECT max(at), value FROM sample WHERE series = ? AND issued_at = '' AND at >= ? AND at < ?"
    " GROUP BY substr(at, 1, 10) ORDER BY 1"
)


async def facts_between(database: Database, pond: str, since: datetime, until: datetime) -> list[Seen]:
    """The pond's standing facts from one moment to before another, each once; oldest first."""
    gone = await withdrawn(database)
    rows = await database.reader.execute_fetchall(_FACTS, (in_text(since), in_text(until), pond))
    # Tens of thousands to be read: whoever syncs meanwhile is answered.
    found = await asyncio.to_thread(_read, rows)
    return sorted((one for one in found if one.entry.id not in gone), key=lambda one: one.order)


def _read(rows: Iterable[Sequence[Any]]) -> list[Seen]:
    """The rows as entries. Each was looked at field by field when it came in; twice would take half a second."""
    decode = msgspec.json.Decoder(Entry).decode
    found: list[Seen] = []
    for seq, placed_at, placed_on, content in rows:
        with suppress(msgspec.ValidationError):  # of a newer version than this one
            found.append(Seen(decode(content), seq, datetime.fromisoformat(placed_at), date.fromisoformat(placed_on)))
    return found


async def water_hours(database: Database, pond: str, since: datetime, until: datetime) -> list[tuple[datetime, float]]:
    """What a probe in the water sent, the mean of each hour at its beginning [°C], oldest first."""
    rows = await database.reader.execute_fetchall(
        "SELECT substr(at, 1, 13), avg(value) FROM sample WHERE series = ? AND issued_at = '' AND at >= ? AND at < ?"
        " GROUP BY 1 ORDER BY 1",
        (series_name(pond, "water_c"), in_text(since), in_text(until)),
    )
    return [(datetime.fromisoformat(f"{hour}:00:00.000Z"), value) for hour, value in rows]


async def counter_days(database: Database, pond: str, since: datetime, until: datetime) -> list[tuple[datetime, float]]:
    """What a logger at the heater's counter sent last on each date of UTC [kWh], oldest first."""
    rows = await database.reader.execute_fetchall(
        _COUNTER, (series_name(pond, "heater_kwh"), in_text(since), in_text(until))
    )
    return [(datetime.fromisoformat(at), value) for at, value in rows]
