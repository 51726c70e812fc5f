"""A backup a day while the server runs, made by a process of its own: what it packs and tries holds nobody up.

It goes by when the newest backup in the folder was made, so a server that is restarted makes none too many. One that
failed is tried again an hour later, and told on the round until one is made; every outcome stands in the log, in words.
"""

import asyncio
import contextlib
import logging
import signal
import sqlite3
import sys
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import msgspec

from evenwater.commands.speaking import counted, size_text
from evenwater.settings import Settings
from evenwater.storage.backup import backups_in, household_of, may_be_of
from evenwater.storage.database import Database
from evenwater.storage.errors import StorageError
from evenwater.storage.no_backup import keep_no_backup, keep_went_apart, went_apart

EVERY = timedelta(days=1)
AGAIN_AFTER = timedelta(hours=1)
_ENDS_WITHIN_S = 10
_AHEAD = timedelta(minutes=5)
_INTERRUPT = signal.SIGTERM if sys.platform == "win32" else signal.SIGINT
log = logging.getLogger("evenwater.backup")


class BackupClock:
    """Makes the backups that the settings ask for."""

    def __init__(self, settings: Settings, database: Database, clock: Callable[[], datetime]) -> None:
        self._settings = settings
        self._database = database
        self._clock = clock

    async def run(self) -> None:
        """For as long as the server runs."""
        if self._settings.backup_to is None:
            await self._tell(None)
            return
        while True:
            await asyncio.sleep((await self.next_in()).total_seconds())
            if not await self.look():
                await asyncio.sleep(AGAIN_AFTER.total_seconds())

    async def look(self) -> bool:
        """Make one now, and have people told how it went: whether there is one."""
        problem = await self._missed_disk() or await self._problem()
        if problem is None:
            await self._keep_disk()
        await self._tell(problem)
        return problem is None

    async def next_in(self) -> timedelta:
        """How long until the next is due; where it is not yet, there is one that is young, whoever made it."""
        household = None
        with contextlib.suppress(sqlite3.Error):  # then others' count as well
            household = await household_of(self._database)
        wait = self._wait(household)
        if wait > timedelta():
            await self._tell(None)
        return wait

    async def _missed_disk(self) -> str | None:
        """What to say where backups went to a disk of its own and would go to the data's now."""
        to = str(self._settings.backup_to)
        try:
            missed = not self._is_apart() and await went_apart(self._database) == to
        except (OSError, sqlite3.Error):  # the attempt itself will say what is in the way
            return None
        if not missed:
            return None
        problem = f"is the disk there? the folder {to} is on the data's own disk now; if it is to be, name another one"
        log.error("no backup was made: %s", problem)
        return problem

    def _is_apart(self) -> bool:
        """Whether the folder, or the one it would be made in, is on another disk than the data."""
        assert self._settings.backup_to is not None
        to = self._settings.backup_to
        return (to if to.exists() else to.parent).stat().st_dev != self._settings.data.stat().st_dev

    async def _keep_disk(self) -> None:
        """Remember that a backup went to a disk of its own, or warn that it did not."""
        try:
            if self._is_apart():
                await keep_went_apart(self._database, str(self._settings.backup_to))
            else:
                log.warning("the backups are on the data's own disk, and would be lost with it")
        except (OSError, StorageError, sqlite3.Error) as error:
            log.error("where the backup went is not kept: %s", error)

    async def _tell(self, problem: str | None) -> None:
        try:
            await keep_no_backup(self._database, problem, self._clock())
        except (StorageError, sqlite3.Error) as error:  # the disk may hold nothing else either; the server goes on
            log.error("how the backup went is not kept: %s", error)

    def _wait(self, household: str | None = None) -> timedelta:
        """How long until the next one is due, by those that are of no other household."""
        assert self._settings.backup_to is not None
        now = self._clock()
        try:
            # One dated ahead was made while a clock was wrong: waiting for it to pass could take years.
            made = ((at, file) for at, file in backups_in(self._settings.backup_to) if at <= now + _AHEAD)
            newest = next((at for at, file in made if may_be_of(household, file)), None)
        except OSError:  # the attempt itself will say what is in the way
            return timedelta()
        return max(newest + EVERY - now, timedelta()) if newest else timedelta()

    async def _problem(self) -> str | None:
        """Make one; why there is none, if so."""
        told: dict[str, Any]
        try:
            told = await self._told()
        except OSError as error:
            told = {"problem": f"it cannot be started ({error.strerror})"}
        if "problem" in told:
            log.error("no backup was made: %s", told["problem"])
            return str(told["problem"])
        held = f"{counted(told['entries'], 'entry', 'entries')} and {counted(told['photos'], 'photo')}"
        log.info("backed up %s into %s (%s), restored aside and checked", held, told["file"], size_text(told["bytes"]))
        if told["lacking_photos"]:
            text = "%s missing or damaged, so not in the backup; `evenwater check` names each"
            log.warning(text, counted(told["lacking_photos"], "photo"))
        if told["dropped"]:
            log.info("older backups dropped: %s", ", ".join(told["dropped"]))
        if told["spared"]:
            text = "older backups hold more than this household and were not dropped; is this the right data folder? %s"
            log.warning(text, ", ".join(told["spared"]))
        return None

    async def _told(self) -> dict[str, Any]:
        """What the command says of the backup it made; with "problem" when it made none."""
        to, keep = str(self._settings.backup_to), str(self._settings.backup_keep)
        command = [sys.executable, "-m", "evenwater.main", "backup", "--json", "--gently", "--to", to, "--keep", keep]
        process = await asyncio.create_subprocess_exec(
            *command, "--data", str(self._settings.data), stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.PIPE
        )
        try:
            said, faults = await process.communicate()
        except asyncio.CancelledError:
            await _end(process)
            raise
        try:
            return msgspec.json.decode(said, type=dict[str, Any])
        except msgspec.MsgspecError:
            last = faults.decode(errors="replace").strip().splitlines()[-1:]
            return {"problem": f"the command ended with {process.returncode}: {' '.join(last)}"}


async def _end(process: asyncio.subprocess.Process) -> None:
    """Interrupt it, so that it leaves nothing half made, and wait for it a while."""
    with contextlib.suppress(ProcessLookupError):
        process.send_signal(_INTERRUPT)
        try:
            await asyncio.wait_for(process.communicate(), _ENDS_WITHIN_S)
        except TimeoutError:
            process.kill()
