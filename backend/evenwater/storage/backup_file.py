"""A backup as a file: one ZIP archive with the database, every photo's two files, and a manifest of their hashes.

What is read from one is trusted as little as anything that comes from outside, and nothing in it decides where
something is written:

- Its members are those of the manifest, under names of ours alone, each a plain file and there once. So there is no way
  out of the folder, no link, no device.
- No more of a member is unpacked than the manifest says it has, and none at all when the disk has no room for the sum.
- Each is held to its hash: the database comes out as it was or nothing does, a photo that has changed is left out. That
  finds what has rotted or was cut off; whoever can write the file can write the hashes as well, so keep backups where
  you keep what they are copies of.
"""

import contextlib
import hashlib
import os
import re
import stat
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import IO, Annotated, Final

import msgspec
from msgspec import Meta, Struct
from msgspec.structs import replace

from evenwater.settings import DATABASE_NAME
from evenwater.storage.errors import BadBackup
from evenwater.storage.photos import FOLDER_NAME
from evenwater.storage.progress import Tell, unseen

MANIFEST: Final = "manifest.json"
FORMAT: Final = 1
_PHOTO = re.compile(rf"{FOLDER_NAME}/([0-9a-f]{{2}})/\1[0-9a-f]{{62}}(\.small)?\.jpg")
_MOST_MANIFEST_BYTES = 100_000_000
_CHUNK = 1 << 20
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError, ValueError, RuntimeError)

Sum = Annotated[str, Meta(pattern=r"^[0-9a-f]{64}\Z")]
Count = Annotated[int, Meta(ge=0, le=1 << 50)]


class Member(Struct, frozen=True, forbid_unknown_fields=True):
    """A file of the backup: its size [bytes], and the SHA-256 of what is in it."""

    name: str
    size: Count
    sha256: Sum


class Manifest(Struct, frozen=True, kw_only=True):
    """What a backup holds: when and by which version it was made, and of which log, up to which entry.

    `last_at`: when the last entry came; None for an empty log. `lacking`: photos the log names as kept and that are not
    in it, their files being missing or damaged. `household`: the id of the log's first entry, which stays whatever
    becomes of the household; None for an empty log, and in backups of older versions.
    """

    format: Annotated[int, Meta(ge=1)]
    made_at: datetime
    version: str
    schema_number: Count
    epoch: str
    last_seq: Count
    last_at: datetime | None
    photos: Count
    lacking: tuple[Sum, ...] = ()
    household: str | None = None
    members: tuple[Member, ...]

    @property
    def unpacked_bytes(self) -> int:
        """What it takes on the disk [bytes]."""
        return sum(one.size for one in self.members)

    def without(self, photos: Sequence[str]) -> "Manifest":
        """The same, with these photos lacking."""
        return replace(self, photos=self.photos - len(photos), lacking=(*self.lacking, *photos))


