"""Imports in the log: named first, counted at the end, and what of them travels and is planned with."""

from collections.abc import AsyncIterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import msgspec
import pytest

from evenwater.domain.placing import Placed
from evenwater.domain.read_entries import read_entry
from evenwater.storage.database import Database
from evenwater.storage.entry_log import Arrival, page_since
from evenwater.storage.imports import (
    KeptImport,
    begin_import,
    entries_of,
    finish_import,
    import_named,
    imports,
    keep_chunk,
    known_ids,
    mark_taken_back,
)
from evenwater.storage.plan_log import read_for_plan

NOW = datetime(2026, 11, 24, 16, 45, tzinfo=UTC)
HORIZON = NOW - timedelta(days=90)
IMPORT = str(UUID(int=7))
NAMED = KeptImport(IMPORT, "main", str(UUID(int=2)), "pond.csv", NOW, 0, 3, None, None, None)


@pytest.fixture
async def log(tmp_path: Path) -> AsyncIterator[Database]:
    database = await Database.open(tmp_path / "log.sqlite")
    yield database
    await database.close()


def reading(number: int, minutes_ago: int, value: float = 5.0) -> Arrival:
    at = NOW - timedelta(minutes=minutes_ago)
    envelope = {"id": str(UUID(int=1000 + number)), "v": 1, "pond": "main", "kind": "reading", "zone": "UTC"}
    when = {"happened_at": at.isoformat(), "recorded_at": NOW.isoformat(), "local_date": at.date().isoformat()}
    said = {"device": IMPORT, "author": NAMED.author, "quantity": "kh_dkh", "value": value, "point": "pond"}
    content = msgspec.json.encode(envelope | when | said)
    entry = read_entry(content)
    return Arrival(entry, Placed(at, at.date(), False), content)  # type: ignore[arg-type]


async def bring(log: Database, count: int, travel_from: datetime) -> None:
    """A reading every ten minutes, back from now."""
    await begin_import(log, NAMED, travel_from)
    assert await keep_chunk(log, [reading(n, 10 * n) for n in range(count)], NOW) == count
    await finish_import(log, IMPORT)


async def test_an_import_is_counted_from_what_is_in_the_log(log: Database) -> None:
    await bring(log, 200, HORIZON)
    (one,) = await imports(log)
    assert (one.file_name, one.count, one.bad_count, one.taken_back_at) == ("pond.csv", 200, 3, None)
    assert (str(one.first_on), str(one.last_on)) == ("2026-11-23", "2026-11-24")
    assert await imports(log, "another") == []


async def test_an_import_kept_again_goes_on_and_counts_nothing_twice(log: Database) -> None:
    await bring(log, 20, HORIZON)
    await begin_import(log, NAMED, HORIZON)
    assert await keep_chunk(log, [reading(n, 10 * n) for n in range(30)], NOW) == 10
    await finish_import(log, IMPORT)
    one = await import_named(log, IMPORT)
    assert one is not None and one.count == 30
    assert len(await entries_of(log, IMPORT, 0, 100)) == 30


async def test_one_that_goes_on_is_not_finished_until_it_is_counted_anew(log: Database) -> None:
    await bring(log, 20, HORIZON)
    await begin_import(log, NAMED, HORIZON)
    one = await import_named(log, IMPORT)
    assert one is not None and (one.count, one.first_on) == (20, None)
    await finish_import(log, IMPORT)
    one = await import_named(log, IMPORT)
    assert one is not None and one.first_on is not None


async def test_an_import_that_brought_nothing_is_none(log: Database) -> None:
    await begin_import(log, NAMED, HORIZON)
    await finish_import(log, IMPORT)
    assert await imports(log) == []


async def test_what_stays_at_home_is_behind_the_cursor(log: Database) -> None:
    await bring(log, 100, NOW - timedelta(minutes=95))
    page, cursor, more = await page_since(log, 0, HORIZON, 500)
    assert (len(page), cursor, more) == (10, 100, False)
    assert await page_since(log, cursor, HORIZON, 500) == ([], 100, False)


async def test_a_plan_gets_all_that_travels_and_of_the_rest_the_last_of_three_hours(log: Database) -> None:
    await bring(log, 200, NOW - timedelta(minutes=95))
    read = sorted(one.placed_at for one in await read_for_plan(log, HORIZON))
    newest, rest = read[-10:], read[:-10]
    assert newest[0] == NOW - timedelta(minutes=90)
    blocks = [(at.date(), at.hour // 3) for at in rest]
    assert len(blocks) == len(set(blocks)) == 12
    assert {at.strftime("%H:%M") for at in rest[:-1]} <= {f"{3 * block + 2:02}:55" for block in range(8)}


async def test_nothing_of_an_import_taken_back_is_planned_with(log: Database) -> None:
    await bring(log, 20, HORIZON)
    assert len(await read_for_plan(log, HORIZON)) == 20
    ids = [entry for _, entry, _, _ in await entries_of(log, IMPORT, 0, 100)]
    assert await known_ids(log, [*ids[:2], "none"]) == {ids[0]: False, ids[1]: False}
    await mark_taken_back(log, IMPORT, NOW)
    assert await read_for_plan(log, HORIZON) == []
    assert await known_ids(log, ids[:1]) == {ids[0]: True}
