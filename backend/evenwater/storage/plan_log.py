"""What of the log a plan rests on: settings, the last weeks' facts, and of what is older what still counts.

- Nothing of an import that was taken back. Of a large import's readings, the newest apart, the last of each three
  hours: a probe's record would otherwise cost every plan seconds, and teach it no more.
- `read_for_plan` reads it anew, `read_on` what came since: together the same as reading anew.
"""

from collections.abc import Sequence
from datetime import datetime

import msgspec

from evenwater.domain.placing import LoggedEntry
from evenwater.storage.database import Database, in_text
from evenwater.storage.entry_log import LOGGED, readable

_STANDING = "device NOT IN (SELECT id FROM import WHERE taken_back_at IS NOT NULL)"
_AT_HOME = (
    "kind = 'reading' AND EXISTS (SELECT 1 FROM import WHERE id = entry.device AND entry.placed_at < travels_from)"
)
_OF_THREE_HOURS = (
    "device, json_extract(content, '$.quantity'), json_extract(content, '$.point'), substr(placed_at, 1, 10),"
    " CAST(substr(placed_at, 12, 2) AS INTEGER) / 3"
)
_LASTING = "kind IN ('take_back', 'change', 'service', 'meter', 'fish_move', 'fish_measure', 'fish_seen')"
_EARLIER_TICKS = 3
_TICKS_OF_A_HISTORY = 400


async def last_seq(database: Database) -> int:
    """The number of the last entry there is, 0 for an empty log."""
    [(last,)] = await database.reader.execute_fetchall("SELECT ifnull(max(seq), 0) FROM entry")
    return int(last)


async def read_for_plan(database: Database, horizon: datetime) -> list[LoggedEntry]:
    """Facts since `horizon`, and of what is older settings and what lasts; in the log's order.

    What lasts: changes, work on the kit, its counters, what was done with, measured of and seen on fish, take backs; of
    each standing job the last few ticks before the horizon.
    """
    rows = await database.reader.execute_fetchall(
        f"SELECT {LOGGED} FROM entry WHERE placed_at >= ?1 AND kind <> 'set' AND NOT ({_LASTING}) AND {_STANDING}"
        f" AND NOT ({_AT_HOME}) UNION ALL "
        f"SELECT {LOGGED} FROM entry WHERE kind = 'set' AND {_STANDING} UNION ALL "
        f"SELECT {LOGGED} FROM entry WHERE {_LASTING} AND {_STANDING} UNION ALL "
        f"SELECT {LOGGED} FROM (SELECT *, row_number() OVER (PARTITION BY {_OF_THREE_HOURS} ORDER BY placed_at DESC)"
        f" AS nth FROM entry WHERE placed_at >= ?1 AND {_AT_HOME} AND {_STANDING}) WHERE nth = 1 UNION ALL "
        f"SELECT {LOGGED} FROM (SELECT DISTINCT pond AS of_pond, substr(json_extract(content, '$.target'), 5) AS job"
        " FROM entry WHERE kind = 'set' AND json_extract(content, '$.target') LIKE 'job/%') CROSS JOIN entry"
        " ON seq IN (SELECT seq FROM entry WHERE kind = 'tick' AND pond = of_pond"
        " AND json_extract(content, '$.standing_job') = job AND placed_at < ?1 ORDER BY placed_at DESC LIMIT ?2)"
        " ORDER BY seq",
        (in_text(horizon), _EARLIER_TICKS),
    )
    return readable(rows)


async def read_on(database: Database, after_seq: int, horizon: datetime) -> list[LoggedEntry] | None:
    """What came after `after_seq` and may bear on a plan; None when it has to be read anew.

    That is so when readings of an import came that stay at home: which of them count depends on all of them; and when
    something so old came that it may be one of a job's last ticks.
    """
    rows = await database.reader.execute_fetchall(
        f"SELECT {LOGGED}, {_AT_HOME} OR kind = 'tick' AND placed_at < ?2 FROM entry WHERE seq > ?1"
        f" AND (placed_at >= ?2 OR kind IN ('set', 'tick') OR {_LASTING}) AND {_STANDING} ORDER BY seq",
        (after_seq, in_text(horizon)),
    )
    return None if any(row[7] for row in rows) else readable(rows)


async def ticks_of(database: Database, jobs: Sequence[tuple[str, str]], before: datetime) -> list[LoggedEntry]:
    """The last ticks of these (pond, standing job) before a moment, in the log's order: intervals are learned of them.

    At most 400 of each: a year of daily work, eight years of weekly.
    """
    rows = await database.reader.execute_fetchall(
        f"SELECT {LOGGED} FROM json_each(?1) AS asked CROSS JOIN entry ON seq IN (SELECT seq FROM entry"
        " WHERE kind = 'tick' AND pond = json_extract(asked.value, '$[0]')"
        " AND json_extract(content, '$.standing_job') = json_extract(asked.value, '$[1]') AND placed_at < ?2"
        " ORDER BY placed_at DESC LIMIT ?3) ORDER BY seq",
        (msgspec.json.encode(jobs).decode(), in_text(before), _TICKS_OF_A_HISTORY),
    )
    return readable(rows)
