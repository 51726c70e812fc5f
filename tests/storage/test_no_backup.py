"""That the daily backup fails is kept with when that began, and forgotten once one is made."""

from datetime import timedelta

from conftest import START

from evenwater.domain.rounds.heard.notices import NoBackup
from evenwater.storage.no_backup import keep_no_backup, no_backup


async def test_it_is_since_the_first_that_failed_and_says_why_the_last_did(database):
    assert await no_backup(database) is None
    await keep_no_backup(database, "the stick is gone", START)
    await keep_no_backup(database, "the stick is full", START + timedelta(hours=1))
    assert await no_backup(database) == NoBackup(START, "the stick is full")
    for _ in range(2):
        await keep_no_backup(database, None, START + timedelta(hours=2))
        assert await no_backup(database) is None
