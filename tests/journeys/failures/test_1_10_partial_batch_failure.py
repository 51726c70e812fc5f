"""Row 1.10: part of a batch fails.

Where the failure lives: the server, so these call the real application over a real file. What a phone does with
a mixed answer is row 1.11; that a killed server loses nothing is held by the simulations.
"""

from datetime import UTC, datetime

import pytest

from evenwater.storage.database import Database

NOON = datetime(2026, 11, 3, 12, 0, tzinfo=UTC)
SENT = 7


def readings(sender, *, wrong_at: int | None = None) -> list[dict[str, object]]:
    """A batch in which the entry at `wrong_at` says what cannot be."""
    return [
        sender.entry("reading", NOON, quantity="kh_dkh", value=400.0 if n == wrong_at else n / 2) for n in range(SENT)
    ]


async def kept_ids(database: Database) -> list[str]:
    rows = await database.reader.execute_fetchall("SELECT id FROM entry ORDER BY seq")
    return [str(row[0]) for row in rows]


@pytest.mark.parametrize("wrong_at", range(SENT))
async def test_one_wrong_entry_leaves_all_the_others_kept_wherever_it_stands(sender, database, wrong_at):
    batch = readings(sender, wrong_at=wrong_at)
    told = await sender.sync(*batch)
    assert [one["id"] for one in told["verdicts"]] == [entry["id"] for entry in batch]
    assert [one["verdict"] for one in told["verdicts"]] == [
        "refused" if n == wrong_at else "accepted" for n in range(SENT)
    ]
    assert await kept_ids(database) == [entry["id"] for n, entry in enumerate(batch) if n != wrong_at]


async def test_the_same_batch_again_changes_nothing(sender, database):
    batch = readings(sender, wrong_at=3)
    first = await sender.sync(*batch)
    again = await sender.sync(*batch)
    assert [one["verdict"] for one in again["verdicts"]] == [
        "refused" if n == 3 else "already_here" for n in range(SENT)
    ]
    assert [one.get("seq") for one in again["verdicts"]] == [one.get("seq") for one in first["verdicts"]]
    assert len(await kept_ids(database)) == SENT - 1


async def test_a_disk_that_fills_in_the_middle_of_a_batch_keeps_none_of_it_and_all_of_it_later(sender, database):
    batch = [sender.entry("note", NOON, text=f"{n} " + "x" * 1900) for n in range(40)]
    before = await state_of(database)
    (pages,) = next(iter(await database.writer.execute_fetchall("PRAGMA page_count")))
    # Room for a part of the batch: SQLite then fails in the middle with SQLITE_FULL, as on a full disk.
    await database.writer.execute(f"PRAGMA max_page_count={pages + 8}")
    refused = await sender.client.post("/api/sync", json=asked(sender, batch))
    assert (refused.status_code, refused.json()["code"]) == (503, "storage")
    assert await state_of(database) == before
    await database.writer.execute("PRAGMA max_page_count=1073741823")
    told = await sender.sync(*batch)
    assert {one["verdict"] for one in told["verdicts"]} == {"accepted"}
    assert await kept_ids(database) == [entry["id"] for entry in batch]


async def test_a_file_locked_by_somebody_else_keeps_none_of_a_batch_and_all_of_it_later(sender, database):
    batch = readings(sender)
    await database.writer.execute("PRAGMA busy_timeout=50")
    other = await Database.open(database.path)
    try:
        async with other.transaction():
            refused = await sender.client.post("/api/sync", json=asked(sender, batch))
    finally:
        await other.close()
    assert (refused.status_code, refused.json()["code"]) == (503, "storage")
    assert await kept_ids(database) == []
    await sender.sync(*batch)
    assert await kept_ids(database) == [entry["id"] for entry in batch]


def asked(sender, entries: list[dict[str, object]]) -> dict[str, object]:
    """What a phone sends, for calls that are to be refused."""
    now = datetime(2026, 11, 3, 16, 30, tzinfo=UTC).isoformat()
    head = {"device": sender.device, "device_now": now, "app_version": "test", "epoch": sender.epoch}
    return {**head, "cursor": sender.cursor, "entries": entries, "want_plan": False}


async def state_of(database: Database) -> list[tuple[object, ...]]:
    """Everything the log holds."""
    rows = await database.reader.execute_fetchall("SELECT seq, id, content FROM entry ORDER BY seq")
    return [tuple(row) for row in rows]
