"""Calendar addresses: kept as a hash, one a person."""

from datetime import UTC, datetime, timedelta

import pytest

from evenwater.domain.people import Person
from evenwater.storage.feed import Feed, end_feed, feed_by_token, feed_of, make_feed, mark_read
from evenwater.storage.people import add_first_person

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
FEED = Feed(person_id="marit", made_at=NOW)


@pytest.fixture
async def household(database):
    assert await add_first_person(database, Person("marit", "Marit", NOW), "hash")
    await make_feed(database, FEED, "s3cret")
    return database


async def test_an_address_is_found_by_its_token_and_by_its_person(household):
    assert await feed_by_token(household, "s3cret") == FEED == await feed_of(household, "marit")
    for other in ("", "s3cre", "S3cret", "s3cret ", "é"):
        assert await feed_by_token(household, other) is None
    assert await feed_of(household, "ivo") is None


async def test_the_token_stands_nowhere_in_the_file(household, settings):
    files = list(settings.data.glob("evenwater.sqlite*"))
    assert any(b"marit" in file.read_bytes() for file in files)
    assert not any(b"s3cret" in file.read_bytes() for file in files)


async def test_a_new_address_ends_the_one_before(household):
    await make_feed(household, Feed(person_id="marit", rings="none", made_at=NOW), "other")
    assert await feed_by_token(household, "s3cret") is None
    found = await feed_by_token(household, "other")
    assert found is not None and found.rings == "none"


async def test_an_address_that_was_ended_opens_nothing(household):
    assert await end_feed(household, "marit")
    assert await feed_by_token(household, "s3cret") is None
    assert not await end_feed(household, "marit")


async def test_it_knows_since_when_it_has_held_the_same(household):
    for minutes, content, since in ((0, b"a", 0), (10, b"a", 0), (20, b"b", 20), (70, b"b", 20), (80, b"a", 80)):
        feed = await feed_of(household, "marit")
        assert feed is not None
        changed_at = await mark_read(household, feed, content, NOW + timedelta(minutes=minutes))
        assert changed_at == NOW + timedelta(minutes=since)


async def test_its_last_reading_is_written_once_in_half_an_hour(household):
    for minutes, written in ((0, 0), (29, 0), (30, 30), (31, 30)):
        feed = await feed_of(household, "marit")
        assert feed is not None
        await mark_read(household, feed, b"a", NOW + timedelta(minutes=minutes))
        again = await feed_of(household, "marit")
        assert again is not None and again.last_read_at == NOW + timedelta(minutes=written)
