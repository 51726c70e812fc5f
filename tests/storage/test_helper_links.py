"""Links and the devices bound to them, in a real file."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest

from evenwater.domain.away.links import HelperDevice, HelperLink
from evenwater.domain.people import Person
from evenwater.storage import helper_links
from evenwater.storage.people import add_first_person

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
HOUR = timedelta(hours=1)


@dataclass
class Made:
    link: HelperLink
    secret: str


@pytest.fixture
async def made(database):
    await add_first_person(database, Person("aki", "Aki", NOW), "hash")
    link = HelperLink(id="l1", hand_over="autumn", helper="jo", made_at=NOW, made_by="aki")
    await helper_links.add_link(database, link, "secret one")
    return Made(link, "secret one")


def device(name: str, at: datetime = NOW, link: str = "l1") -> HelperDevice:
    return HelperDevice(id=f"{link}-{name}", link=link, device=name, label="phone", bound_at=at, last_seen_at=at)


async def test_a_link_is_found_by_its_secret_alone(database, made):
    assert await helper_links.link_by_secret(database, made.secret) == (made.link, [])
    assert await helper_links.link_by_secret(database, "secret two") is None


async def test_a_device_is_found_by_its_token_with_its_link(database, made):
    assert await helper_links.bind_device(database, device("a"), "token a") == "first"
    link, found = await helper_links.device_by_token(database, "token a")
    assert (link.first_bound_at, found) == (NOW, device("a"))
    assert await helper_links.device_by_token(database, "token b") is None


async def test_a_move_ends_the_device_before_and_counts(database, made):
    await helper_links.bind_device(database, device("a"), "token a")
    assert await helper_links.bind_device(database, device("b", NOW + HOUR), "token b") == "moved"
    assert await helper_links.bind_device(database, device("c", NOW + HOUR), "token c") is None
    _, first = await helper_links.device_by_token(database, "token a")
    assert first.ended_at == NOW + HOUR
    assert await helper_links.device_by_token(database, "token c") is None
    [(link, devices)] = await helper_links.links_of(database, "autumn")
    assert link.moves == 1 and [one.device for one in devices] == ["b", "a"]


async def test_a_new_link_for_the_same_helper_ends_the_one_before_alone(database, made):
    others = HelperLink(id="l2", hand_over="autumn", helper="kim", made_at=NOW, made_by="aki")
    await helper_links.add_link(database, others, "secret kim")
    await helper_links.bind_device(database, device("a"), "token a")
    fresh = HelperLink(id="l3", hand_over="autumn", helper="jo", made_at=NOW + HOUR, made_by="aki")
    await helper_links.add_link(database, fresh, "secret three")
    ended = {link.id: link.revoked_at for link, _ in await helper_links.links_of(database, "autumn")}
    assert ended == {"l1": NOW + HOUR, "l2": None, "l3": None}
    link, found = await helper_links.device_by_token(database, "token a")
    assert (link.revoked_at, found.ended_at) == (NOW + HOUR, NOW + HOUR)


async def test_only_a_link_of_that_hand_over_is_revoked_or_let_move(database, made):
    assert await helper_links.revoke_link(database, "winter", "l1", NOW) is False
    assert await helper_links.allow_move(database, "winter", "l1") is False
    assert await helper_links.allow_move(database, "autumn", "l1") is True
    assert await helper_links.revoke_link(database, "autumn", "l1", NOW) is True
    assert await helper_links.revoke_link(database, "autumn", "l1", NOW) is False
    assert await helper_links.allow_move(database, "autumn", "l1") is False
    assert await helper_links.bind_device(database, device("a"), "token a") is None


async def test_that_a_device_was_seen_is_written_once_an_hour(database, made):
    await helper_links.bind_device(database, device("a"), "token a")
    _, found = await helper_links.device_by_token(database, "token a")
    assert await helper_links.see_device(database, found, NOW + HOUR / 2) is False
    assert await helper_links.see_device(database, found, NOW + HOUR) is True
    _, found = await helper_links.device_by_token(database, "token a")
    assert found.last_seen_at == NOW + HOUR


async def test_neither_secret_nor_token_stands_in_the_file(database, made):
    await helper_links.bind_device(database, device("a"), "a token of its own")
    rows = [*await database.reader.execute_fetchall("SELECT * FROM helper_link")]
    rows += [*await database.reader.execute_fetchall("SELECT * FROM helper_device")]
    text = repr([tuple(row) for row in rows])
    assert "secret one" not in text and "a token of its own" not in text
