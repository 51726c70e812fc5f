"""A backup put back into a folder that holds no household: whole, or not at all.

- It is unpacked and checked aside, in `restoring` inside the folder, and moved into place at the end, the database
  last. Where that was cut off there is no database, and the server does not start there: `require_no_half`.
- The log begins a new epoch, so that every device sends again what it recorded since the backup was made.
- Who was signed in, helpers' links, probes' keys and calendar addresses are ended, because some may have been ended
  since; so is mail that was waiting, because it has gone out since. Nobody's passphrase changes.
"""

import os
import shutil
import sqlite3
import uuid
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any, Final

import msgspec
from msgspec import Struct

from evenwater.domain.rounds.heard.notices import PutBack
from evenwater.settings import DATABASE_NAME
from evenwater.storage.backup import sync_folder
from evenwater.storage.backup_file import BackupReader, Manifest
from evenwater.storage.database import Database, in_text, migrations
from evenwater.storage.errors import BadBackup, NotOurs, StorageUnavailable
from evenwater.storage.photos import FOLDER_NAME
from evenwater.storage.progress import Tell, unseen
from evenwater.storage.schema import require_own_schema

STAGING: Final = "restoring"
_SPARE_BYTES: Final = 20_000_000
_ENDED: Final = {
    "session": "UPDATE session SET revoked_at = :now WHERE revoked_at IS NULL",
    "helper_link": "UPDATE helper_link SET revoked_at = :now WHERE revoked_at IS NULL",
    "helper_device": "UPDATE helper_device SET ended_at = :now WHERE ended_at IS NULL",
    "probe_key": "UPDATE probe_key SET revoked_at = :now WHERE revoked_at IS NULL",
    "calendar_feed": "DELETE FROM calendar_feed",
    "push_subscription": "DELETE FROM push_subscription",
}
_NOT_SENT: Final = (
    "UPDATE message SET state = 'given_up', trouble = 'the server was restored from a backup', text = '', html = NULL,"
    " ways_out = '{}' WHERE state = 'waiting'"
)


class Restored(Struct, frozen=True, kw_only=True):
    """What was put back. `epoch`: the log's new one; `access_ended`: whether everybody has to sign in again."""

    folder: Path
    manifest: Manifest
    epoch: str
    access_ended: bool


Look = Callable[[Path], None]
"""Looks at an unpacked household; raises what keeps it from being put into place."""


def restore(
    file: Path, data: Path, now: datetime, look: Look, tell: Tell = unseen, *, keep_access: bool = False
) -> Restored:
    """Put a backup into a folder.

    Args:
        file: The backup.
        data: The folder; made where there is none.
        now: When this is.
        look: Called with the unpacked household before it is put into place.
        tell: How far it has come.
        keep_access: Whether devices stay signed in and links and keys good, as on moving to another machine.

    Raises:
        BadBackup: the backup cannot be used.
        StorageUnavailable: a household is there already, no room, or the folder cannot be written.
    """
    with BackupReader(file) as backup:
        _require_known(backup.manifest)
        _require_no_household(data)
        staging = data / STAGING
        try:
            data.mkdir(parents=True, exist_ok=True, mode=0o700)
            _clear(data)
            _require_room(data, backup.manifest)
            staging.mkdir(mode=0o700)
            manifest = backup.manifest.without(backup.unpack(staging, tell))
            look(staging)
            epoch = _begin_anew(staging / DATABASE_NAME, backup.manifest, now, keep_access=keep_access)
            _move_in(staging, data)
        except OSError as error:
            _clear(data)
            raise StorageUnavailable(f"it cannot be written to {data}: {error.strerror or error}") from error
        except sqlite3.DatabaseError as error:
            _clear(data)
            raise BadBackup(f"its {DATABASE_NAME} cannot be used ({error})") from error
        except NotOurs as error:
            _clear(data)
            raise BadBackup(f"its {DATABASE_NAME} is none of ours: {error}") from error
        except BaseException:
            _clear(data)
            raise
    return Restored(folder=data, manifest=manifest, epoch=epoch, access_ended=not keep_access)


