"""What probes and weather services send: series of numbers, apart from people's facts.

- One value for a series at a moment; for a forecast, one for each time it was issued. The same again is nothing new;
  another value there is refused.
- Raw values are kept 90 days, then the mean of each hour for ever (`thin`). Forecasts are not thinned: the question
  asked of them later is how right each was.
"""

from collections.abc import Sequence
from datetime import datetime

import msgspec

from evenwater.storage.database import Database, in_text


class Sample(msgspec.Struct, frozen=True):
    """A value of a series ("air_c", "water_c/main") at a moment; `issued_at` when it is a forecast, else None."""

    series: str
    at: datetime
    value: float
    issued_at: datetime | None = None


class OtherValue(Exception):
    """A sample contradicts one that is kept; nothing of its batch was kept."""

    def __init__(self, sample: Sample) -> None:
        super().__init__(f"{sample.series} at {in_text(sample.at)} has another value already")
        self.sample = sample


async def keep_samples(database: Database, samples: Sequence[Sample]) -> int:
    """Keep a batch, whole or not at all; how many were new.

    Raises:
        OtherValue: one of them stands there with another value.
        StorageUnavailable: nothing was kept.
    """
    new = 0
    async with database.transaction() as connection:
        for sample in samples:
            key = (sample.series, in_text(sample.at), _issued(sample.issued_at))
            cursor = await connection.execute(
                "INSERT INTO sample (series, at, issued_at, value) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
                (*key, sample.value),
            )
            new += cursor.rowcount
            if cursor.rowcount == 0:
                rows = await connection.execute_fetchall(
                    "SELECT value FROM sample WHERE series = ? AND at = ? AND issued_at = ?", key
                )
                if next(iter(rows))[0] != sample.value:
                    raise OtherValue(sample)
    return new


async def measured_between(database: Database, series: str, since: datetime, until: datetime) -> list[Sample]:
    """What was measured from `since` up to before `until`, oldest first; forecasts are left out."""
    rows = await database.reader.execute_fetchall(
        "SELECT at, value FROM sample WHERE series = ? AND issued_at = '' AND at >= ? AND at < ? ORDER BY at",
        (series, in_text(since), in_text(until)),
    )
    return [Sample(series, datetime.fromisoformat(at), value) for at, value in rows]


async def hourly_means(database: Database, series: str, since: datetime, until: datetime) -> list[Sample]:
    """The mean of each hour in which something was measured, at the hour's beginning, oldest first."""
    rows = await database.reader.execute_fetchall(
        "SELECT substr(at, 1, 13) || ':00:00.000Z', avg(value) FROM sample"
        " WHERE series = ? AND issued_at = '' AND at >= ? AND at < ? GROUP BY 1 ORDER BY 1",
        (series, in_text(since), in_text(until)),
    )
    return [Sample(series, datetime.fromisoformat(at), value) for at, value in rows]


async def thin(database: Database, before: datetime) -> int:
    """Put the mean of each whole hour in place of what was measured before a moment; how many rows that saved.

    Doing it again changes nothing.
    """
    hour = before.replace(minute=0, second=0, microsecond=0)
    old = ("issued_at = '' AND at < ?", (in_text(hour),))
    async with database.transaction() as connection:
        count = await connection.execute_fetchall(f"SELECT count(*) FROM sample WHERE {old[0]}", old[1])
        means = await connection.execute_fetchall(
            f"SELECT series, substr(at, 1, 13) || ':00:00.000Z', avg(value) FROM sample WHERE {old[0]} GROUP BY 1, 2",
            old[1],
        )
        await connection.execute(f"DELETE FROM sample WHERE {old[0]}", old[1])
        await connection.executemany("INSERT INTO sample (series, at, value) VALUES (?, ?, ?)", means)
    return int(next(iter(count))[0]) - len(list(means))


def _issued(issued_at: datetime | None) -> str:
    return in_text(issued_at) if issued_at else ""
