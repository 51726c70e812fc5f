"""Backups of a household that goes on being written to, and how many of them stay."""

import hashlib
import os
import sqlite3
import stat
import threading
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from kept_log import write_entry
from pictures import jpeg, picture

from evenwater.storage.backup import back_up, backups_in, keep_newest
from evenwater.storage.backup_file import BackupReader
from evenwater.storage.database import MIGRATIONS, Database
from evenwater.storage.errors import BadBackup, NotOurs, StorageUnavailable
from evenwater.storage.photos import PhotoStore

NOW = datetime(2026, 11, 26, 13, 32, tzinfo=UTC)
WRITE = "INSERT INTO sample (series, at, value) VALUES ('main/water_c', ?, 14.0)"


def unpacked(file: Path, folder: Path) -> Path:
    with BackupReader(file) as backup:
        backup.unpack(folder)
    return folder


async def test_it_holds_the_log_and_both_files_of_each_photo(database: Database, tmp_path: Path) -> None:
    await write_entry(database, 1, target="pond", field="name", value="Home")
    sent = jpeg(picture())
    photo, _ = await PhotoStore(database, 10_000_000).keep(hashlib.sha256(sent).hexdigest(), sent, None, NOW)
    made = back_up(database.path.parent, tmp_path / "stick", NOW)
    assert made.file.name == "evenwater-20261126T133200Z.zip"
    assert stat.S_IMODE(made.file.stat().st_mode) == 0o600
    told = made.manifest
    assert (told.last_seq, told.photos, told.lacking, told.epoch) == (1, 1, (), await database.epoch())
    assert told.schema_number == await database.schema_number()
    out = unpacked(made.file, tmp_path / "out")
    with closing(sqlite3.connect(out / "evenwater.sqlite")) as copy:
        assert copy.execute("SELECT count(*) FROM entry").fetchone() == (1,)
    for ending in (".jpg", ".small.jpg"):
        kept = Path("photos", photo.sum[:2], f"{photo.sum}{ending}")
        assert (out / kept).read_bytes() == (database.path.parent / kept).read_bytes()
    assert [one.name for one in (tmp_path / "stick").iterdir()] == [made.file.name]


async def test_secrets_are_no_part_of_it(database: Database, tmp_path: Path) -> None:
    for folder in ("secrets", "https"):
        (database.path.parent / folder).mkdir()
        (database.path.parent / folder / "key.pem").write_text("for nobody else")
    made = back_up(database.path.parent, tmp_path / "stick", NOW)
    assert [one.name for one in made.manifest.members] == ["evenwater.sqlite"]


async def test_a_copy_made_while_another_process_writes_is_the_log_at_one_moment(
    database: Database, tmp_path: Path
) -> None:
    """Every transaction writes a pair: a copy with half a pair would be torn."""
    stop, enough, pairs = threading.Event(), threading.Event(), []

    def write() -> None:
        with closing(sqlite3.connect(database.path, isolation_level=None, timeout=10)) as other:
            while not stop.is_set():
                n = len(pairs)
                other.execute("BEGIN IMMEDIATE")
                other.execute(WRITE, (f"a{n}" + "x" * 3000,))
                other.execute(WRITE, (f"b{n}" + "x" * 3000,))
                other.execute("COMMIT")
                pairs.append(n)
                if n == 50:
                    enough.set()

    writer = threading.Thread(target=write)
    writer.start()
    try:
        assert enough.wait(30)
        made = [back_up(database.path.parent, tmp_path / "stick", NOW + timedelta(seconds=n)) for n in range(4)]
    finally:
        stop.set()
        writer.join()
    counts = []
    for n, one in enumerate(made):
        with closing(sqlite3.connect(unpacked(one.file, tmp_path / f"out-{n}") / "evenwater.sqlite")) as copy:
            assert copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            a, b = (copy.execute(f"SELECT count(*) FROM sample WHERE at LIKE '{x}%'").fetchone()[0] for x in "ab")
            assert a == b
            counts.append(a)
    assert counts == sorted(counts) and counts[0] >= 50


