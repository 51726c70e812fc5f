"""Whether the daily backup fails, so that the people of the household hear of it and not the log alone; and to which
folder they went on a disk of its own, so that one that is not there any more is missed.
"""

from datetime import datetime

import msgspec

from evenwater.domain.rounds.heard.notices import NoBackup
from evenwater.storage.database import Database


async def no_backup(database: Database) -> NoBackup | None:
    """Since when none could be made; None where the last was, or none is asked for."""
    rows = await database.reader.execute_fetchall("SELECT value FROM meta WHERE key = 'no_backup'")
    return next((msgspec.json.decode(row[0], type=NoBackup) for row in rows), None)


async def keep_no_backup(database: Database, problem: str | None, now: datetime) -> None:
    """That the backup of `now` failed, and why; with None that there is nothing to be told."""
    before = await no_backup(database)
    if problem is None and before is None:
        return
    async with database.transaction() as connection:
        if problem is None:
            await connection.execute("DELETE FROM meta WHERE key = 'no_backup'")
            return
        told = NoBackup(before.since if before else now, problem)
        value = msgspec.json.encode(told).decode()
        await connection.execute("INSERT OR REPLACE INTO meta VALUES ('no_backup', ?)", (value,))


async def went_apart(database: Database) -> str | None:
    """The folder on another disk than the data's that the last such backup went to."""
    rows = await database.reader.execute_fetchall("SELECT value FROM meta WHERE key = 'backup_apart'")
    return next((str(row[0]) for row in rows), None)


async def keep_went_apart(database: Database, folder: str) -> None:
    """That a backup went to this folder, which is on another disk than the data."""
    if await went_apart(database) == folder:
        return
    async with database.transaction() as connection:
        await connection.execute("INSERT OR REPLACE INTO meta VALUES ('backup_apart', ?)", (folder,))
