"""How somebody wants to be reached is kept for them alone."""

from datetime import timedelta

from conftest import START

from evenwater.domain.messages import Reach
from evenwater.domain.people import Person
from evenwater.storage.database import Database
from evenwater.storage.people import add_person
from evenwater.storage.reach import everybody, keep_reach, reach_of


async def settle(database: Database) -> None:
    for number, name in enumerate(("Marit", "Tove")):
        await add_person(database, Person(name.lower(), name, START + timedelta(minutes=number)), "hash")


async def test_whoever_said_nothing_has_no_reach(database: Database) -> None:
    await settle(database)
    assert await reach_of(database, "marit") is None
    assert await everybody(database) == []


async def test_what_was_said_last_stands_and_everybody_comes_as_they_joined(database: Database) -> None:
    await settle(database)
    await keep_reach(database, Reach(person="tove", list_at="06:30"), START)
    await keep_reach(database, Reach(person="marit", list_at="07:00"), START)
    last = Reach(person="marit", zone="Europe/Berlin", list_at=None, email="marit@pond.example", email_alarms=False)
    await keep_reach(database, last, START)
    assert await reach_of(database, "marit") == last
    assert await everybody(database) == [last, Reach(person="tove", list_at="06:30")]
