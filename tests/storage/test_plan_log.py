"""What a plan reads of the log, anew and as more comes."""

from collections.abc import AsyncIterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import msgspec
import pytest

from evenwater.domain.placing import place
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.storage.database import Database
from evenwater.storage.entry_log import Arrival, append
from evenwater.storage.plan_log import _LASTING, last_seq, read_for_plan, read_on, ticks_of

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
HORIZON = NOW - timedelta(days=90)
OLD = NOW - timedelta(days=200)


@pytest.fixture
async def log(tmp_path: Path) -> AsyncIterator[Database]:
    database = await Database.open(tmp_path / "log.sqlite")
    yield database
    await database.close()


def arrival(number: int, kind: str = "note", at: datetime = NOW, **fields: object) -> Arrival:
    stamp = {"happened_at": at.isoformat(), "recorded_at": at.isoformat(), "local_date": str(at.date())}
    who = {"pond": "main", "zone": "UTC", "device": str(UUID(int=1)), "author": str(UUID(int=2))}
    words = {"text": "fog"} if kind == "note" else {}
    content = msgspec.json.encode(
        {"id": str(UUID(int=number << 70)), "v": 1, "kind": kind, **stamp, **who, **words, **fields}
    )
    entry = read_entry(content)
    assert not isinstance(entry, Deferred)
    return Arrival(entry, place(entry, NOW, 0.0), content)


def tick(number: int, days_ago: int, job: str) -> Arrival:
    at = NOW - timedelta(days=days_ago)
    return arrival(number, "tick", at, standing_job=job, due_on=str(at.date()), slot="midday")


def setting(number: int, target: str, field: str, value: object, at: datetime = OLD) -> Arrival:
    return arrival(number, "set", at, target=target, field=field, value=value)


async def seqs(log: Database, after: int | None = None) -> list[int]:
    read = await read_for_plan(log, HORIZON) if after is None else await read_on(log, after, HORIZON)
    assert read is not None
    return [one.seq for one in read]


async def test_settings_what_lasts_and_the_last_ticks_are_read_however_old(log: Database) -> None:
    ticks = [tick(number, 100 + number, "agitate") for number in range(1, 6)]
    others = [
        setting(6, "job/agitate", "text", "Agitate"),
        arrival(7, at=OLD),
        arrival(8, "take_back", OLD, entry=ticks[4].entry.id),
        setting(9, "pond", "capful_g", 27),
        arrival(10),
        arrival(11, "change", OLD, text="Opened the bypass", jobs=["agitate"]),
        arrival(12, "service", OLD, service="pump_serviced"),
        arrival(13, "meter", OLD, kit="pump", hours=4000),
        arrival(14, "fish_move", OLD, to_pond="main", count=2),
        arrival(15, "fish_measure", OLD, fish="ginrin", length_cm=56, length_is="total"),
        arrival(16, "fish_seen", OLD, signs=["flashing"]),
        tick(17, 300, "no-longer-a-job"),
    ]
    await append(log, ticks + others, [], NOW, 0.0)
    assert await seqs(log) == [1, 2, 3, 6, 8, 9, 10, 11, 12, 13, 14, 15, 16]


async def test_reading_on_gives_what_reading_anew_would_add(log: Database) -> None:
    first = [setting(1, "job/agitate", "text", "Agitate"), tick(2, 5, "agitate"), arrival(3, at=OLD)]
    await append(log, first, [], NOW, 0.0)
    before = await seqs(log)
    more = [arrival(4), arrival(5, at=OLD), tick(6, 1, "agitate"), setting(7, "pond", "capful_g", 27)]
    await append(log, more, [], NOW, 0.0)
    assert before + await seqs(log, max(before)) == await seqs(log) == [1, 2, 4, 6, 7]
    assert await seqs(log, 7) == []


async def test_the_last_number_counts_what_no_plan_reads(log: Database) -> None:
    assert await last_seq(log) == 0
    await append(log, [arrival(1), arrival(2, at=OLD)], [], NOW, 0.0)
    assert await seqs(log) == [1]
    assert await last_seq(log) == 2


async def test_an_old_tick_that_comes_late_has_all_read_anew(log: Database) -> None:
    await append(log, [setting(1, "job/agitate", "text", "Agitate"), tick(2, 120, "agitate")], [], NOW, 0.0)
    await append(log, [tick(3, 110, "agitate")], [], NOW, 0.0)
    assert await read_on(log, 2, HORIZON) is None
    assert await seqs(log) == [1, 2, 3]


async def test_a_history_is_every_tick_before_a_moment_of_the_jobs_asked_for(log: Database) -> None:
    ticks = [tick(number, 700 - 9 * number, "agitate") for number in range(1, 60)]
    await append(log, [*ticks, tick(60, 400, "cover"), tick(61, 2, "agitate")], [], NOW, 0.0)
    read = await ticks_of(log, [("main", "agitate"), ("main", "none"), ("other", "agitate")], HORIZON)
    assert [one.seq for one in read] == list(range(1, 60))


async def test_what_lasts_is_found_by_its_index(log: Database) -> None:
    for kind in ("fish_move", "fish_measure", "fish_seen"):
        rows = await log.reader.execute_fetchall("SELECT sql FROM sqlite_master WHERE name = 'entry_lasting'")
        assert all(f"'{kind}'" in sql for (sql,) in rows)
    plan = await log.reader.execute_fetchall(f"EXPLAIN QUERY PLAN SELECT seq FROM entry WHERE {_LASTING}")
    assert any("entry_lasting" in step[-1] for step in plan)
