"""Copies of a household, made while the server runs, and how many of them are kept.

- The database is copied inside one reading transaction, so the copy is the log as it stood at one moment, whatever is
  written meanwhile. Photos are files that never change, and every one the copy names was whole before its row was.
- A backup appears under its name when it is whole, on the disk and tried, never before. What a kill leaves has another
  name and goes with a later backup.
- Secrets and the https authority are no part of it: who finds a backup must not be able to pass for this server.
"""

import os
import re
import secrets
import shutil
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from evenwater import __version__
from evenwater.settings import DATABASE_NAME
from evenwater.storage.backup_file import FORMAT, BackupReader, BackupWriter, Manifest
from evenwater.storage.check import photo_trouble
from evenwater.storage.database import Database
from evenwater.storage.errors import BadBackup, NotOurs, StorageUnavailable
from evenwater.storage.photos import FOLDER_NAME
from evenwater.storage.progress import Tell, unseen

_PAGES_AT_ONCE = 2000
_NAME = re.compile(r"evenwater-(\d{8}T\d{6}Z)\.zip")
_FIRST_ENTRY: Final = "SELECT id FROM entry WHERE seq = 1"
_BAD: Final = "evenwater-*Z.bad"
_LEFT_OVER: Final = "evenwater-*.part*"
_LEFT_OVER_AFTER_S: Final = 86_400
_SPARE_BYTES: Final = 20_000_000


class Backup(Struct, frozen=True, kw_only=True):
    """A backup that was made: where it is, how large [bytes], what it holds."""

    file: Path
    bytes: int
    manifest: Manifest


Look = Callable[[Path], object]
"""Tries a backup that is whole and has not got its name yet."""


def back_up(data: Path, to: Path, now: datetime, tell: Tell = unseen, look: Look | None = None) -> Backup:
    """Back up the household in `data` into a new file in the folder `to`.

    Args:
        data: The household's folder.
        to: Where backups go; made where there is none, though never the folder it stands in, which may be a disk's.
        now: When this is; the file is named by it.
        tell: How far it has come.
        look: Called with the file before it gets its name.

    Raises:
        BadBackup: `look` found that it cannot be used; it is kept under a name that passes for no backup.
        NotOurs: there is no household of ours in `data`.
        StorageUnavailable: no room, or the folder cannot be written; nothing is left there.
    """
    target = to / f"evenwater-{now.astimezone(UTC):%Y%m%dT%H%M%SZ}.zip"
    if target.exists():
        raise StorageUnavailable(f"{target} is there already")
    try:
        if not to.parent.is_dir():
            raise StorageUnavailable(f"there is no folder {to.parent}: is the disk there?")
        to.mkdir(exist_ok=True, mode=0o700)
        _drop_left_over(to)
        _require_room(data, to)
        part = to / f"{target.stem}.{secrets.token_hex(4)}.part"
        copy = part.with_suffix(".part.sqlite")
        try:
            _copy_database(data / DATABASE_NAME, copy, tell)
            manifest = _pack(data, copy, part, now, tell)
            if look is not None:
                look(part)
            os.replace(part, target)
        except BadBackup as error:
            bad = target.with_suffix(".bad")
            for earlier in to.glob(_BAD):  # a server tries again each hour: one is enough to look at
                earlier.unlink(missing_ok=True)
            os.replace(part, bad)
            raise BadBackup(f"restored aside it is not well ({error}), so it is kept as {bad.name}") from error
        finally:
            for left in (part, copy):
                left.unlink(missing_ok=True)
        sync_folder(to)
    except sqlite3.OperationalError as error:
        raise StorageUnavailable(f"the database cannot be copied: {error}") from error
    except sqlite3.DatabaseError as error:
        raise NotOurs(f"{data / DATABASE_NAME} is damaged, or no database of this program ({error})") from error
    except OSError as error:
        raise StorageUnavailable(f"the backup cannot be written to {to}: {error.strerror or error}") from error
    return Backup(file=target, bytes=target.stat().st_size, manifest=manifest)


def backups_in(folder: Path) -> list[tuple[datetime, Path]]:
    """When each backup in a folder was made, by its name, the newest first; other files are none of ours."""
    if not folder.is_dir():
        return []
    named = ((_made_at(file.name), file) for file in folder.iterdir())
    return sorted(((at, file) for at, file in named if at is not None), reverse=True)


def _made_at(name: str) -> datetime | None:
    found = _NAME.fullmatch(name)
    try:
        return datetime.strptime(found[1], "%Y%m%dT%H%M%S%z") if found else None
    except ValueError:
        return None


def keep_newest(folder: Path, keep: int, made: Backup) -> tuple[list[Path], list[Path]]:
    """Drop all but the newest backups of a folder, `made` among those that stay; gives (those dropped, those spared).

    - Names go by the clock, and a clock can have been wrong: `made` is the newest whatever they say, and
      those dated after it are the first to go.
    - What is another household's is neither counted nor dropped.
    - A log only grows. One that holds more of it than `made` is of a household that is not in the data folder any more,
      because its disk is not there, say; it may be the last of it, and is spared.
    """
    others = [file for _, file in backups_in(folder) if file.name != made.file.name]
    others = [file for file in others if may_be_of(made.manifest.household, file)]
    others.sort(key=lambda file: file.name > made.file.name)  # the newest first as before, and those ahead behind all
    dropped: list[Path] = []
    spared: list[Path] = []
    for file in others[max(keep, 1) - 1 :]:
        if _holds_more(file, made.manifest):
            spared.append(file)
        else:
            file.unlink(missing_ok=True)
            dropped.append(file)
    return dropped, spared


