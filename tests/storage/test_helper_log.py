"""What the database hands a helper is what the domain shows them, whatever was written."""

import random
from datetime import UTC, date, datetime, timedelta
from typing import Any

import msgspec
import pytest
from helper_phone import JO, KIM, Writes, hand_over

from evenwater.domain.away.scope import Scope, scope_of
from evenwater.domain.away.shown_entries import shown_facts
from evenwater.domain.entries import TakeBack
from evenwater.domain.fold import Seen, fold
from evenwater.domain.placing import place
from evenwater.domain.read_entries import read_entry
from evenwater.storage.entry_log import Arrival, append
from evenwater.storage.helper_log import late_entries, mark_late, own_of, page_for

NOW = datetime(2026, 11, 13, 16, 30, tzinfo=UTC)
FIRST = date(2026, 11, 10)
KEEPER, DEVICE = f"{2:08}-0000-4000-8000-000000000000", f"{3:08}-0000-4000-8000-000000000000"
BUFFER = {"amount_g": 60, "substance": "sodium_bicarbonate"}


def anything(chance: random.Random, writers: list[Writes], before: list[dict[str, Any]]) -> dict[str, Any]:
    writer, at = chance.choice(writers), NOW - timedelta(hours=chance.randrange(120))
    pond = chance.choice(["main", "main", "other"])
    job = {"standing_job": chance.choice(["cover", "buffer", "heater"]), "slot": "day", "due_on": str(at.date())}
    kinds: dict[str, dict[str, Any]] = {
        "tick": job | chance.choice([{}, BUFFER, {"feed_g": 20}]),
        "not_done": job | {"reason": "Rain"},
        "look": {"all_well": True},
        "note": {"text": "x"},
        "dose": BUFFER,
        "feed": {"feed_g": 5},
        "reading": {"quantity": "kh_dkh", "value": 4},
        "water_running": {"running": True},
        "power": {"on": False},
        "change": {"text": "New pump"},
        "take_back": {"entry": chance.choice(before)["id"]} if before else {"entry": KEEPER},
    }
    kind = chance.choice(list(kinds))
    return writer.entry(kind, at, pond=pond, **kinds[kind])


async def kept(database: Any, entries: list[dict[str, Any]]) -> list[Seen]:
    found: list[Seen] = []
    for number, one in enumerate(entries, 1):
        content = msgspec.json.encode(one)
        entry = read_entry(content)
        placed = place(entry, NOW, 0.0)
        await append(database, [Arrival(entry, placed, content)], [], NOW, 0.0)
        found.append(Seen(entry, number, placed.at, placed.on))
    return found


def scope(known: Any) -> Scope:
    found = scope_of(known, "autumn", JO, NOW)
    assert found is not None
    return found


@pytest.mark.parametrize("seed", range(12))
async def test_a_page_holds_what_the_domain_shows_and_what_takes_it_back(database, seed):
    chance = random.Random(seed)
    writers = [Writes(None, person, DEVICE) for person in (KEEPER, KEEPER, JO, KIM)]  # type: ignore[arg-type]
    entries = [writers[0].entry("set", NOW - timedelta(days=9), target="pond", field="zone", value="UTC")]
    entries += hand_over(writers[0], NOW - timedelta(days=9), FIRST, jobs=["main/cover", "main/buffer"])
    settled = len(entries)
    for _ in range(60):
        entries.append(anything(chance, writers, entries[settled:][-20:]))
    seen = await kept(database, entries)
    its = scope(fold(seen))
    got, cursor, more = await page_for(database, its, 0, 500)
    ids = {msgspec.json.decode(one.entry)["id"] for one in got}
    assert (cursor, more) == (len(entries), False)
    # Folded by the phone, what stands is what the domain shows.
    phone = fold(one for one in seen if one.entry.id in ids)
    assert {one.entry.id for one in phone.facts} == {one.entry.id for one in shown_facts(fold(seen), its)}
    assert phone.settings == ()
    without = fold(one for one in seen if not isinstance(one.entry, TakeBack))
    assert {one.entry.id for one in shown_facts(without, its)} <= ids


async def test_pages_follow_one_another_to_the_end(database):
    writer = Writes(None, JO, DEVICE)  # type: ignore[arg-type]
    entries = [writer.entry("set", NOW - timedelta(days=9), target="pond", field="zone", value="UTC")]
    entries += hand_over(writer, NOW - timedelta(days=9), FIRST)
    entries += [writer.entry("look", NOW - timedelta(minutes=n), all_well=True) for n in range(7)]
    its, cursor, pages = scope(fold(await kept(database, entries))), 0, []
    while True:
        got, cursor, more = await page_for(database, its, cursor, 3)
        pages.append(len(got))
        if not more:
            break
    assert pages == [3, 3, 1] and cursor == len(entries)
    assert (await page_for(database, its, cursor, 3))[0] == []


async def test_own_entries_are_told_by_author_and_date(database):
    writer = Writes(None, JO, DEVICE)  # type: ignore[arg-type]
    note = writer.entry("note", NOW, text="x")
    await kept(database, [note])
    (own,) = (await own_of(database, [note["id"], KEEPER])).values()
    assert (own.author, own.on) == (JO, NOW.date())


async def test_late_entries_are_marked_once(database):
    for at in (NOW, NOW + timedelta(days=1)):
        await mark_late(database, "autumn", ["b", "a"], at)
    await mark_late(database, "winter", ["c"], NOW)
    assert await late_entries(database, "autumn") == ["a", "b"]