def try_backup(file: Path, folder: Path, look: Look, tell: Tell = unseen) -> Manifest:
    """Restore a backup into a folder made for it, look at it, and throw the folder away.

    Raises:
        BadBackup: the backup cannot be used.
        StorageUnavailable: no room, or the folder cannot be written.
    """
    with BackupReader(file) as backup:
        _require_known(backup.manifest)
        try:
            folder.mkdir(parents=True, mode=0o700)
            _require_room(folder, backup.manifest)
            manifest = backup.manifest.without(backup.unpack(folder, tell))
            look(folder)
        except NotOurs as error:
            raise BadBackup(f"its {DATABASE_NAME} is none of ours: {error}") from error
        except OSError as error:
            raise StorageUnavailable(f"it cannot be tried in {folder}: {error.strerror or error}") from error
        finally:
            shutil.rmtree(folder, ignore_errors=True)
        return manifest


async def put_back_since(database: Database, since: datetime) -> PutBack | None:
    """When the household was last put back from a backup, unless that is longer ago."""
    rows = await database.reader.execute_fetchall("SELECT value FROM meta WHERE key = 'restored'")
    found = next((msgspec.json.decode(row[0], type=PutBack) for row in rows), None)
    return found if found is not None and found.restored_at >= since else None


def require_no_half(data: Path) -> None:
    """
    Raises:
        StorageUnavailable: a restore was cut off in this folder, and what is there is half of something.
    """
    if (data / STAGING).exists() and not (data / DATABASE_NAME).exists():
        raise StorageUnavailable(f"a restore was cut off here: restore once more, or remove {data / STAGING}")


def _require_known(manifest: Manifest) -> None:
    newest = migrations()[-1][0]
    if manifest.schema_number > newest:
        made_by = f"version {manifest.version}, schema {manifest.schema_number}"
        raise BadBackup(f"it was made by a newer version ({made_by}); this one knows schema {newest}")


def _require_no_household(data: Path) -> None:
    if any(data.glob(f"{DATABASE_NAME}*")):
        raise StorageUnavailable(f"there is a household in {data} already: name an empty folder with --data")
    if (data / FOLDER_NAME).exists() and not (data / STAGING).exists():
        raise StorageUnavailable(f"there are photos in {data} already: name an empty folder with --data")


def _require_room(folder: Path, manifest: Manifest) -> None:
    need, free = manifest.unpacked_bytes + _SPARE_BYTES, shutil.disk_usage(folder).free
    if free < need:
        raise StorageUnavailable(
            f"unpacked in {folder} it takes {need / 1e6:,.0f} MB, and {free / 1e6:,.0f} MB are free"
        )


def _clear(data: Path) -> None:
    """Throw away what a restore that was cut off left; photos beside it are its own, since no database is there."""
    if (data / STAGING).exists():
        if not (data / DATABASE_NAME).exists():
            shutil.rmtree(data / FOLDER_NAME, ignore_errors=True)
        shutil.rmtree(data / STAGING)


def _begin_anew(file: Path, manifest: Manifest, now: datetime, *, keep_access: bool) -> str:
    """Give the log a new epoch, end what may have been ended since; returns the epoch."""
    epoch = uuid.uuid4().hex
    told = PutBack(manifest.made_at, now, access_ended=not keep_access)
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        require_own_schema(connection)  # before the first change: a trigger in it would run with it
        tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("UPDATE meta SET value = ? WHERE key = 'epoch'", (epoch,))
        connection.execute("INSERT OR REPLACE INTO meta VALUES ('restored', ?)", (msgspec.json.encode(told).decode(),))
        connection.execute("DELETE FROM meta WHERE key IN ('no_backup', 'backup_apart')")
        if "message" in tables:
            connection.execute(_NOT_SENT)
        for table, statement in _ENDED.items():
            if table in tables and not keep_access:
                values: dict[str, Any] = {"now": in_text(now)} if ":now" in statement else {}
                connection.execute(statement, values)
        connection.execute("COMMIT")
    return epoch


def _move_in(staging: Path, data: Path) -> None:
    if (staging / FOLDER_NAME).is_dir():
        os.replace(staging / FOLDER_NAME, data / FOLDER_NAME)
    os.replace(staging / DATABASE_NAME, data / DATABASE_NAME)
    sync_folder(data)
    shutil.rmtree(staging, ignore_errors=True)
    sync_folder(data)
