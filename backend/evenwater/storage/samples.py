"""What probes and weather services send: series of numbers, apart from people's facts.

- One value for a series at a moment; for a forecast, one for each time it was issued. The same again is nothing new;
  another value there is refused, and holds up no other of its batch.
- Raw values are kept 90 days, then one for each hour for ever (`thin`): what that one is, by series, is said in
  `domain/warmth/series.py`. An hour that was thinned takes nothing more.
- Series are stored as "{pond}/{series}"; what is read for a pond comes by the bare series.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Literal

import aiosqlite
import msgspec

from evenwater.domain.warmth.series import OVER_HOUR, SERVICE, WEATHER, series_name
from evenwater.storage.database import Database, in_text

RAW_FOR = timedelta(days=90)
_FORECAST_REACHES = timedelta(days=5)
_AT_ONCE = 2000

ByHour = dict[str, list[tuple[datetime, float]]]


class Sample(msgspec.Struct, frozen=True):
    """A value of a stored series ("main/air_c") at a moment; `issued_at` when it is a forecast, else None."""

    series: str
    at: datetime
    value: float
    issued_at: datetime | None = None

    @property
    def key(self) -> tuple[str, str, str]:
        """What it stands by."""
        return self.series, in_text(self.at), in_text(self.issued_at) if self.issued_at else ""


class Fate(msgspec.Struct, frozen=True):
    """What became of a sample; `kept` is the other value that stands there, when it was refused."""

    verdict: Literal["accepted", "already", "refused"]
    kept: float | None = None


_ACCEPTED, _ALREADY = Fate("accepted"), Fate("already")


async def keep_samples(database: Database, samples: Sequence[Sample]) -> list[Fate]:
    """Keep what is new, in one transaction; the fate of each, in order.

    Raises:
        StorageUnavailable: nothing was kept.
    """
    fates: list[Fate] = []
    async with database.transaction() as connection:
        for start in range(0, len(samples), _AT_ONCE):
            fates += await _keep(connection, samples[start : start + _AT_ONCE])
    return fates


async def _keep(connection: aiosqlite.Connection, samples: Sequence[Sample]) -> list[Fate]:
    keys = [one.key for one in samples]
    kept, closed = await _standing(connection, keys)
    new: dict[tuple[str, str, str], float] = {}
    fates: list[Fate] = []
    for key, sample in zip(keys, samples, strict=True):
        stands = kept.get(key, new.get(key))
        if (key[0], key[1][:13]) in closed and not key[2]:
            fates.append(_ALREADY)
        elif stands is None:
            new[key] = sample.value
            fates.append(_ACCEPTED)
        else:
            fates.append(_ALREADY if stands == sample.value else Fate("refused", stands))
    await connection.executemany(
        "INSERT INTO sample (series, at, issued_at, value) VALUES (?, ?, ?, ?)",
        [(*key, value) for key, value in new.items()],
    )
    return fates


async def _standing(
    connection: aiosqlite.Connection, keys: Sequence[tuple[str, str, str]]
) -> tuple[dict[tuple[str, str, str], float], set[tuple[str, str]]]:
    """What stands at these keys, and the (series, hour) among them that were thinned."""
    rows = await connection.execute_fetchall(
        "SELECT DISTINCT sample.series, sample.at, sample.issued_at, sample.value, sample.thinned"
        " FROM json_each(?) AS asked CROSS JOIN sample ON sample.series = json_extract(asked.value, '$[0]')"
        " AND sample.at IN (json_extract(asked.value, '$[1]'), json_extract(asked.value, '$[3]'))"
        " AND sample.issued_at = json_extract(asked.value, '$[2]')",
        (msgspec.json.encode([(*key, f"{key[1][:13]}:00:00.000Z") for key in keys]).decode(),),
    )
    kept = {(series, at, issued_at): value for series, at, issued_at, value, _ in rows}
    return kept, {(series, at[:13]) for series, at, _, _, thinned in rows if thinned}


async def measured_between(database: Database, series: str, since: datetime, until: datetime) -> list[Sample]:
    """What was measured of a stored series from `since` up to before `until`, oldest first; no forecasts."""
    rows = await database.reader.execute_fetchall(
        "SELECT at, value FROM sample WHERE series = ? AND issued_at = '' AND at >= ? AND at < ? ORDER BY at",
        (series, in_text(since), in_text(until)),
    )
    return [Sample(series, datetime.fromisoformat(at), value) for at, value in rows]


# One value for each series and hour of the rows of `given`. SQLite takes a bare column from the row that max() found.
_FOR_HOURS = (
    "SELECT series, hour, CASE over_hour WHEN 'sum' THEN sum(value) WHEN 'greatest' THEN max(value) ELSE avg(value)"
    " END AS value FROM given WHERE over_hour <> 'last' GROUP BY series, hour"
    " UNION ALL SELECT series, hour, value FROM"
    " (SELECT series, hour, value, max(at) FROM given WHERE over_hour = 'last' GROUP BY series, hour)"
)


async def hourly_of_pond(database: Database, pond: str, since: datetime, until: datetime) -> ByHour:
    """What was measured of every series of a pond, by the hour, at the hour's beginning, oldest first.

    The mean of the hour, unless the series says otherwise: of the counter heater_kwh it is the LAST value of the hour,
    what it showed at the hour's end; rain and snow are summed, of gusts it is the greatest. Hours without any value,
    and series without any hour, are left out; so are forecasts. "service_air_c" is what the weather service says of
    hours that have been. Only values from `since` up to before `until` count.
    """
    asked = {series_name(pond, series): over_hour for series, over_hour in OVER_HOUR.items()}
    parameters = msgspec.json.encode(asked).decode(), in_text(since), in_text(until)
    of_pond = (
        "FROM json_each(?) AS asked CROSS JOIN sample ON sample.series = asked.key"
        " WHERE sample.issued_at = '' AND sample.at >= ? AND sample.at < ?"
    )
    # An hour that was thinned is one row already: most of a season is handed on as it stands.
    thinned = await database.reader.execute_fetchall(
        f"SELECT sample.series, sample.at, sample.value {of_pond} AND sample.thinned = 1", parameters
    )
    raw = await database.reader.execute_fetchall(
        "WITH given AS (SELECT sample.series, sample.at, sample.value, asked.value AS over_hour,"
        f" substr(sample.at, 1, 13) AS hour {of_pond} AND sample.thinned = 0) {_FOR_HOURS}",
        parameters,
    )
    found: ByHour = {}
    moments: dict[str, datetime] = {}
    for series, at, value in (*thinned, *((series, f"{hour}:00:00.000Z", value) for series, hour, value in raw)):
        moment = moments.get(at)
        if moment is None:
            moment = moments[at] = datetime.fromisoformat(at)
        found.setdefault(_bare(series), []).append((moment, value))
    for hours in found.values():
        hours.sort()
    return found


async def last_heard(database: Database, pond: str) -> dict[str, datetime]:
    """When each series of a pond was last measured, by the time its sender gave; prices may lie ahead."""
    asked = [series_name(pond, series) for series in OVER_HOUR]
    rows = await database.reader.execute_fetchall(
        "SELECT asked.value, (SELECT at FROM sample WHERE series = asked.value AND issued_at = ''"
        " ORDER BY at DESC LIMIT 1) AS at FROM json_each(?) AS asked WHERE at IS NOT NULL",
        (msgspec.json.encode(asked).decode(),),
    )
    return {_bare(series): datetime.fromisoformat(at) for series, at in rows}


async def latest_forecast(database: Database, pond: str, now: datetime) -> tuple[datetime, ByHour] | None:
    """The last forecast of a pond's weather that still speaks of hours to come: (issued_at, what it says by series).

    By the bare names ("air_c"), all its hours, also those that have passed since; each at its hour's beginning.
    None when there is none. One without air temperatures is none.
    """
    air = series_name(pond, SERVICE + "air_c")
    rows = list(
        await database.reader.execute_fetchall(
            "SELECT max(issued_at) FROM sample WHERE series = ? AND at >= ? AND at < ? AND issued_at > ''"
            " AND issued_at <= ?",
            (air, in_text(now), in_text(now + _FORECAST_REACHES), in_text(now)),
        )
    )
    if rows[0][0] is None:
        return None
    issued_at = datetime.fromisoformat(rows[0][0])
    asked = [series_name(pond, SERVICE + series) for series in WEATHER]
    found: ByHour = {}
    for series, at, value in await database.reader.execute_fetchall(
        "SELECT sample.series, sample.at, sample.value FROM json_each(?) AS asked CROSS JOIN sample"
        " ON sample.series = asked.value WHERE sample.at >= ? AND sample.at < ? AND sample.issued_at = ? ORDER BY 1, 2",
        (
            msgspec.json.encode(asked).decode(),
            in_text(issued_at - timedelta(hours=1)),
            in_text(issued_at + _FORECAST_REACHES),
            in_text(issued_at),
        ),
    ):
        found.setdefault(_bare(series).removeprefix(SERVICE), []).append((datetime.fromisoformat(at), value))
    return issued_at, found


async def thin(database: Database, before: datetime) -> int:
    """Put one value for each whole hour in place of what was measured before a moment; how many rows that saved.

    Which value is said by the series, as in `hourly_of_pond`; of a counter it is the last. Doing it again changes
    nothing.
    """
    hour = in_text(before.replace(minute=0, second=0, microsecond=0))
    old = "thinned = 0 AND issued_at = '' AND at < ?"
    async with database.transaction() as connection:
        for_hours = await connection.execute_fetchall(
            "WITH given AS (SELECT sample.series, at, sample.value, substr(at, 1, 13) AS hour,"
            " ifnull(kind.value, 'mean') AS over_hour FROM sample LEFT JOIN json_each(?) AS kind"
            f" ON kind.key = substr(sample.series, instr(sample.series, '/') + 1) WHERE {old}) {_FOR_HOURS}",
            (msgspec.json.encode(OVER_HOUR).decode(), hour),
        )
        deleted = await connection.execute(f"DELETE FROM sample WHERE {old}", (hour,))
        rows = [(series, f"{of}:00:00.000Z", value) for series, of, value in for_hours]
        await connection.executemany("INSERT INTO sample (series, at, value, thinned) VALUES (?, ?, ?, 1)", rows)
    return deleted.rowcount - len(rows)


def _bare(stored: str) -> str:
    return stored.partition("/")[2]
