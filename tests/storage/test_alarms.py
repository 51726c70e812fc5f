"""An alarm is raised once while it lasts, ends when it is over, and is one person's to take on."""

from datetime import timedelta

from conftest import START

from evenwater.domain.rounds.heard.alarms import Concern
from evenwater.storage.alarms import alarm, forget_old_alarms, match_alarms, open_alarms, take_on
from evenwater.storage.database import Database

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)


def concern(about: str = "job/main/cover/2026-11-03/on") -> Concern:
    return Concern(about=about, what="job", pond="main", at=START, title="Not done: Covers on", says="By 16:00.")


async def test_what_lasts_is_one_alarm(database: Database) -> None:
    await match_alarms(database, [concern()], START, ["a"])
    await match_alarms(database, [concern()], START + HOUR, ["b"])
    (one,) = await open_alarms(database)
    assert (one.id, one.raised_at, one.concern) == ("a", START, concern())


async def test_what_is_over_is_over_and_another_stays(database: Database) -> None:
    await match_alarms(database, [concern("one"), concern("two")], START, ["a", "b"])
    await match_alarms(database, [concern("two")], START + HOUR, ["c"])
    assert [one.id for one in await open_alarms(database)] == ["b"]
    ended = await alarm(database, "a")
    assert ended is not None and ended.over_at == START + HOUR


async def test_what_comes_and_goes_is_the_same_alarm_and_after_half_a_day_a_new_one(database: Database) -> None:
    await match_alarms(database, [concern()], START, ["a"])
    await match_alarms(database, [], START + MINUTE, [])
    await match_alarms(database, [concern()], START + 2 * MINUTE, ["b"])
    assert [one.id for one in await open_alarms(database)] == ["a"]
    await match_alarms(database, [], START + 3 * MINUTE, [])
    await match_alarms(database, [concern()], START + 13 * HOUR, ["c"])
    assert [(one.id, one.raised_at) for one in await open_alarms(database)] == [("c", START + 13 * HOUR)]


async def test_who_said_first_that_they_are_on_it_stays(database: Database) -> None:
    await match_alarms(database, [concern()], START, ["a"])
    await take_on(database, "a", "tove", START + MINUTE)
    one = await take_on(database, "a", "marit", START + HOUR)
    assert one is not None and (one.on_it, one.on_it_at) == ("tove", START + MINUTE)
    assert await take_on(database, "none", "marit", START) is None


async def test_old_ones_go_and_open_ones_stay(database: Database) -> None:
    await match_alarms(database, [concern("one"), concern("two")], START, ["a", "b"])
    await match_alarms(database, [concern("two")], START, ["c"])
    await forget_old_alarms(database, START + timedelta(days=61))
    assert await alarm(database, "a") is None
    assert await alarm(database, "b") is not None
