"""What was shown: kept once, read back as it was."""

from datetime import UTC, datetime, timedelta

import msgspec

from evenwater.storage.shown import keep_shown, shown_since

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)


class Guess(msgspec.Struct, frozen=True):
    """Something foretold."""

    value: float


async def test_the_same_shown_again_is_kept_once(database):
    for minute, value in ((0, 5.0), (1, 5.0), (2, 5.2), (3, 5.0)):
        await keep_shown(database, NOW + timedelta(minutes=minute), "trend/main/kh_dkh", "m", 1, Guess(value))
    found = await shown_since(database, "trend/", NOW, Guess)
    assert [(at.minute - 30, what.value) for _, at, what in found] == [(0, 5.0), (2, 5.2), (3, 5.0)]


async def test_other_subjects_and_earlier_ones_are_left_out(database):
    await keep_shown(database, NOW - timedelta(days=9), "trend/main/kh_dkh", "m", 1, Guess(4.0))
    await keep_shown(database, NOW, "day/2026-11-03", "m", 1, Guess(4.5))
    await keep_shown(database, NOW, "trend/main/kh_dkh", "m", 1, Guess(5.0))
    found = await shown_since(database, "trend/", NOW - timedelta(days=1), Guess)
    assert [(subject, what.value) for subject, _, what in found] == [("trend/main/kh_dkh", 5.0)]


class OtherShape(msgspec.Struct, frozen=True):
    """What another version showed."""

    words: str


async def test_what_another_version_showed_is_left_out(database):
    await keep_shown(database, NOW, "trend/main/kh_dkh", "old", 1, OtherShape("about five"))
    assert await shown_since(database, "trend/", NOW, Guess) == []