class BackupWriter:
    """Writes a backup, member by member; `finish` makes it whole."""

    def __init__(self, file: Path) -> None:
        handle = os.open(file, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
        self._out = os.fdopen(handle, "w+b")
        self._zip = zipfile.ZipFile(self._out, "w", allowZip64=True)
        self._members: list[Member] = []

    @property
    def members(self) -> tuple[Member, ...]:
        return tuple(self._members)

    def add(self, name: str, source: Path, *, packed: bool) -> int:
        """Add a file; returns its size [bytes]. Pictures are packed already."""
        about = zipfile.ZipInfo(name)
        about.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
        about.external_attr = (stat.S_IFREG | 0o600) << 16
        about.file_size = source.stat().st_size
        digest, size = hashlib.sha256(), 0
        with source.open("rb") as read, self._zip.open(about, "w") as out:
            while chunk := read.read(_CHUNK):
                digest.update(chunk)
                out.write(chunk)
                size += len(chunk)
        self._members.append(Member(name, size, digest.hexdigest()))
        return size

    def finish(self, manifest: Manifest) -> None:
        """Write the manifest, and bring all of it onto the disk."""
        about = zipfile.ZipInfo(MANIFEST)
        about.compress_type = zipfile.ZIP_DEFLATED
        about.external_attr = (stat.S_IFREG | 0o600) << 16
        self._zip.writestr(about, msgspec.json.encode(manifest))
        self._zip.close()
        self._out.flush()
        os.fsync(self._out.fileno())

    def close(self) -> None:
        """Let go of the file, finished or not."""
        with contextlib.suppress(OSError):  # on a full disk its end cannot be written, and need not be
            self._zip.close()
        self._out.close()


class BackupReader:
    """An opened backup whose names and sizes have been looked at. Use it as a context."""

    def __init__(self, file: Path) -> None:
        """
        Raises:
            BadBackup: it is none, or not as it was made.
        """
        self.file = file
        try:
            self._zip = zipfile.ZipFile(file)
        except FileNotFoundError:
            raise BadBackup(f"there is no file {file}") from None
        except _BROKEN as error:
            raise BadBackup(f"{file.name} is no backup, or it was cut off ({error})") from error
        try:
            self.manifest = self._read_manifest()
            self._require_members()
        except BaseException:
            self._zip.close()
            raise

    def __enter__(self) -> "BackupReader":
        return self

    def __exit__(self, *_: object) -> None:
        self._zip.close()

    def unpack(self, folder: Path, tell: Tell = unseen) -> tuple[str, ...]:
        """Write every member into a folder, each held to its size and hash; gives the sums of photos left out.

        Raises:
            BadBackup: the database is not as it was made.
            OSError: the disk is full, or cannot be written.
        """
        done, of = 0, self.manifest.unpacked_bytes
        left_out: dict[str, None] = {}
        for member in self.manifest.members:
            target = folder.joinpath(*member.name.split("/"))
            target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            try:
                self._write(member, target)
            except BadBackup:
                if member.name == DATABASE_NAME:
                    raise
                target.unlink()  # the log is not lost with a photo
                left_out[target.name.partition(".")[0]] = None
            done += member.size
            tell("unpacking", done, of)
        return tuple(left_out)

    def _write(self, member: Member, target: Path) -> None:
        handle = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as out:
            for chunk in self._content(member):
                out.write(chunk)
            out.flush()
            os.fsync(out.fileno())

    def _content(self, member: Member) -> Iterator[bytes]:
        """A member's bytes; after the last one it is known to be whole."""
        digest, left = hashlib.sha256(), member.size
        with self._opened(member.name) as read:
            while True:
                chunk = self._read(read, min(_CHUNK, left + 1), member.name)
                left -= len(chunk)
                if left < 0:
                    raise BadBackup(f"{member.name} holds more than its {member.size} bytes")
                if not chunk:
                    break
                digest.update(chunk)
                yield chunk
        if left or digest.hexdigest() != member.sha256:
            raise BadBackup(f"{member.name} is not what was backed up: its bytes have changed")

    def _read_manifest(self) -> Manifest:
        if MANIFEST not in self._zip.namelist():
            raise BadBackup(f"{self.file.name} is no backup of this program: it has no {MANIFEST}")
        with self._opened(MANIFEST) as read:
            content = self._read(read, _MOST_MANIFEST_BYTES + 1, MANIFEST)
        if len(content) > _MOST_MANIFEST_BYTES:
            raise BadBackup(f"the {MANIFEST} is larger than any of ours")
        try:
            manifest = msgspec.json.decode(content, type=Manifest)
        except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
            raise BadBackup(f"the {MANIFEST} cannot be read ({error})") from error
        if manifest.format > FORMAT:
            raise BadBackup(f"it was made by a newer version ({manifest.version}): use that one, or a newer one")
        return manifest

    def _require_members(self) -> None:
        there = {one.filename: one for one in self._zip.infolist()}
        if len(there) != len(self._zip.infolist()):
            raise BadBackup("two members have one name")
        told = {one.name: one.size for one in self.manifest.members}
        if DATABASE_NAME not in told or len(told) != len(self.manifest.members):
            raise BadBackup(f"its {MANIFEST} does not name {DATABASE_NAME} and every other file once")
        for name, about in there.items():
            if name == MANIFEST:
                continue
            if name != DATABASE_NAME and not _PHOTO.fullmatch(name):
                raise BadBackup(f"it holds {name!r}, which is no file of a household")
            kind = stat.S_IFMT(about.external_attr >> 16)  # 0 where another program packed it anew
            if kind not in (0, stat.S_IFREG):
                raise BadBackup(f"{name} is a link or a device, and no file")
            if about.file_size != told.get(name):
                raise BadBackup(f"{name} is not as the {MANIFEST} says")
        if lacking := told.keys() - there.keys():
            raise BadBackup(f"{min(lacking)} is missing")

    def _opened(self, name: str) -> IO[bytes]:
        try:
            return self._zip.open(name)
        except _BROKEN as error:
            raise BadBackup(f"{name} cannot be read ({error})") from error

    @staticmethod
    def _read(read: IO[bytes], most: int, name: str) -> bytes:
        try:
            return read.read(most)
        except _BROKEN as error:
            raise BadBackup(f"{name} is damaged or was cut off ({error})") from error
