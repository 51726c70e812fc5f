"""The log: appended once, numbered without a gap, read in pages, read again after an upgrade."""

from collections.abc import AsyncIterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import msgspec
import pytest

from evenwater.domain import read_entries
from evenwater.domain.placing import place
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.storage.database import Database
from evenwater.storage.entry_log import Arrival, Postponed, append, page_since, replay_deferred
from evenwater.storage.errors import StorageUnavailable

NOW = datetime(2026, 11, 3, 16, 30, 0, 120_000, tzinfo=UTC)
LONG_AGO = datetime(1970, 1, 1, tzinfo=UTC)
AUTHOR, DEVICE = str(UUID(int=2)), str(UUID(int=3))


@pytest.fixture
async def log(tmp_path: Path) -> AsyncIterator[Database]:
    database = await Database.open(tmp_path / "evenwater.sqlite")
    try:
        yield database
    finally:
        await database.close()


def written(number: int, kind: str = "note", at: datetime = NOW, **fields: object) -> bytes:
    """An entry as a device writes it."""
    moment = at.isoformat(timespec="milliseconds")
    envelope = {"id": str(UUID(int=number << 70)), "v": 1, "pond": "main", "kind": kind, "zone": "UTC"}
    when = {"happened_at": moment, "recorded_at": moment, "local_date": str(at.date())}
    own = {"text": f"note {number}"} if kind == "note" else {}
    return msgspec.json.encode({**envelope, **when, "device": DEVICE, "author": AUTHOR, **own, **fields})


def arrival(number: int, kind: str = "note", at: datetime = NOW, **fields: object) -> Arrival:
    content = written(number, kind, at, **fields)
    entry = read_entry(content)
    assert not isinstance(entry, Deferred)
    return Arrival(entry, place(entry, NOW, 0.0), content)


def postponed(number: int, kind: str = "note", author: str = AUTHOR, **fields: object) -> Postponed:
    """An entry of version 2, sent by `author`."""
    content = written(number, kind, **{"v": 2, **fields})
    head = read_entry(content)
    assert isinstance(head, Deferred)
    return Postponed(head, author, DEVICE, content)


async def ids_in(log: Database, table: str = "entry") -> list[int]:
    rows = await log.reader.execute_fetchall(f"SELECT id FROM {table} ORDER BY rowid")
    return [UUID(row[0]).int >> 70 for row in rows]


async def test_entries_are_numbered_in_the_order_they_came_byte_for_byte(log: Database) -> None:
    arrivals = [arrival(number) for number in (3, 1, 2)]
    kept = await append(log, arrivals, [], NOW, 0.0)
    assert [kept[one.entry.id].seq for one in arrivals] == [1, 2, 3]
    assert not any(one.was_here for one in kept.values())
    page, cursor, more = await page_since(log, 0, LONG_AGO, 10)
    assert [bytes(one.entry) for one in page] == [one.content for one in arrivals]
    assert (cursor, more) == (3, False)


async def test_what_is_answered_is_what_is_kept(log: Database) -> None:
    late = arrival(1, at=NOW - timedelta(hours=3))
    first = (await append(log, [late], [], NOW, -4.25))[late.entry.id]
    again = (await append(log, [late], [], NOW + timedelta(days=1), 0.0))[late.entry.id]
    assert again.was_here
    assert (again.seq, again.received_at, again.placed, again.skew_s) == (1, NOW, late.placed, -4.25)
    assert (first.seq, first.received_at, first.placed, first.skew_s) == (1, NOW, late.placed, -4.25)
    (page, _, _) = await page_since(log, 0, LONG_AGO, 10)
    assert (page[0].received_at, page[0].placed_at, page[0].placed_on) == (NOW, late.placed.at, late.placed.on)


async def test_an_entry_sent_again_is_kept_once_and_known_by_its_content(log: Database) -> None:
    one = arrival(1)
    await append(log, [one], [], NOW, 0.0)
    kept = (await append(log, [one, arrival(2), one], [], NOW, 0.0))[one.entry.id]
    assert kept.was_here
    assert kept.same_content(one.content)
    other_spacing = msgspec.json.encode(dict(reversed(msgspec.json.decode(one.content).items())))
    assert kept.same_content(b" " + other_spacing)
    assert not kept.same_content(written(1, text="something else"))
    assert await ids_in(log) == [1, 2]


async def test_a_batch_that_fails_keeps_nothing_and_takes_no_number(log: Database) -> None:
    (pages,) = next(iter(await log.writer.execute_fetchall("PRAGMA page_count")))
    await log.writer.execute(f"PRAGMA max_page_count={pages}")
    large = [arrival(number, text="x" * 2000) for number in range(1, 60)]
    with pytest.raises(StorageUnavailable):
        await append(log, large, [postponed(100)], NOW, 0.0)
    assert await ids_in(log) == []
    assert await ids_in(log, "deferred_entry") == []
    await log.writer.execute(f"PRAGMA max_page_count={pages + 500}")
    kept = await append(log, large, [], NOW, 0.0)
    assert sorted(one.seq for one in kept.values()) == list(range(1, 60))