@pytest.mark.parametrize("spoil", [Path.unlink, lambda file: file.write_bytes(b" " * file.stat().st_size)])
async def test_a_photo_that_is_gone_or_damaged_is_named_and_the_rest_is_backed_up(
    spoil: Callable[[Path], object], database: Database, tmp_path: Path
) -> None:
    kept = []
    for seed in range(2):
        sent = jpeg(picture(seed=seed))
        kept.append((await PhotoStore(database, 10_000_000).keep(hashlib.sha256(sent).hexdigest(), sent, None, NOW))[0])
    spoil(database.path.parent / "photos" / kept[0].sum[:2] / f"{kept[0].sum}.jpg")
    told = back_up(database.path.parent, tmp_path / "stick", NOW).manifest
    assert (told.photos, told.lacking) == (1, (kept[0].sum,))
    assert [one.name for one in told.members if kept[0].sum in one.name] == []


def test_a_household_of_an_older_version_is_backed_up_as_it_is(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "evenwater.sqlite")) as old:
        old.executescript((MIGRATIONS / "0001_start.sql").read_text())
        old.executescript("INSERT INTO meta VALUES ('epoch', 'long ago'); PRAGMA user_version=1;")
    told = back_up(tmp_path, tmp_path / "stick", NOW).manifest
    assert (told.schema_number, told.epoch, told.photos) == (1, "long ago", 0)


@pytest.mark.parametrize("content", [b"no database at all" * 100, b""])
def test_what_is_no_household_is_refused_and_nothing_is_left(content: bytes, tmp_path: Path) -> None:
    (tmp_path / "evenwater.sqlite").write_bytes(content)
    with pytest.raises((NotOurs, StorageUnavailable)):
        back_up(tmp_path, tmp_path / "stick", NOW)
    assert list((tmp_path / "stick").iterdir()) == []


async def test_a_folder_that_cannot_be_written_is_told_with_its_name(database: Database, tmp_path: Path) -> None:
    (tmp_path / "stick").write_text("a file")
    with pytest.raises(StorageUnavailable, match="stick"):
        back_up(database.path.parent, tmp_path / "stick", NOW)


async def test_no_folder_is_made_for_a_disk_that_is_not_there(database: Database, tmp_path: Path) -> None:
    with pytest.raises(StorageUnavailable, match=r"there is no folder .*media: is the disk there\?"):
        back_up(database.path.parent, tmp_path / "media" / "stick", NOW)
    assert not (tmp_path / "media").exists()


async def test_two_at_the_same_second_do_not_write_over_each_other(database: Database, tmp_path: Path) -> None:
    back_up(database.path.parent, tmp_path, NOW)
    with pytest.raises(StorageUnavailable, match="there already"):
        back_up(database.path.parent, tmp_path, NOW)


async def test_the_newest_stay_and_what_has_another_name_is_left_alone(database: Database, tmp_path: Path) -> None:
    for day in range(1, 10):
        (tmp_path / f"evenwater-202611{day:02}T030000Z.zip").touch()
    for other in ("holiday.zip", "evenwater-20261101T030000Z.bad", "evenwater-my-own.zip"):
        (tmp_path / other).touch()
    made = back_up(database.path.parent, tmp_path, NOW)
    dropped, spared = keep_newest(tmp_path, 3, made)
    assert (len(dropped), spared) == (7, [])
    assert [at.day for at, _ in backups_in(tmp_path)] == [26, 9, 8]
    assert {"holiday.zip", "evenwater-my-own.zip"} <= {one.name for one in tmp_path.iterdir()}
    assert keep_newest(tmp_path, 0, made) and [file for _, file in backups_in(tmp_path)] == [made.file]


async def test_what_was_just_made_stays_though_a_clock_that_was_wrong_named_others(
    database: Database, tmp_path: Path
) -> None:
    for year in (2031, 2032):
        (tmp_path / f"evenwater-{year}0101T030000Z.zip").touch()
    made = back_up(database.path.parent, tmp_path, NOW)
    keep_newest(tmp_path, 1, made)
    assert [file for _, file in backups_in(tmp_path)] == [made.file]


