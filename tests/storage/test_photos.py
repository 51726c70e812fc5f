"""Photos: a row and two files each, whole or not at all, and made to agree after a crash or a copy put back."""

import hashlib
import os
import sqlite3
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pictures import jpeg, opened, picture

from evenwater.domain.people import Person
from evenwater.storage.database import Database, migrations
from evenwater.storage.errors import StorageUnavailable
from evenwater.storage.people import add_first_person
from evenwater.storage.photos import KeptPhoto, NoRoom, PhotoStore
from evenwater.storage.picture import NoPicture

NOW = datetime(2026, 11, 24, 16, 45, tzinfo=UTC)
MARIT = Person("019a4a3e-7c00-7000-8000-000000000003", "Marit", NOW)
ROOM = 10_000_000
SENT = jpeg(picture(900, 600))


def sum_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


@asynccontextmanager
async def household(path: Path, room_bytes: int = ROOM) -> AsyncIterator[tuple[PhotoStore, Database]]:
    database = await Database.open(path)
    try:
        await add_first_person(database, MARIT, "no hash")
        yield PhotoStore(database, room_bytes), database
    finally:
        await database.close()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "evenwater.sqlite"


async def keep(store: PhotoStore, content: bytes = SENT) -> KeptPhoto:
    photo, was_here = await store.keep(sum_of(content), content, MARIT.id, NOW)
    assert not was_here
    return photo


def files(path: Path) -> list[Path]:
    return sorted(one for one in (path.parent / "photos").rglob("*") if one.is_file())


async def test_a_photo_is_found_and_read_in_both_sizes_under_the_sum_it_was_sent_by(path: Path) -> None:
    async with household(path) as (store, _):
        photo = await keep(store)
        assert photo == await store.find(sum_of(SENT))
        assert (photo.width_px, photo.height_px, photo.author, photo.kept_at) == (900, 600, MARIT.id, NOW)
        whole, small = await store.read(photo, "whole"), await store.read(photo, "small")
        assert whole and small and len(whole) + len(small) == photo.bytes
        assert (opened(whole).size, opened(small).size) == ((900, 600), (320, 213))
        assert sum_of(whole) != photo.sum, "what was sent is thrown away"


async def test_the_same_photo_twice_is_one(path: Path) -> None:
    async with household(path) as (store, _):
        photo = await keep(store)
        before = [(file, file.stat().st_mtime_ns) for file in files(path)]
        assert await store.keep(photo.sum, SENT, MARIT.id, NOW) == (photo, True)
        assert [(file, file.stat().st_mtime_ns) for file in files(path)] == before


async def test_of_many_sums_those_not_here_are_named_in_their_order(path: Path) -> None:
    async with household(path) as (store, _):
        photo = await keep(store)
        assert await store.lacking(["b" * 64, photo.sum, "a" * 64]) == ["b" * 64, "a" * 64]
        assert await store.find("a" * 64) is None


@pytest.mark.skipif(sys.platform == "win32", reason="Windows keeps rights another way (2026-11-26)")
async def test_files_are_for_this_accounts_eyes_alone_whatever_is_usual_here(path: Path) -> None:
    usual = os.umask(0)
    try:
        async with household(path) as (store, _):
            await keep(store)
    finally:
        os.umask(usual)
    assert len(files(path)) == 2
    assert {file.stat().st_mode & 0o777 for file in files(path)} == {0o600}
    assert {folder.stat().st_mode & 0o777 for folder in (path.parent / "photos").glob("**/")} == {0o700}


async def test_what_would_not_fit_is_refused_and_leaves_nothing_and_what_fits_is_kept(path: Path) -> None:
    async with household(path) as (store, database):
        size = (await keep(store)).bytes
        full = PhotoStore(database, room_bytes=2 * size - 1)
        other = jpeg(picture(900, 600, seed=7))
        with pytest.raises(NoRoom) as refused:
            await keep(full, other)
        assert refused.value.room_bytes == 2 * size - 1
        assert len(files(path)) == 2 and await store.find(sum_of(other)) is None
        await keep(PhotoStore(database, room_bytes=3 * size), other)
        assert len(files(path)) == 4


