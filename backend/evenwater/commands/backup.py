"""`evenwater backup` and `evenwater restore`: a copy of the household, tried as soon as it is made, and put back."""

import argparse
import os
import secrets
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, TypeVar

from msgspec.structs import replace

from evenwater.commands.check import require_whole
from evenwater.commands.household import add_data_options, data_folder, database_file
from evenwater.commands.speaking import Parser, Progress, Stop, counted, say, size_text
from evenwater.storage.backup import Backup, back_up, keep_newest
from evenwater.storage.backup_file import Manifest
from evenwater.storage.errors import BadBackup, StorageError
from evenwater.storage.progress import Tell
from evenwater.storage.restore import Restored, restore, try_backup

Made = TypeVar("Made")
_LOOK_INTO = "`evenwater check` says how the household is; backups made before are as they were"

_BACKUP_EXAMPLES = """examples:
  evenwater backup --to /mnt/stick
  evenwater backup --to /mnt/stick --keep 14
  evenwater serve --backup-to /mnt/stick --backup-keep 14     # the same once a day, while the server runs

The server may go on running. One file holds the database and the photos; it is restored into a folder aside and checked
before the command says that it was made. It leaves out the folders `secrets` and `https`: copy those by hand to where
only you can read them.
"""
_RESTORE_EXAMPLES = """examples:
  evenwater restore evenwater-20261126T133200Z.zip --try
  evenwater restore evenwater-20261126T133200Z.zip --data /srv/pond

It goes into a folder that holds no household. The log begins a new epoch: every phone sends again what it recorded
since the backup was made. Everybody signs in anew, and links for helpers, keys for probes and calendar addresses have
to be made anew, since some may have been ended after the backup was made; --keep-access leaves them as they were.
"""


def add_commands(commands: Any) -> None:
    """Add `backup` and `restore`."""
    making: Parser = commands.add_parser(
        "backup",
        help="one file with the log and the photos, while the server runs",
        description="Make one file with the log and the photos, while the server runs, and try it.",
        epilog=_BACKUP_EXAMPLES,
    )
    making.add_argument("--to", type=Path, required=True, metavar="FOLDER", help="where backups go: another disk")
    making.add_argument("--keep", type=at_least_one, metavar="N", help="drop all but the newest N in that folder")
    making.add_argument("--untried", action="store_true", help="do not restore it aside and check it")
    making.add_argument("--gently", action="store_true", help="let everything else on this machine go first")
    add_data_options(making)
    making.set_defaults(act=_back_up, usage=making.error)
    putting: Parser = commands.add_parser(
        "restore",
        help="put a backup into an empty folder, or try whether one could",
        description="Put a backup into a folder that holds no household.",
        epilog=_RESTORE_EXAMPLES,
    )
    putting.add_argument("file", type=Path, metavar="FILE", help="the backup")
    putting.add_argument("--try", dest="only_try", action="store_true", help="restore it aside, check it, keep nothing")
    putting.add_argument(
        "--keep-access", action="store_true", help="leave devices signed in, links and keys good: on moving house"
    )
    add_data_options(putting)
    putting.set_defaults(act=_restore)


def at_least_one(text: str) -> int:
    """How many to keep, as it is typed."""
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is no number to keep: at least 1")
    return int(text)


def _back_up(asked: argparse.Namespace) -> None:
    if asked.untried and asked.keep:
        asked.usage("--keep does not go with --untried: what was tried would make way for what was not")
    data = database_file(asked).parent
    os.umask(0o077)
    if asked.gently and hasattr(os, "nice"):
        os.nice(10)
    made = _done(lambda tell: _made_and_tried(data, asked.to, tell, tried=not asked.untried), _LOOK_INTO)
    dropped, spared = keep_newest(asked.to, asked.keep, made) if asked.keep else ([], [])
    record = {
        "file": str(made.file),
        "bytes": made.bytes,
        **_held(made.manifest),
        "tried": not asked.untried,
        "dropped": [str(one) for one in dropped],
        "spared": [str(one) for one in spared],
    }
    say(asked, _backup_text(made, dropped, spared, tried=not asked.untried), record)