async def test_those_dated_ahead_go_before_any_that_is_not(database: Database, tmp_path: Path) -> None:
    for name in ("20310101", "20320101", "20261124", "20261125"):
        (tmp_path / f"evenwater-{name}T030000Z.zip").touch()
    keep_newest(tmp_path, 3, back_up(database.path.parent, tmp_path, NOW))
    assert [at.day for at, _ in backups_in(tmp_path)] == [26, 25, 24]


async def test_two_households_in_one_folder_count_and_drop_their_own(database: Database, tmp_path: Path) -> None:
    stick, other = tmp_path / "stick", await Database.open(tmp_path / "other" / "evenwater.sqlite")
    await write_entry(database, 1, target="pond", field="name", value="Home")
    await write_entry(other, 2, target="pond", field="name", value="The neighbours'")
    homes = (database.path.parent, other.path.parent)
    for day in range(4):
        for n, home in enumerate(homes):
            made = back_up(home, stick, NOW + timedelta(days=day, hours=n))
            keep_newest(stick, 2, made)
    await other.close()
    assert [(at.day, at.hour) for at, _ in backups_in(stick)] == [(29, 14), (29, 13), (28, 14), (28, 13)]


async def test_a_household_begun_anew_by_mistake_drops_no_backup_of_the_one_before(
    database: Database, tmp_path: Path
) -> None:
    await write_entry(database, 1, target="pond", field="name", value="Home")
    good = back_up(database.path.parent, tmp_path / "stick", NOW)
    empty = await Database.open(tmp_path / "other" / "evenwater.sqlite")
    await empty.close()
    for days in range(1, 4):
        made = back_up(tmp_path / "other", tmp_path / "stick", NOW + timedelta(days=days))
        _, spared = keep_newest(tmp_path / "stick", 2, made)
    assert spared == [good.file] and good.file.exists()
    last = back_up(database.path.parent, tmp_path / "stick", NOW + timedelta(days=9))
    assert keep_newest(tmp_path / "stick", 1, last)[1] == [] and not good.file.exists()


class Cut(BaseException):
    """Somebody ended the process."""


async def test_what_was_cut_off_while_it_was_tried_has_not_got_its_name(database: Database, tmp_path: Path) -> None:
    def cut_off(file: Path) -> None:
        with BackupReader(file) as whole:
            assert whole.manifest.last_seq == 0 and backups_in(tmp_path / "stick") == []
        raise Cut

    with pytest.raises(Cut):
        back_up(database.path.parent, tmp_path / "stick", NOW, look=cut_off)
    assert list((tmp_path / "stick").iterdir()) == []


async def test_of_those_that_are_not_well_the_last_is_kept_to_look_at(database: Database, tmp_path: Path) -> None:
    def ill(_: Path) -> None:
        raise BadBackup("the log is not whole")

    for hours in range(3):
        with pytest.raises(BadBackup, match=r"kept as evenwater-.*\.bad"):
            back_up(database.path.parent, tmp_path / "stick", NOW + timedelta(hours=hours), look=ill)
    assert [one.name for one in (tmp_path / "stick").iterdir()] == ["evenwater-20261126T153200Z.bad"]


async def test_what_a_killed_backup_left_goes_a_day_later(database: Database, tmp_path: Path) -> None:
    old, young = tmp_path / "evenwater-20261101T030000Z.aa.part", tmp_path / "evenwater-20261126T133100Z.bb.part"
    folder = tmp_path / "evenwater-trying.cc.part"
    folder.mkdir()
    for one in (old, young, folder):
        one.touch()
    for one in (old, folder):
        os.utime(one, (time.time() - 90_000,) * 2)
    back_up(database.path.parent, tmp_path, NOW)
    assert not old.exists() and not folder.exists() and young.exists()
