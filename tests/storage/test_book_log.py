"""The log read from its end: in order, page by page, with what is taken back and what was brought in told apart."""

from collections.abc import AsyncIterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from uuid import UUID

import pytest
from kept_log import write_entry

from evenwater.storage.book_log import Place, Within, entries_named, page_back, taken_back_among
from evenwater.storage.database import Database
from evenwater.storage.imports import KeptImport, begin_import

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
DAY = timedelta(days=1)


@pytest.fixture
async def log(tmp_path: Path) -> AsyncIterator[Database]:
    database = await Database.open(tmp_path / "evenwater.sqlite")
    try:
        yield database
    finally:
        await database.close()


async def note(log: Database, number: int, at: datetime, **fields: object) -> str:
    """A note that happened at `at`."""
    when = {"happened_at": at.isoformat(), "local_date": at.date().isoformat()}
    kind = fields.get("kind", "note")
    own = {"kind": kind} | ({"text": f"note {number}"} if kind == "note" else {})
    return await write_entry(log, number, placed_at=at, **{**own, **when, **fields})  # type: ignore[arg-type]


async def numbers(log: Database, before: Place | None = None, limit: int = 100, **within: object) -> list[int]:
    rows = await page_back(log, Within(**within), before, limit)  # type: ignore[arg-type]
    return [row.seq for row in rows]


async def test_it_goes_back_by_when_things_happened_not_by_when_they_came(log: Database) -> None:
    for number, days in enumerate((1, 3, 2), 1):
        await note(log, number, NOW - days * DAY)
    assert await numbers(log) == [1, 3, 2]


async def test_pages_join_without_a_gap_or_a_repeat_also_at_one_moment(log: Database) -> None:
    for number in range(1, 8):
        await note(log, number, NOW - (number // 4) * DAY)
    found: list[int] = []
    before = None
    while page := await page_back(log, Within(), before, 2):
        found += [row.seq for row in page]
        before = Place(page[-1].placed_at, page[-1].seq)
    assert found == [3, 2, 1, 7, 6, 5, 4]


async def test_days_are_civil_days_and_both_ends_count(log: Database) -> None:
    late = datetime(2026, 11, 3, 23, 30, tzinfo=UTC)
    await note(log, 1, late, zone="Europe/Berlin", local_date="2026-11-04")
    for number, days in ((2, 1), (3, 2)):
        await note(log, number, NOW - days * DAY)
    assert await numbers(log, since=date(2026, 11, 2), until=date(2026, 11, 4)) == [1, 2]
    assert await numbers(log, until=date(2026, 11, 3)) == [2, 3]


async def test_kinds_pond_and_author_narrow_it(log: Database) -> None:
    await note(log, 1, NOW)
    await note(log, 2, NOW, kind="power", on=False)
    await note(log, 3, NOW, pond="other")
    await note(log, 4, NOW, author=str(UUID(int=9)))
    assert await numbers(log, kinds=["power"]) == [2]
    assert await numbers(log, kinds=[]) == []
    assert await numbers(log, pond="other") == [3]
    assert await numbers(log, author=str(UUID(int=9))) == [4]


async def test_values_of_files_that_stay_at_home_are_asked_for_by_themselves(log: Database) -> None:
    file = str(UUID(int=7))
    one = KeptImport(file, "main", str(UUID(int=2)), "old.csv", NOW, 2, 0, None, None, None)
    await begin_import(log, one, travels_from=NOW - DAY)
    for number, days in ((1, 2), (2, 0)):
        await note(log, number, NOW - days * DAY, device=file)
    await note(log, 3, NOW - 2 * DAY)
    await note(log, 4, NOW, device=file, kind="take_back", entry=str(UUID(int=1)))
    assert await numbers(log) == [2, 3]
    assert await numbers(log, of_files=True) == [4, 2, 1]


async def test_what_is_taken_back_is_told_and_a_withdrawn_take_back_counts_for_nothing(log: Database) -> None:
    kept, gone, back = [await note(log, number, NOW) for number in (1, 2, 3)]
    await note(log, 4, NOW, kind="take_back", entry=gone)
    first = await note(log, 5, NOW, kind="take_back", entry=back)
    await note(log, 6, NOW, kind="take_back", entry=first)
    assert await taken_back_among(log, [kept, gone, back]) == {gone}
    assert await taken_back_among(log, [first]) == {first}
    assert await taken_back_among(log, []) == frozenset()


async def test_entries_are_found_by_their_ids(log: Database) -> None:
    ids = [await note(log, number, NOW) for number in (1, 2, 3)]
    assert [row.seq for row in await entries_named(log, [ids[2], ids[0], "none"])] == [1, 3]


async def test_asking_what_takes_an_entry_back_looks_it_up(log: Database) -> None:
    plan = await log.reader.execute_fetchall(
        "EXPLAIN QUERY PLAN SELECT id FROM entry WHERE kind = 'take_back' AND json_extract(content, '$.entry') = 'a'"
    )
    assert "entry_taken_back" in str([tuple(row) for row in plan])