def _made_and_tried(data: Path, to: Path, tell: Tell, *, tried: bool) -> Backup:
    came_out: list[Manifest] = []

    def look(file: Path) -> None:
        came_out.append(try_backup(file, _folder_aside(to), lambda folder: require_whole(folder, tell), tell))

    made = back_up(data, to, datetime.now(UTC), tell, look if tried else None)
    return replace(made, manifest=came_out[0]) if came_out else made


def _restore(asked: argparse.Namespace) -> None:
    os.umask(0o077)
    if asked.only_try:
        manifest = _done(
            lambda tell: try_backup(
                asked.file, _folder_aside(asked.file.parent), lambda folder: require_whole(folder, tell), tell
            ),
            "nothing was put anywhere",
        )
        text = [f"{asked.file.name} can be restored. It holds {_held_text(manifest)}.", *_lacking_lines(manifest)]
        say(asked, "\n".join(text), {"file": str(asked.file), **_held(manifest), "tried": True})
        return
    restored = _done(
        lambda tell: restore(
            asked.file,
            data_folder(asked),
            datetime.now(UTC),
            lambda folder: require_whole(folder, tell),
            tell,
            keep_access=asked.keep_access,
        ),
        "nothing was put there",
    )
    record = {"folder": str(restored.folder), **_held(restored.manifest), "epoch": restored.epoch}
    say(asked, _restored_text(restored), record | {"access_ended": restored.access_ended})


def _done(work: Callable[[Tell], Made], otherwise: str) -> Made:
    try:
        with Progress() as tell:
            return work(tell)
    except BadBackup as error:
        raise Stop(f"the backup cannot be used: {error}; {otherwise}.", code="bad_backup", right=otherwise) from error
    except StorageError as error:
        raise Stop(f"{error}; nothing was changed.", code="storage", right="see to that, then try again") from error


def _folder_aside(beside: Path) -> Path:
    return beside / f"evenwater-trying.{secrets.token_hex(4)}.part"


def _held(manifest: Manifest) -> dict[str, Any]:
    return {
        "made_at": manifest.made_at,
        "version": manifest.version,
        "entries": manifest.last_seq,
        "last_at": manifest.last_at,
        "photos": manifest.photos,
        "lacking_photos": len(manifest.lacking),
    }


def _held_text(manifest: Manifest) -> str:
    held = f"{counted(manifest.last_seq, 'entry', 'entries')} and {counted(manifest.photos, 'photo')}"
    until = f", the last entry of {manifest.last_at:%Y-%m-%d %H:%M} UTC" if manifest.last_at else ""
    return f"{held}{until}"


def _lacking_lines(manifest: Manifest) -> list[str]:
    count = counted(len(manifest.lacking), "photo")
    return [f"Not in it: {count}, missing or damaged; `evenwater check` names each."] if manifest.lacking else []


def _backup_text(made: Backup, dropped: list[Path], spared: list[Path], *, tried: bool) -> str:
    lines = [f"{made.file} ({size_text(made.bytes)}) holds {_held_text(made.manifest)}."]
    lines.append("It was restored aside and checked." if tried else "It was not tried: `evenwater restore FILE --try`.")
    lines += _lacking_lines(made.manifest)
    if dropped:
        lines.append(f"Older ones dropped: {', '.join(one.name for one in dropped)}.")
    if spared:
        names = ", ".join(one.name for one in spared)
        lines.append(f"Not dropped: {names}, with more in the log than this one. Is this the right data folder?")
    return "\n".join(lines)


def _restored_text(restored: Restored) -> str:
    made_at = f"{restored.manifest.made_at:%Y-%m-%d %H:%M} UTC"
    lines = [
        f"{restored.folder} holds the household as of {made_at}: {_held_text(restored.manifest)}.",
        *_lacking_lines(restored.manifest),
        f"What phones recorded since comes back when each is opened within 90 days; of {made_at} until now may be"
        " missing what a lost phone, a probe or the weather service sent, and photos that only the server had.",
    ]
    if restored.access_ended:
        lines.append(
            "Everybody signs in anew, with the passphrase of then; make helpers' links, probe keys and calendar"
            " addresses anew. Notifications are switched on anew on each device."
        )
    lines.append("Put back the folders `secrets` and `https` by hand, if you have a copy, then start the server.")
    return "\n".join(lines)
