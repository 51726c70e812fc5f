"""Keys of loggers: kept as a hash, found by their token alone, revoked for good."""

from datetime import UTC, datetime, timedelta

import pytest

from evenwater.domain.people import Person
from evenwater.storage.people import add_first_person
from evenwater.storage.probe_keys import (
    ProbeKey,
    add_probe_key,
    probe_keys,
    revoke_probe_key,
    token_of,
    use_probe_key,
)

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
KEY = ProbeKey(
    id="5f0c9d2ab7e41c3d", pond="main", series=("water_c",), label="Logger", created_at=NOW, created_by="marit"
)
TOKEN = token_of(KEY.id, "s3cret_with-signs")


@pytest.fixture
async def with_key(database):
    assert await add_first_person(database, Person("marit", "Marit", NOW), "hash")
    await add_probe_key(database, KEY, TOKEN)
    return database


async def test_the_key_itself_stands_nowhere_in_the_file(with_key, settings):
    async with with_key.transaction():
        pass
    files = list(settings.data.glob("evenwater.sqlite*"))
    assert any(KEY.id.encode() in file.read_bytes() for file in files)
    assert not any(b"s3cret" in file.read_bytes() for file in files)


async def test_a_key_is_found_by_its_whole_token(with_key):
    found = await use_probe_key(with_key, TOKEN, NOW)
    assert found is not None and (found.pond, found.series) == ("main", ("water_c",))


@pytest.mark.parametrize(
    "token",
    [
        *("", "_", "__", "evenwater", KEY.id, f"evenwater_{KEY.id}", f"evenwater_{KEY.id}_", TOKEN[:-1], TOKEN + "x"),
        *(TOKEN.upper(), TOKEN.replace("evenwater", "other"), token_of("none", "s3cret_with-signs"), "é" * 50),
    ],
)
async def test_anything_else_opens_nothing(with_key, token):
    assert await use_probe_key(with_key, token, NOW) is None
    assert (await probe_keys(with_key))[0].last_used_at is None


async def test_its_last_use_is_written_once_in_ten_minutes(with_key):
    for minutes, written in ((0, 0), (9, 0), (10, 10), (15, 10), (30, 30)):
        await use_probe_key(with_key, TOKEN, NOW + timedelta(minutes=minutes))
        assert (await probe_keys(with_key))[0].last_used_at == NOW + timedelta(minutes=written)


async def test_a_revoked_key_opens_nothing_and_is_revoked_once(with_key):
    assert await revoke_probe_key(with_key, KEY.id, NOW)
    assert await use_probe_key(with_key, TOKEN, NOW) is None
    assert await probe_keys(with_key) == []
    assert not await revoke_probe_key(with_key, KEY.id, NOW)