async def test_a_photo_that_is_none_leaves_nothing(path: Path) -> None:
    async with household(path) as (store, _):
        with pytest.raises(NoPicture):
            await keep(store, b"no picture at all")
        assert files(path) == []


async def test_a_disk_that_cannot_be_written_leaves_nothing(path: Path) -> None:
    async with household(path) as (store, database):
        (path.parent / "photos").write_text("in the way")
        with pytest.raises(StorageUnavailable, match="photos"):
            await keep(store)
        (path.parent / "photos").unlink()
        assert await store.find(sum_of(SENT)) is None
        await keep(store)
        assert await PhotoStore(database, ROOM).find(sum_of(SENT)) is not None


async def test_a_photo_whose_row_a_crash_cost_gets_one_again(path: Path) -> None:
    async with household(path) as (store, database):
        photo = await keep(store)
        async with database.transaction() as connection:
            await connection.execute("DELETE FROM photo")
        await store.match_folder()
        found = await store.find(photo.sum)
        assert found is not None and found.author is None
        assert (found.bytes, found.width_px, found.height_px) == (photo.bytes, 900, 600)


@pytest.mark.parametrize("lost", ["whole", "small", "both"])
async def test_a_row_whose_files_are_gone_goes_too_so_that_a_device_sends_again(path: Path, lost: str) -> None:
    async with household(path) as (store, _):
        photo = await keep(store)
        for file in files(path):
            if lost == "both" or (".small." in file.name) == (lost == "small"):
                file.unlink()
        if lost != "small":
            assert await store.read(photo, "whole") is None
        await store.match_folder()
        assert await store.lacking([photo.sum]) == [photo.sum]
        assert await keep(store) == photo


async def test_what_was_cut_off_while_it_was_written_is_thrown_away(path: Path) -> None:
    async with household(path) as (store, _):
        photo = await keep(store)
        folder = path.parent / "photos"
        left = {"c": b"half a pict", "d": b"whole, without its small one", "e": b"no picture"}
        for letter in left:
            (folder / (2 * letter)).mkdir()
        (folder / "cc" / f"{'c' * 64}.jpg.0badcafe.part").write_bytes(left["c"])
        (folder / "dd" / f"{'d' * 64}.jpg").write_bytes(left["d"])
        (folder / "ee" / f"{'e' * 64}.jpg").write_bytes(left["e"])
        (folder / "ee" / f"{'e' * 64}.small.jpg").write_bytes(left["e"])
        (folder / "letter.txt").write_text("somebody else's")
        await store.match_folder()
        assert await store.lacking(["c" * 64, "d" * 64, "e" * 64]) == ["c" * 64, "d" * 64, "e" * 64]
        assert [file.name for file in files(path) if file.suffix == ".part"] == []
        assert (folder / "letter.txt").exists()
        assert await store.find(photo.sum) == photo


async def test_a_household_without_photos_has_no_folder_and_nothing_to_match(path: Path) -> None:
    async with household(path) as (store, _):
        await store.match_folder()
        assert not (path.parent / "photos").exists()


async def test_a_database_from_before_photos_gets_its_table_and_keeps_the_rest(path: Path) -> None:
    before = [(number, file) for number, file in migrations() if number < 4]
    with closing(sqlite3.connect(path)) as old:
        for number, file in before:
            old.executescript(f"BEGIN;{file.read_text(encoding='utf-8')};PRAGMA user_version={number};COMMIT;")
        old.execute("INSERT INTO meta VALUES ('epoch', 'as it was')")
        old.execute("INSERT INTO sample (series, at, value) VALUES ('main/air_c', '2026-11-03T16:00:00.000Z', 6.1)")
        old.commit()
    async with household(path) as (store, database):
        assert await database.epoch() == "as it was"
        rows = await database.reader.execute_fetchall("SELECT value FROM sample")
        assert [row[0] for row in rows] == [6.1]
        await keep(store)
    assert path.with_name("evenwater.before-0004.sqlite").exists()