async def test_pages_follow_each_other_without_gap_or_repetition(log: Database) -> None:
    for start in range(1, 24, 4):
        await append(log, [arrival(number) for number in range(start, start + 4)], [], NOW, 0.0)
    cursor, more, got = 0, True, []
    while more:
        page, cursor, more = await page_since(log, cursor, LONG_AGO, 5)
        got += [one.seq for one in page]
    assert got == list(range(1, 25))
    assert await page_since(log, cursor, LONG_AGO, 5) == ([], 24, False)


async def test_facts_before_the_horizon_are_passed_over_and_settings_are_not(log: Database) -> None:
    old = NOW - timedelta(days=100)
    setting = {"target": "pond", "field": "volume_l", "value": 20_000}
    await append(log, [arrival(1, at=old), arrival(2, "set", old, **setting), arrival(3)], [], NOW, 0.0)
    page, cursor, _ = await page_since(log, 0, NOW - timedelta(days=90), 10)
    assert ([one.seq for one in page], cursor) == ([2, 3], 3)


async def test_an_old_setting_that_was_taken_back_arrives_with_its_take_back(log: Database) -> None:
    old = NOW - timedelta(days=100)
    setting = {"target": "job/cover", "field": "minutes", "value": 5}
    taken = [arrival(number + 2, "take_back", old, entry=str(UUID(int=number << 70))) for number in (1, 2)]
    await append(log, [arrival(1, "set", old, **setting), arrival(2, at=old), *taken], [], NOW, 0.0)
    page, _, _ = await page_since(log, 0, NOW - timedelta(days=90), 10)
    assert [one.seq for one in page] == [1, 3], "a note that was taken back stays at home, so does what took it back"


async def test_a_deferred_entry_is_kept_once_and_not_in_the_log(log: Database) -> None:
    for _ in range(2):
        assert await append(log, [], [postponed(1)], NOW, 0.0) == {}
    assert await ids_in(log) == []
    assert await ids_in(log, "deferred_entry") == [1]


async def test_after_the_upgrade_deferred_entries_stand_where_they_first_arrived(
    log: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    await append(log, [], [postponed(1), postponed(2)], NOW, -7200.0)
    await append(log, [arrival(9)], [], NOW, 0.0)
    assert await replay_deferred(log) == 0
    monkeypatch.setattr(read_entries, "VERSION", 2)
    assert await replay_deferred(log) == 2
    assert await ids_in(log) == [9, 1, 2]
    assert await ids_in(log, "deferred_entry") == []
    page, _, _ = await page_since(log, 1, LONG_AGO, 10)
    assert [(one.received_at, one.skew_s) for one in page] == [(NOW, -7200.0)] * 2
    assert {one.placed_at for one in page} == {NOW - timedelta(hours=2)}
    assert await replay_deferred(log) == 0


async def test_a_replay_cut_off_between_its_two_writes_keeps_the_entry_once(
    log: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    await append(log, [], [postponed(1)], NOW, 0.0)
    monkeypatch.setattr(read_entries, "VERSION", 2)
    await append(log, [arrival(1, v=2)], [], NOW, 0.0)
    assert await replay_deferred(log) == 1
    assert await ids_in(log) == [1]
    assert await ids_in(log, "deferred_entry") == []


@pytest.mark.parametrize(
    "wrong",
    [
        pytest.param({"kind": "reading", "quantity": "kh_dkh", "value": 400}, id="a value that cannot be"),
        pytest.param(
            {"kind": "set", "target": "pond", "field": "volume_l", "value": "much"}, id="a setting of a wrong type"
        ),
        pytest.param({"kind": "set", "target": "pond", "field": "colour", "value": 1}, id="a setting nobody knows"),
        pytest.param({"author": str(UUID(int=99))}, id="somebody else's"),
        pytest.param({"device": str(UUID(int=99))}, id="another device's"),
        pytest.param({"more": 1}, id="a field nobody knows"),
        pytest.param({"v": 3}, id="newer still"),
    ],
)
async def test_a_deferred_entry_that_turns_out_wrong_stays_deferred_and_holds_up_no_other(
    log: Database, monkeypatch: pytest.MonkeyPatch, wrong: dict[str, object]
) -> None:
    content = written(1, **{"kind": "note", "v": 2, **wrong})
    if wrong.get("kind"):
        content = msgspec.json.encode({k: v for k, v in msgspec.json.decode(content).items() if k != "text"})
    head = read_entry(content)
    assert isinstance(head, Deferred)
    await append(log, [], [Postponed(head, AUTHOR, DEVICE, content), postponed(2)], NOW, 0.0)
    monkeypatch.setattr(read_entries, "VERSION", 2)
    assert await replay_deferred(log) == 1
    assert await ids_in(log) == [2]
    assert await ids_in(log, "deferred_entry") == [1]


async def test_a_deferred_entry_whose_id_is_in_the_log_with_other_content_stays_deferred(
    log: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    await append(log, [arrival(1, text="another")], [postponed(1)], NOW, 0.0)
    monkeypatch.setattr(read_entries, "VERSION", 2)
    assert await replay_deferred(log) == 0
    assert await ids_in(log, "deferred_entry") == [1]
