"""Subscriptions: one a browser, used while its device is signed in."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from msgspec.structs import replace

from evenwater.domain.people import Person
from evenwater.storage.people import add_first_person, add_person, begin_session, revoke_session
from evenwater.storage.push import (
    MOST_OF_A_PERSON,
    Subscription,
    forget_device,
    forget_subscription,
    keep_subscription,
    subscription,
    subscriptions,
)

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
ONE = Subscription(
    id="one",
    person_id="marit",
    device="phone",
    endpoint="https://push.example/1",
    p256dh=b"p" * 65,
    auth=b"a" * 16,
    made_at=NOW,
)


@pytest.fixture
async def household(database):
    assert await add_first_person(database, Person("marit", "Marit", NOW), "hash")
    assert await add_person(database, Person("ivo", "Ivo", NOW), "hash")
    await begin_session(database, "marit", "phone", "Marit's phone", "t1", NOW, "session-1")
    return database


async def test_a_subscription_is_found_with_its_device_s_name(household):
    assert await keep_subscription(household, ONE) == "one"
    assert await subscriptions(household, NOW) == [replace(ONE, device_label="Marit's phone")]
    assert await subscription(household, "one", NOW) == replace(ONE, device_label="Marit's phone")


async def test_the_same_endpoint_again_changes_what_is_wanted_and_stays_one(household):
    await keep_subscription(household, ONE)
    assert await keep_subscription(household, replace(ONE, id="two", wants_list=False, auth=b"b" * 16)) == "one"
    (kept,) = await subscriptions(household, NOW)
    assert (kept.id, kept.wants_list, kept.auth) == ("one", False, b"b" * 16)


async def test_a_new_endpoint_of_a_device_takes_the_place_of_the_old(household):
    await keep_subscription(household, ONE)
    await keep_subscription(household, replace(ONE, id="two", endpoint="https://push.example/2"))
    assert [one.id for one in await subscriptions(household, NOW)] == ["two"]


async def test_a_device_that_was_removed_hears_nothing_and_one_signed_in_again_does(household):
    await keep_subscription(household, ONE)
    assert await revoke_session(household, "session-1", NOW)
    assert await subscriptions(household, NOW) == []
    assert await subscription(household, "one", NOW) is None
    await begin_session(household, "marit", "phone", "Marit's phone", "t2", NOW, "session-2")
    assert [one.id for one in await subscriptions(household, NOW)] == ["one"]


async def test_a_session_that_ran_out_hears_nothing(household):
    await keep_subscription(household, ONE)
    assert await subscriptions(household, NOW + timedelta(days=91)) == []


async def test_a_browser_is_the_one_person_s_who_is_signed_in_on_it(household):
    await keep_subscription(household, ONE)
    await begin_session(household, "ivo", "phone", "Ivo's phone", "t3", NOW, "session-3")
    await keep_subscription(household, replace(ONE, id="two", person_id="ivo"))
    assert [one.person_id for one in await subscriptions(household, NOW)] == ["ivo"]


async def test_forgotten_by_id_and_by_device(household):
    await keep_subscription(household, ONE)
    assert not await forget_device(household, "ivo", "phone")
    assert await forget_device(household, "marit", "phone")
    assert not await forget_device(household, "marit", "phone")
    await keep_subscription(household, ONE)
    await forget_subscription(household, "one")
    assert await subscriptions(household, NOW) == []


async def test_of_too_many_the_oldest_go(household):
    for number in range(MOST_OF_A_PERSON + 3):
        device = str(uuid4())
        await begin_session(household, "marit", device, "d", f"token {number}", NOW, f"s{number}")
        made = {"id": f"n{number}", "device": device, "endpoint": f"https://push.example/{number}"}
        await keep_subscription(household, replace(ONE, **made, made_at=NOW + timedelta(minutes=number)))
    kept = [one.id for one in await subscriptions(household, NOW)]
    assert kept == [f"n{number}" for number in range(3, MOST_OF_A_PERSON + 3)]
