"""What was shown: kept once, read back as it was."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import msgspec
from msgspec.structs import replace

from evenwater.domain.rounds.jobs import Day
from evenwater.storage.shown import days_shown, keep_shown, last_of_each_day

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)


class Guess(msgspec.Struct, frozen=True):
    """Something foretold."""

    value: float


async def test_the_same_shown_again_is_kept_once(database):
    for minute, value in ((0, 5.0), (1, 5.0), (2, 5.2), (3, 5.0)):
        await keep_shown(database, NOW + timedelta(minutes=minute), "trend/main/kh_dkh", "m", 1, Guess(value))
    rows = await database.reader.execute_fetchall("SELECT shown_at, content FROM shown ORDER BY id")
    assert [(row[0][14:16], row[1]) for row in rows] == [
        ("30", '{"value":5.0}'),
        ("32", '{"value":5.2}'),
        ("33", '{"value":5.0}'),
    ]


async def test_other_subjects_and_earlier_ones_are_left_out(database):
    await keep_shown(database, NOW - timedelta(days=9), "trend/main/kh_dkh", "m", 1, Guess(4.0))
    await keep_shown(database, NOW, "day/2026-11-03", "m", 1, Guess(4.5))
    await keep_shown(database, NOW, "trend/main/kh_dkh", "m", 1, Guess(5.0))
    found = await last_of_each_day(database, "trend/", NOW - timedelta(days=1), UTC, Guess)
    assert {subject: [one.what.value for one in kept] for subject, kept in found.items()} == {
        "trend/main/kh_dkh": [5.0]
    }


class OtherShape(msgspec.Struct, frozen=True):
    """What another version showed."""

    words: str


async def test_what_another_version_showed_is_left_out(database):
    await keep_shown(database, NOW, "trend/main/kh_dkh", "old", 1, OtherShape("about five"))
    assert await last_of_each_day(database, "trend/", NOW, UTC, Guess) == {}


async def test_of_each_day_the_last_one_shown_counts_by_the_ponds_own_calendar(database):
    for hours, value in ((0, 5.0), (7, 5.1), (8, 5.2), (20, 5.3)):
        await keep_shown(database, NOW + timedelta(hours=hours), "trend/main/kh_dkh", "m", 1, Guess(value))
    utc = await last_of_each_day(database, "trend/main/", NOW, UTC, Guess)
    assert [one.what.value for one in utc["trend/main/kh_dkh"]] == [5.1, 5.3]
    # Half past midnight of the next day in UTC is still the evening of the same day there.
    west = await last_of_each_day(database, "trend/main/", NOW, ZoneInfo("Atlantic/Azores"), Guess)
    assert [one.what.value for one in west["trend/main/kh_dkh"]] == [5.2, 5.3]


async def test_a_forecast_is_read_back_with_its_moment_and_its_model(database):
    await keep_shown(database, NOW, "dawn/main", "heat-1", 1, Guess(14.5))
    await keep_shown(database, NOW, "dawn/quarantine", "heat-2", 1, Guess(20.5))
    await keep_shown(database, NOW, "dawn/quarantine", "heat-2", 1, OtherShape("warm"))
    found = await last_of_each_day(database, "dawn/", NOW - timedelta(days=1), UTC, Guess)
    assert {subject: [(one.shown_at, one.model_version) for one in kept] for subject, kept in found.items()} == {
        "dawn/main": [(NOW, "heat-1")],
    }


async def test_days_are_read_back_as_they_were_shown_last(database):
    first = Day(date(2026, 11, 2), "a", None, None, ())
    for day in (first, replace(first, tag="b"), replace(first, date=date(2026, 11, 3)), replace(first, tag="c")):
        await keep_shown(database, NOW, f"day/{day.date.isoformat()}", "m", 1, day)
    assert await days_shown(database, date(2026, 10, 20), date(2026, 11, 2)) == [replace(first, tag="c")]
    await keep_shown(database, NOW, "day/2026-11-01", "old", 1, OtherShape("a day of long ago"))
    assert len(await days_shown(database, date(2026, 10, 20), date(2026, 11, 3))) == 2
