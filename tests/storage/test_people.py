"""People and sessions in a real file."""

import sqlite3
from collections.abc import AsyncIterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest

from evenwater.domain.people import Person
from evenwater.storage import people
from evenwater.storage.database import Database

NOW = datetime(2026, 11, 25, 17, 2, 3, 120_000, tzinfo=UTC)
DEVICE = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"


@pytest.fixture
async def household(tmp_path: Path) -> AsyncIterator[Database]:
    database = await Database.open(tmp_path / "household.sqlite")
    yield database
    await database.close()


async def join(household: Database, name: str = "Aki") -> Person:
    person = Person(str(uuid4()), name, NOW)
    assert await people.add_person(household, person, "hash")
    return person


async def sign_in(household: Database, person: Person, token: str, device: str = DEVICE, now: datetime = NOW) -> str:
    session = await people.begin_session(household, person.id, device, "a phone", token, now, str(uuid4()))
    return session.id


async def test_only_one_can_be_the_first(household: Database) -> None:
    assert not await people.has_people(household)
    assert await people.add_first_person(household, Person(str(uuid4()), "Aki", NOW), "hash")
    assert not await people.add_first_person(household, Person(str(uuid4()), "Bo", NOW), "hash")
    assert [person.name for person in await people.people(household)] == ["Aki"]


@pytest.mark.parametrize("written", ["aki", " AKI ", "Ａｋｉ", "A\u200dki"])
async def test_a_name_written_otherwise_is_the_same_name(household: Database, written: str) -> None:
    person = await join(household)
    found = await people.credential(household, written)
    assert found and found.person == person and found.passphrase_hash == "hash"
    assert not await people.add_person(household, Person(str(uuid4()), written, NOW), "other")


async def test_a_name_nobody_has_finds_nobody(household: Database) -> None:
    await join(household)
    assert await people.credential(household, "Bo") is None


async def test_a_token_opens_its_own_session_and_is_not_in_the_file(household: Database) -> None:
    person = await join(household)
    session_id = await sign_in(household, person, "token-of-aki")
    used = await people.use_session(household, "token-of-aki", NOW)
    assert used is not None
    assert (used[0].person_id, used[0].person_name, used[0].session_id, used[0].device) == (
        person.id,
        "Aki",
        session_id,
        DEVICE,
    )
    assert await people.use_session(household, "token-of-bo", NOW) is None
    for file in household.path.parent.iterdir():
        assert b"token-of-aki" not in file.read_bytes()


async def test_a_session_lives_ninety_days_from_when_it_was_last_seen(household: Database) -> None:
    await sign_in(household, await join(household), "token")
    day_89, day_178 = NOW + timedelta(days=89), NOW + timedelta(days=178)
    assert await people.use_session(household, "token", day_89) is not None
    assert await people.use_session(household, "token", day_178) is not None
    assert await people.use_session(household, "token", day_178 + timedelta(days=90)) is None
    assert await people.open_sessions(household, day_178 + timedelta(days=90)) == []


async def test_being_seen_is_written_once_an_hour_at_most(household: Database) -> None:
    await sign_in(household, await join(household), "token")
    minutes = (0, 1, 59, 60, 61, 119, 120)
    slid = [await people.use_session(household, "token", NOW + timedelta(minutes=m)) for m in minutes]
    assert [used and used[1] for used in slid] == [False, False, False, True, False, False, True]
    (session,) = await people.open_sessions(household, NOW + timedelta(hours=2))
    assert session.last_seen_at == NOW + timedelta(hours=2)
    assert session.expires_at == NOW + timedelta(hours=2, days=90)


async def test_a_clock_set_back_moves_nothing_back(household: Database) -> None:
    await sign_in(household, await join(household), "token")
    assert await people.use_session(household, "token", datetime(1970, 1, 1, tzinfo=UTC)) is not None
    (session,) = await people.open_sessions(household, NOW)
    assert session.last_seen_at == NOW


async def test_a_locked_file_keeps_nobody_out(household: Database) -> None:
    await sign_in(household, await join(household), "token")
    await household.writer.execute("PRAGMA busy_timeout=1")
    other = sqlite3.connect(household.path)
    other.execute("BEGIN IMMEDIATE")
    used = await people.use_session(household, "token", NOW + timedelta(hours=2))
    other.close()
    assert used is not None and used[1] is False


async def test_a_revoked_session_opens_nothing_and_the_others_go_on(household: Database) -> None:
    person = await join(household)
    lost = await sign_in(household, person, "lost")
    await sign_in(household, person, "kept", device=DEVICE.replace("0a", "0b"))
    assert await people.revoke_session(household, lost, NOW)
    assert not await people.revoke_session(household, lost, NOW)
    assert await people.use_session(household, "lost", NOW) is None
    assert await people.use_session(household, "kept", NOW) is not None
    assert len(await people.open_sessions(household, NOW)) == 1


async def test_signing_in_again_on_a_device_ends_what_was_there_of_the_same_person(household: Database) -> None:
    aki, bo = await join(household), await join(household, "Bo")
    await sign_in(household, aki, "first")
    await sign_in(household, bo, "another person")
    await sign_in(household, aki, "second")
    opened = [t for t in ("first", "another person", "second") if await people.use_session(household, t, NOW)]
    assert opened == ["another person", "second"]


async def test_a_new_passphrase_ends_every_session_of_that_person_alone(household: Database) -> None:
    aki, bo = await join(household), await join(household, "Bo")
    await sign_in(household, aki, "one")
    await sign_in(household, aki, "two", device=DEVICE.replace("0a", "0b"))
    await sign_in(household, bo, "of bo")
    assert await people.set_passphrase(household, aki.id, "new hash", NOW) == 2
    assert [await people.use_session(household, t, NOW) is None for t in ("one", "two", "of bo")] == [True, True, False]
    found = await people.credential(household, "aki")
    assert found and found.passphrase_hash == "new hash"


async def test_a_device_once_used_is_remembered_for_its_person(household: Database) -> None:
    aki, _ = await join(household), await join(household, "Bo")
    session_id = await sign_in(household, aki, "token")
    await people.revoke_session(household, session_id, NOW)
    for name, device, known in (("aki", DEVICE, True), ("bo", DEVICE, False), ("aki", "another", False)):
        found = await people.credential(household, name, device)
        assert found and found.knows_device is known, (name, device)


async def test_a_session_moved_to_another_id_of_its_device_is_the_same_session(household: Database) -> None:
    session_id = await sign_in(household, await join(household), "token")
    await people.move_session(household, session_id, "cleared and new")
    used = await people.use_session(household, "token", NOW)
    assert used and (used[0].session_id, used[0].device) == (session_id, "cleared and new")


async def test_looking_up_a_token_reads_by_index_only(household: Database) -> None:
    plan = await household.reader.execute_fetchall(
        "EXPLAIN QUERY PLAN SELECT person.id FROM session JOIN person ON person.id = session.person_id"
        " WHERE token_sha256 = x'00' AND revoked_at IS NULL AND expires_at > ''"
    )
    assert all(row[3].startswith("SEARCH") and "INDEX" in row[3] for row in plan)
