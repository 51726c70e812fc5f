"""What a weather service said, and how asking it went.

- Of an hour that has been the service's last word stands: it mends the last days as it learns more. A forecast stands
  as it was issued.
- Forecasts of the last two days are all kept, for the next may fail. Of older ones the first of each half day stays,
  with its first two days: enough to judge later how right they were, where every hour's would fill the disk.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

import aiosqlite
import msgspec
from msgspec import Struct

from evenwater.domain.warmth.series import SERVICE, WEATHER, series_name
from evenwater.storage.database import Database, in_text
from evenwater.storage.samples import Sample

ALL_KEPT_FOR = timedelta(days=2)
_OLD_ONES_REACH = "+48 hours"


class WeatherState(Struct, frozen=True):
    """How asking went. `failure` is one plain sentence, None while the last time went well."""

    last_good_at: datetime | None = None
    last_failed_at: datetime | None = None
    failure: str | None = None
    failures: int = 0


async def weather_state(database: Database, pond: str) -> WeatherState | None:
    """How asking for a pond's weather went; None when it was never asked for."""
    rows = await database.reader.execute_fetchall("SELECT value FROM meta WHERE key = ?", (_key(pond),))
    return next((msgspec.json.decode(value, type=WeatherState) for (value,) in rows), None)


async def keep_weather_state(database: Database, pond: str, state: WeatherState) -> None:
    """Keep how asking went when nothing came of it."""
    async with database.transaction() as connection:
        await _keep_state(connection, pond, state)


async def keep_weather(
    database: Database, pond: str, samples: Sequence[Sample], issued_at: datetime, before: WeatherState
) -> None:
    """Keep what was said at `issued_at`, and that it went well, in one transaction.

    `samples`: by stored name; a forecast bears `issued_at`. `before`: how it went until now.

    Raises:
        StorageUnavailable: nothing was kept.
    """
    async with database.transaction() as connection:
        await connection.executemany(
            "INSERT INTO sample (series, at, issued_at, value) VALUES (?, ?, ?, ?) ON CONFLICT DO UPDATE"
            " SET value = excluded.value WHERE value <> excluded.value AND thinned = 0",
            [(*one.key, one.value) for one in samples],
        )
        await _thin_forecasts(connection, pond, before.last_good_at or issued_at, issued_at)
        await _keep_state(connection, pond, WeatherState(issued_at))


async def _thin_forecasts(connection: aiosqlite.Connection, pond: str, last_at: datetime, now: datetime) -> None:
    """Of the forecasts that have grown old since `last_at`, drop all but the first of each half day."""
    since = min(last_at, now) - ALL_KEPT_FOR
    since = since.replace(hour=since.hour // 12 * 12, minute=0, second=0, microsecond=0)
    asked = msgspec.json.encode([series_name(pond, SERVICE + series) for series in WEATHER]).decode()
    span = (in_text(since - timedelta(hours=1)), in_text(since), in_text(now - ALL_KEPT_FOR))
    old = "series IN (SELECT value FROM json_each(?1)) AND at >= ?2 AND issued_at >= ?3 AND issued_at < ?4"
    await connection.execute(
        f"DELETE FROM sample WHERE {old} AND (at > strftime('%Y-%m-%dT%H:%M:%fZ', issued_at, '{_OLD_ONES_REACH}')"
        f" OR issued_at NOT IN (SELECT min(issued_at) FROM sample WHERE {old}"
        " GROUP BY substr(issued_at, 1, 10), substr(issued_at, 12, 2) < '12'))",
        (asked, *span),
    )


async def _keep_state(connection: aiosqlite.Connection, pond: str, state: WeatherState) -> None:
    await connection.execute(
        "INSERT INTO meta (key, value) VALUES (?, ?) ON CONFLICT DO UPDATE SET value = excluded.value",
        (_key(pond), msgspec.json.encode(state).decode()),
    )


def _key(pond: str) -> str:
    return f"weather/{pond}"
