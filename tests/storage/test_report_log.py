"""What a report reads of the log: the pond's own, of its time, once, and nothing that was taken back."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

import msgspec
from kept_log import write_entry

from evenwater.domain.placing import Placed
from evenwater.domain.read_entries import read_entry
from evenwater.storage.entry_log import Arrival
from evenwater.storage.imports import KeptImport, begin_import, keep_chunk, mark_taken_back
from evenwater.storage.report_log import counter_days, facts_between, water_hours
from evenwater.storage.samples import Sample, keep_samples

NOON = datetime(2026, 5, 1, 12, tzinfo=UTC)
DAY = timedelta(days=1)


async def note(database, number, at, pond="main", text="x"):
    stamps = {"happened_at": at.isoformat(), "recorded_at": at.isoformat(), "local_date": at.date().isoformat()}
    return await write_entry(database, number, kind="note", pond=pond, placed_at=at, text=text, **stamps)


async def test_it_is_the_ponds_own_of_its_time_oldest_first(database):
    for number, (at, pond) in enumerate(
        ((NOON + DAY, "main"), (NOON, "main"), (NOON, "other"), (NOON - DAY, "main"), (NOON + 2 * DAY, "main")), 1
    ):
        await note(database, number, at, pond, text=f"{number}")
    found = await facts_between(database, "main", NOON, NOON + 2 * DAY)
    assert [one.entry.text for one in found] == ["2", "1"]
    assert (found[0].at, found[0].on, found[0].seq) == (NOON, NOON.date(), 2)


async def test_what_was_taken_back_is_left_out_and_so_are_settings(database):
    await note(database, 1, NOON)
    taken = await note(database, 2, NOON)
    await write_entry(database, 3, kind="take_back", entry=taken, placed_at=NOON + 9 * DAY)
    await write_entry(database, 4, target="pond", field="name", value="Pond", placed_at=NOON)
    found = await facts_between(database, "main", NOON - DAY, NOON + DAY)
    assert [one.entry.id for one in found] == [str(UUID(int=1))]


async def test_of_an_imported_record_the_last_of_each_hour_counts_until_it_is_taken_back(database):
    record = KeptImport(str(UUID(int=7)), "main", str(UUID(int=2)), "pond.csv", NOON, 0, 0, None, None, None)
    await begin_import(database, record, NOON)
    brought = [arrival(record, number, NOON + timedelta(minutes=10 * number)) for number in range(12)]
    await keep_chunk(database, brought, NOON)
    found = await facts_between(database, "main", NOON, NOON + DAY)
    assert [one.at for one in found] == [NOON + timedelta(minutes=minutes) for minutes in (50, 110)]
    await mark_taken_back(database, record.id, NOON + DAY)
    assert await facts_between(database, "main", NOON, NOON + DAY) == []


def arrival(record, number, at):
    envelope = {"id": str(UUID(int=1000 + number)), "v": 1, "pond": "main", "kind": "reading", "zone": "UTC"}
    when = {"happened_at": at.isoformat(), "recorded_at": at.isoformat(), "local_date": at.date().isoformat()}
    said = {"device": record.id, "author": record.author, "quantity": "kh_dkh", "value": 5.0, "point": "pond"}
    content = msgspec.json.encode(envelope | when | said)
    return Arrival(read_entry(content), Placed(at, at.date(), False), content)


async def test_a_counter_tells_its_last_of_each_day(database):
    sent = [Sample("main/heater_kwh", NOON + timedelta(hours=hours), 100.0 + hours) for hours in (0, 3, 20, 30)]
    sent += [Sample("other/heater_kwh", NOON, 9.0), Sample("main/water_c", NOON, 15.0)]
    await keep_samples(database, sent)
    found = await counter_days(database, "main", NOON - DAY, NOON + 3 * DAY)
    assert found == [(NOON + timedelta(hours=3), 103.0), (NOON + timedelta(hours=30), 130.0)]


async def test_a_probe_tells_the_mean_of_each_hour(database):
    sent = [Sample("main/water_c", NOON + timedelta(minutes=minutes), 14.0 + minutes / 60) for minutes in (0, 30, 60)]
    await keep_samples(database, sent)
    assert await water_hours(database, "main", NOON, NOON + DAY) == [
        (NOON, 14.25),
        (NOON + timedelta(hours=1), 15.0),
    ]
