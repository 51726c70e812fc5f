"""On which dates standing jobs were done, out of the whole log."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import msgspec

from evenwater.domain.placing import place
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.storage.done_dates import TICKS, done_dates
from evenwater.storage.entry_log import Arrival, append

NOON = datetime(2025, 4, 10, 12, tzinfo=UTC)
LONG_AGO = datetime(2020, 1, 1, tzinfo=UTC)


class Diary:
    """Entries put into a log at their own time."""

    def __init__(self, database) -> None:
        self._database, self._count = database, 0

    async def write(self, kind: str, at: datetime, pond: str = "main", **fields: object) -> str:
        self._count += 1
        stamp, who = at.isoformat(), {"device": str(UUID(int=1)), "author": str(UUID(int=2))}
        own = {"id": str(UUID(int=self._count)), "v": 1, "pond": pond, "kind": kind, "zone": "UTC"}
        when = {"happened_at": stamp, "recorded_at": stamp, "local_date": at.date().isoformat()}
        content = msgspec.json.encode(own | when | who | fields)
        entry = read_entry(content)
        assert not isinstance(entry, Deferred)
        await append(self._database, [Arrival(entry, place(entry, at, 0.0), content)], [], at, 0.0)
        return entry.id

    async def tick(self, job: str, at: datetime, **more: str) -> str:
        due_on = at.date().isoformat()
        return await self.write("tick", at, standing_job=job, due_on=due_on, slot="day", **more)


async def test_dates_come_by_job_ascending_once_each_and_of_the_jobs_asked_for_only(database):
    diary = Diary(database)
    for job, days in (("net", 30), ("net", 0), ("net", 0), ("pump", 3), ("other", 4)):
        await diary.tick(job, NOON + timedelta(days=days))
    await diary.tick("net", NOON, pond="quarantine")
    assert await done_dates(database, "main", ["net", "pump", "lamp"], LONG_AGO, NOON + timedelta(days=99)) == {
        "net": (date(2025, 4, 10), date(2025, 5, 10)),
        "pump": (date(2025, 4, 13),),
    }


async def test_only_ticks_between_the_two_moments_count(database):
    diary = Diary(database)
    for days in (0, 10, 20):
        await diary.tick("net", NOON + timedelta(days=days))
    between = await done_dates(database, "main", ["net"], NOON + timedelta(days=1), NOON + timedelta(days=20))
    assert between == {"net": (date(2025, 4, 20),)}


async def test_a_tick_taken_back_is_left_out_and_one_whose_take_back_was_taken_back_stands(database):
    diary = Diary(database)
    gone, back = await diary.tick("net", NOON), await diary.tick("net", NOON + timedelta(days=1))
    await diary.write("take_back", NOON, entry=gone)
    slip = await diary.write("take_back", NOON, entry=back)
    await diary.write("take_back", NOON, entry=slip)
    found = await done_dates(database, "main", ["net"], LONG_AGO, NOON + timedelta(days=99))
    assert found == {"net": (date(2025, 4, 11),)}


async def test_the_index_of_ticks_is_used(database):
    plan = await database.reader.execute_fetchall(f"EXPLAIN QUERY PLAN {TICKS}", ('["net"]', "main", "2025", "2026"))
    assert any("entry_last_ticks" in row[3] and "placed_at>" in row[3] for row in plan)
