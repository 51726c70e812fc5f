"""The water's warmth by day, from what was read and what a probe sent."""

from collections.abc import AsyncIterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from kept_log import WRITTEN_AT, write_entry

from evenwater.storage.database import Database
from evenwater.storage.samples import Sample, keep_samples
from evenwater.storage.water_days import water_days

LONG_AGO = datetime(2020, 1, 1, tzinfo=UTC)


@pytest.fixture
async def log(tmp_path: Path) -> AsyncIterator[Database]:
    database = await Database.open(tmp_path / "log.sqlite")
    yield database
    await database.close()


async def read(log: Database, number: int, value: float, days_ago: int, **more: object) -> str:
    at = WRITTEN_AT - timedelta(days=days_ago)
    return await write_entry(log, number, "reading", placed_at=at, quantity="temperature_c", value=value, **more)


async def test_a_day_is_the_mean_of_its_readings_and_a_probe_knows_better(log: Database) -> None:
    await read(log, 1, 14.0, 400)
    await read(log, 2, 16.0, 400)
    await read(log, 3, 10.0, 300)
    await read(log, 4, 9.0, 300, pond="other")
    probe_at = WRITTEN_AT - timedelta(days=300)
    await keep_samples(log, [Sample("main/water_c", probe_at + timedelta(hours=n), 11.0 + n) for n in (0, 1)])
    found = await water_days(log, "main", LONG_AGO)
    first, second = ((WRITTEN_AT - timedelta(days=days)).date() for days in (400, 300))
    assert found == {first: 15.0, second: 11.5}


async def test_what_was_taken_back_or_is_older_than_asked_is_left_out(log: Database) -> None:
    gone = await read(log, 1, 14.0, 40)
    await read(log, 2, 16.0, 400)
    await write_entry(log, 3, "take_back", entry=gone)
    assert await water_days(log, "main", WRITTEN_AT - timedelta(days=100)) == {}
    assert list(await water_days(log, "main", LONG_AGO)) == [date(2025, 9, 29)]
