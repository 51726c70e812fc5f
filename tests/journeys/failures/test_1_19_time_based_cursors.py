"""Row 1.19: a cursor made of time skips what was committed late.

Where the failure lives: the server, so these call the real application over a real file, with writers and readers
at the same time and small pages.
"""

import asyncio
from datetime import UTC, datetime, timedelta

import pytest
from conftest import Phone, page_of

from evenwater.web.exchange import sync

NOON = datetime(2026, 11, 3, 12, 0, tzinfo=UTC)
WRITERS, BATCHES, EACH = 4, 10, 5
PAGE = 7


@pytest.fixture
def small_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sync, "PAGE", PAGE)


@pytest.fixture
async def writers(app):
    """Several phones of one person, signed in."""
    callers = [page_of(app) for _ in range(WRITERS)]
    first = await Phone.begin(callers[0])
    phones = [first]
    for n, caller in enumerate(callers[1:], 1):
        device = f"0a4d2c1e-6f5b-4c3d-8e9f-00112233440{n}"
        told = {"name": "Marit", "passphrase": "four small words here", "device": device, "device_label": "test"}
        (await caller.post("/api/sign-in", json=told)).raise_for_status()
        phones.append(Phone(caller, first.person, device))
    yield phones
    for caller in callers:
        await caller.aclose()


async def write(phone: Phone, ahead: timedelta) -> list[str]:
    """Batches sent as fast as they are answered, by a phone whose clock is off."""
    sent = []
    for _ in range(BATCHES):
        batch = [phone.entry("note", NOON + ahead, text="written at the same time") for _ in range(EACH)]
        await phone.sync(*batch, now=NOON + ahead)
        sent += [str(entry["id"]) for entry in batch]
        await asyncio.sleep(0)
    return sent


async def follow(reader: Phone, done: asyncio.Event) -> list[dict[str, object]]:
    """Pages pulled until the writers have finished and there is no more."""
    got: list[dict[str, object]] = []
    while True:
        finished = done.is_set()
        told = await reader.sync()
        got += told["entries"]
        if finished and not told["more"]:
            return got


@pytest.mark.usefixtures("small_pages")
async def test_readers_who_page_while_others_write_miss_nothing_and_get_nothing_twice(writers):
    readers = [Phone(writers[0].client, writers[0].person, writers[0].device) for _ in range(3)]
    done = asyncio.Event()
    following = [asyncio.create_task(follow(reader, done)) for reader in readers]
    # Clocks hours apart: whatever a phone believes, the order is that of the log.
    written = await asyncio.gather(*(write(one, timedelta(hours=3 * n - 5)) for n, one in enumerate(writers)))
    done.set()
    for got in await asyncio.gather(*following):
        assert [one["seq"] for one in got] == list(range(1, WRITERS * BATCHES * EACH + 1))
        assert {one["entry"]["id"] for one in got} == {entry_id for ids in written for entry_id in ids}


@pytest.mark.usefixtures("small_pages")
async def test_an_entry_of_last_week_that_arrives_today_is_handed_on_to_who_is_up_to_date(writers):
    writer, reader, *_ = writers
    await writer.sync(writer.entry("note", NOON, text="today"))
    await reader.sync()
    late = writer.entry("note", NOON - timedelta(days=7), text="from a phone that lay in a drawer")
    await writer.sync(late)
    told = await reader.sync()
    assert [one["entry"]["id"] for one in told["entries"]] == [late["id"]]