def may_be_of(household: str | None, file: Path) -> bool:
    """Whether a backup may be of this household: of no other one, as far as can be told."""
    try:
        with BackupReader(file) as backup:
            return None in (household, backup.manifest.household) or household == backup.manifest.household
    except BadBackup:
        return True


async def household_of(database: Database) -> str | None:
    """What tells this household's backups from others'; None while its log is empty."""
    rows = await database.reader.execute_fetchall(_FIRST_ENTRY)
    return next((str(row[0]) for row in rows), None)


def _holds_more(file: Path, than: Manifest) -> bool:
    try:
        with BackupReader(file) as backup:
            return backup.manifest.last_seq > than.last_seq
    except BadBackup:
        return False


def sync_folder(folder: Path) -> None:
    """Bring the names in a folder onto the disk, so that they outlive a power cut; Windows has no such call."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _copy_database(file: Path, copy: Path, tell: Tell) -> None:
    os.close(os.open(copy, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    with closing(sqlite3.connect(file, isolation_level=None)) as source, closing(sqlite3.connect(copy)) as into:
        source.execute("PRAGMA busy_timeout=5000")
        # A copy in steps begins again whenever somebody writes; inside a reading transaction nothing changes.
        source.execute("BEGIN")
        source.execute("SELECT count(*) FROM sqlite_master").fetchone()
        source.backup(
            into, pages=_PAGES_AT_ONCE, progress=lambda _, left, of: tell("copying the log", of - left, of), sleep=0
        )
        source.execute("ROLLBACK")
        into.execute("PRAGMA journal_mode=DELETE")  # one file, without a second beside it


def _pack(data: Path, copy: Path, part: Path, now: datetime, tell: Tell) -> Manifest:
    writer = BackupWriter(part)
    try:
        with closing(sqlite3.connect(copy)) as connection:
            manifest = _told_by(connection, now)
            photos = _photos(connection)
        writer.add(DATABASE_NAME, copy, packed=True)
        copy.unlink()
        lacking = _pack_photos(writer, data, photos, tell)
        manifest = replace(manifest, photos=len(photos), members=writer.members).without(lacking)
        writer.finish(manifest)
        return manifest
    finally:
        writer.close()


def _pack_photos(writer: BackupWriter, data: Path, photos: list[tuple[str, int]], tell: Tell) -> list[str]:
    """Pack both files of each photo; gives the sums of those that are missing or damaged, which stop no backup."""
    lacking: list[str] = []
    for done, (photo, size) in enumerate(photos, 1):
        folder = Path(FOLDER_NAME, photo[:2])
        if photo_trouble(data / folder, photo, size):
            lacking.append(photo)
        else:
            for one in (folder / f"{photo}.small.jpg", folder / f"{photo}.jpg"):
                writer.add(one.as_posix(), data / one, packed=False)
        tell("packing photos", done, len(photos))
    return lacking


def _told_by(copy: sqlite3.Connection, now: datetime) -> Manifest:
    """What the manifest says of the log; its members come later."""
    (schema_number,) = copy.execute("PRAGMA user_version").fetchone()
    (epoch,) = copy.execute("SELECT value FROM meta WHERE key = 'epoch'").fetchone()
    last_seq, last_at = copy.execute("SELECT ifnull(max(seq), 0), max(received_at) FROM entry").fetchone()
    first = copy.execute(_FIRST_ENTRY).fetchone()
    return Manifest(
        format=FORMAT,
        household=first[0] if first else None,
        made_at=now,
        version=__version__,
        schema_number=schema_number,
        epoch=epoch,
        last_seq=last_seq,
        last_at=datetime.fromisoformat(last_at) if last_at else None,
        photos=0,
        members=(),
    )


def _photos(copy: sqlite3.Connection) -> list[tuple[str, int]]:
    """The sum of each photo, and the size of its two files together [bytes]."""
    tables = copy.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name = 'photo'").fetchall()
    return copy.execute("SELECT sum, bytes FROM photo ORDER BY sum").fetchall() if tables else []


def _require_room(data: Path, to: Path) -> None:
    """Room for the copy, for the archive, and for trying it."""
    database = (data / DATABASE_NAME).stat().st_size
    photos = sum(file.stat().st_size for file in (data / FOLDER_NAME).glob("*/*"))
    need, free = 3 * database + 2 * photos + _SPARE_BYTES, shutil.disk_usage(to).free
    if free < need:
        raise StorageUnavailable(
            f"a backup made and tried in {to} takes up to {need / 1e6:,.0f} MB, and {free / 1e6:,.0f} MB are free"
        )


def _drop_left_over(folder: Path) -> None:
    """What a backup that was killed left; another one that runs is younger than this."""
    for one in folder.glob(_LEFT_OVER):
        if time.time() - one.stat().st_mtime > _LEFT_OVER_AFTER_S:
            shutil.rmtree(one) if one.is_dir() else one.unlink(missing_ok=True)
