"""Photos: a row for each in the database, its two files in a folder beside it.

Files, because the database is copied aside before each migration and with each backup, and pictures would make that a
hundred times as much; and because a phone's log must never wait while somebody's picture is written.

- A photo is written whole under another name and renamed, the small file first and the row last. So a row means that
  both files are whole. What a crash leaves, `match_folder` puts right at the next start: a photo without its row gets
  one, a row without its photo goes, so that a device that asks is told that it is lacking and sends it again.
- Files are for this account's eyes alone, as everything the server writes.
"""

import asyncio
import os
import re
import secrets
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

import msgspec

from evenwater.storage.database import Database, in_text
from evenwater.storage.errors import StorageUnavailable
from evenwater.storage.picture import NoPicture, Redrawn, redrawn, size_of

FOLDER_NAME = "photos"
_WHOLE = re.compile(r"([0-9a-f]{64})\.jpg")
_COLUMNS = "sum, bytes, width_px, height_px, kept_at, author"

Size = Literal["whole", "small"]


class KeptPhoto(msgspec.Struct, frozen=True, kw_only=True):
    """A photo that is here. `sum`: SHA-256 of the bytes that were sent, its name everywhere; `bytes`: of its files."""

    sum: str
    bytes: int
    width_px: int
    height_px: int
    kept_at: datetime
    author: str | None


class NoRoom(Exception):
    """The household's photos fill the room there is for them [bytes]."""

    def __init__(self, room_bytes: int) -> None:
        super().__init__(room_bytes)
        self.room_bytes = room_bytes


class PhotoStore:
    """A household's photos; `room_bytes` is how much of the disk they may take."""

    def __init__(self, database: Database, room_bytes: int) -> None:
        self._database = database
        self._room_bytes = room_bytes
        self._folder = database.path.parent / FOLDER_NAME
        # Decoding takes memory and a core: one at a time, and so the room is counted right as well.
        self._turn = asyncio.Lock()

    async def find(self, photo_sum: str) -> KeptPhoto | None:
        """The photo of that sum."""
        rows = await self._database.reader.execute_fetchall(f"SELECT {_COLUMNS} FROM photo WHERE sum = ?", (photo_sum,))
        read = (dict(zip(_COLUMNS.split(", "), row, strict=True)) for row in rows)
        return next((msgspec.convert(row, KeptPhoto, strict=False) for row in read), None)

    async def lacking(self, sums: Sequence[str]) -> list[str]:
        """Those of the sums that are not here, in their order."""
        rows = await self._database.reader.execute_fetchall(
            "SELECT sum FROM photo WHERE sum IN (SELECT value FROM json_each(?))", (msgspec.json.encode(sums).decode(),)
        )
        here = {row[0] for row in rows}
        return [one for one in sums if one not in here]

    async def keep(self, photo_sum: str, content: bytes, author: str | None, now: datetime) -> tuple[KeptPhoto, bool]:
        """Draw what was sent anew and keep that; (the photo, whether it was here already).

        Raises:
            NoPicture, TooManyPixels: it cannot be kept.
            NoRoom: the household's photos fill the room there is.
            StorageUnavailable: the disk is full or cannot be written; nothing was kept.
        """
        async with self._turn:
            here = await self.find(photo_sum)
            if here is not None:
                return here, True
            picture = await asyncio.to_thread(redrawn, content)
            size = len(picture.whole) + len(picture.small)
            if await self._bytes_kept() + size > self._room_bytes:
                raise NoRoom(self._room_bytes)
            try:
                await asyncio.to_thread(self._write, photo_sum, picture)
            except OSError as error:
                raise StorageUnavailable(f"{self._folder}: {error}") from error
            width, height = picture.width_px, picture.height_px
            photo = KeptPhoto(sum=photo_sum, bytes=size, width_px=width, height_px=height, kept_at=now, author=author)
            await self._add_rows([photo])
            return photo, False

    async def read(self, photo: KeptPhoto, size: Size) -> bytes | None:
        """The JPEG itself; None when somebody has taken the file away."""
        try:
            return await asyncio.to_thread(self._file(photo.sum, size).read_bytes)
        except FileNotFoundError:
            return None

    async def match_folder(self) -> None:
        """Make rows and files agree, as at a start after a crash or after one of them was put back from a copy."""
        rows = await self._database.reader.execute_fetchall("SELECT sum FROM photo")
        known = {str(row[0]) for row in rows}
        there = await asyncio.to_thread(self._whole_ones)
        unknown = await asyncio.to_thread(lambda: [self._as_found(one) for one in sorted(there - known)])
        await self._add_rows([photo for photo in unknown if photo is not None])
        gone = known - there
        if gone:
            async with self._database.transaction() as connection:
                await connection.executemany("DELETE FROM photo WHERE sum = ?", [(one,) for one in gone])

    async def _bytes_kept(self) -> int:
        rows = await self._database.reader.execute_fetchall("SELECT ifnull(sum(bytes), 0) FROM photo")
        return int(next(iter(rows))[0])

    async def _add_rows(self, photos: Sequence[KeptPhoto]) -> None:
        if not photos:
            return
        async with self._database.transaction() as connection:
            await connection.executemany(
                f"INSERT OR IGNORE INTO photo ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?)",
                [(one.sum, one.bytes, one.width_px, one.height_px, in_text(one.kept_at), one.author) for one in photos],
            )

    def _file(self, photo_sum: str, size: Size) -> Path:
        ending = "jpg" if size == "whole" else "small.jpg"
        return self._folder / photo_sum[:2] / f"{photo_sum}.{ending}"

    def _write(self, photo_sum: str, picture: Redrawn) -> None:
        self._folder.mkdir(mode=0o700, exist_ok=True)
        whole = self._file(photo_sum, "whole")
        whole.parent.mkdir(mode=0o700, exist_ok=True)
        _write_whole(self._file(photo_sum, "small"), picture.small)
        _write_whole(whole, picture.whole)

    def _whole_ones(self) -> set[str]:
        """The sums both of whose files are in the folder; what was cut off on its way there is thrown away."""
        files = list(self._folder.glob("*/*"))
        for file in files:
            if file.suffix == ".part":
                file.unlink(missing_ok=True)
        there = set(files)
        sums = [name[1] for file in files if (name := _WHOLE.fullmatch(file.name))]
        return {one for one in sums if {self._file(one, "whole"), self._file(one, "small")} <= there}

    def _as_found(self, photo_sum: str) -> KeptPhoto | None:
        """What its files tell of a photo; None when they are none."""
        whole = self._file(photo_sum, "whole")
        about = whole.stat()
        try:
            width, height = size_of(whole.read_bytes())
        except NoPicture:
            return None
        return KeptPhoto(
            sum=photo_sum,
            bytes=about.st_size + self._file(photo_sum, "small").stat().st_size,
            width_px=width,
            height_px=height,
            kept_at=datetime.fromtimestamp(about.st_mtime, UTC),
            author=None,
        )


def _write_whole(file: Path, content: bytes) -> None:
    """All of it or nothing, on the disk before this returns."""
    aside = file.with_name(f"{file.name}.{secrets.token_hex(4)}.part")
    handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        os.replace(aside, file)
    except BaseException:
        aside.unlink(missing_ok=True)
        raise
    if hasattr(os, "O_DIRECTORY"):  # the name itself must outlive a power cut; Windows has no such call
        folder = os.open(file.parent, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
