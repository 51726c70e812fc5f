"""A server that backs itself up: at once where no backup is a day young, then once a day; it says how it went."""

import asyncio
import hashlib
import json
import logging
import os
import signal
import sqlite3
import sys
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from conftest import START, Clock
from kept_log import write_entry
from pictures import jpeg, picture

from evenwater.backup_clock import BackupClock
from evenwater.main import run
from evenwater.server_log import JsonLines
from evenwater.settings import Settings
from evenwater.storage.backup import back_up, backups_in
from evenwater.storage.database import Database
from evenwater.storage.no_backup import keep_no_backup, keep_went_apart, no_backup, went_apart
from evenwater.storage.photos import PhotoStore


@asynccontextmanager
async def serving(data: Path, *more: str) -> AsyncIterator[asyncio.subprocess.Process]:
    command = [sys.executable, "-m", "evenwater.main", "serve", "--port", "0", "--data", str(data), "--json", *more]
    pipe = asyncio.subprocess.PIPE
    server = await asyncio.create_subprocess_exec(*command, stdout=pipe, stderr=pipe, start_new_session=True)
    try:
        async with asyncio.timeout(120):
            yield server
    finally:
        if server.returncode is None:
            server.send_signal(signal.SIGTERM)
        await server.communicate()


def clock_for(to: Path, database: Database, now: Callable[[], datetime]) -> BackupClock:
    return BackupClock(Settings(data=database.path.parent, frontend=to, backup_to=to), database, now)


def wait_for(folder: Path) -> None:
    until = time.monotonic() + 100
    while not folder.exists():
        assert time.monotonic() < until, "no backup is being made"
        time.sleep(0.01)  # made by the backup's own process; nothing to wait on but the folder


async def heard(server: asyncio.subprocess.Process, of: str, says: str) -> dict[str, str]:
    """The first line of a part of the server's log that says this."""
    assert server.stderr is not None
    while line := await server.stderr.readline():
        told = json.loads(line)
        if told["from"] == of and says in told["says"]:
            return dict(told)
    raise AssertionError(f"{of} never said {says!r}")


async def test_it_is_made_and_tried_beside_the_server_and_not_again_on_the_same_day(tmp_path, database):
    stick = tmp_path / "stick"
    backup = ("--backup-to", str(stick), "--backup-keep", "2")
    async with serving(tmp_path / "home", *backup) as server:
        assert server.stdout is not None
        opened = json.loads(await server.stdout.readline())
        assert opened["open"].startswith("http://127.0.0.1:") and opened["data"] == str(tmp_path / "home")
        told = await heard(server, "evenwater.backup", "restored aside and checked")
        assert told["level"] == "info" and "0 entries and 0 photos" in told["says"]
    ((made_at, file),) = backups_in(stick)
    assert [one.name for one in stick.iterdir()] == [file.name]
    assert abs(datetime.now(UTC) - made_at) < timedelta(minutes=5)
    await asyncio.to_thread(run, ["restore", str(file), "--try"])
    clock = clock_for(stick, database, lambda: made_at)
    assert clock._wait() == timedelta(days=1)


async def test_one_that_cannot_be_made_is_told_in_words_and_the_server_goes_on(tmp_path):
    (tmp_path / "stick").write_text("a file")
    async with serving(tmp_path / "home", "--backup-to", str(tmp_path / "stick")) as server:
        told = await heard(server, "evenwater.backup", "no backup was made")
        assert told["level"] == "error" and "stick" in told["says"]
        assert server.returncode is None


async def test_what_fails_is_told_on_the_round_until_one_is_made(database, clock, tmp_path):
    (tmp_path / "stick").write_text("a file")
    backups = clock_for(tmp_path / "stick", database, clock)
    began = clock.now
    for _ in range(2):
        await backups.look()
        clock.now += timedelta(hours=1)
    failing = await no_backup(database)
    assert failing is not None and failing.since == began and "stick" in failing.problem
    (tmp_path / "stick").unlink()
    assert await backups.look()
    assert await no_backup(database) is None


async def test_photos_that_are_in_no_backup_are_warned_of(database, clock, tmp_path, caplog):
    sent = jpeg(picture())
    photo, _ = await PhotoStore(database, 10_000_000).keep(hashlib.sha256(sent).hexdigest(), sent, None, clock.now)
    (database.path.parent / "photos" / photo.sum[:2] / f"{photo.sum}.jpg").unlink()
    assert await clock_for(tmp_path / "stick", database, clock).look()
    assert await no_backup(database) is None
    assert [one.levelname for one in caplog.records if "1 photo missing or damaged" in one.message] == ["WARNING"]


async def test_a_database_that_cannot_keep_how_it_went_does_not_end_the_server(database, clock, tmp_path, caplog):
    with closing(sqlite3.connect(database.path)) as other:
        other.execute("DROP TABLE meta")
        other.commit()
    assert not await clock_for(tmp_path / "stick", database, clock).look()
    assert any("how the backup went is not kept" in one.message for one in caplog.records)


async def test_one_made_by_hand_ends_what_was_told_of_those_that_failed(database, clock, tmp_path):
    backups = clock_for(tmp_path / "stick", database, clock)
    await keep_no_backup(database, "the stick is full", clock.now)
    assert await backups.next_in() == timedelta()
    assert await no_backup(database) is not None
    back_up(database.path.parent, tmp_path / "stick", clock.now - timedelta(hours=1))
    assert await backups.next_in() == timedelta(hours=23)
    assert await no_backup(database) is None


async def test_a_folder_on_the_datas_own_disk_is_warned_of(database, clock, tmp_path, caplog):
    assert await clock_for(tmp_path / "stick", database, clock).look()
    (warned,) = [one for one in caplog.records if "the data's own disk" in one.message]
    assert warned.levelname == "WARNING" and await went_apart(database) is None


@pytest.mark.parametrize("there", [True, False])
async def test_a_disk_that_backups_went_to_and_that_is_not_there_is_missed(there, database, clock, tmp_path):
    """What stays of it is the folder it was seen in, or the folder that one stood in."""
    stick = tmp_path / "stick"
    if there:
        stick.mkdir()
    await keep_went_apart(database, str(stick))
    assert not await clock_for(stick, database, clock).look()
    told = await no_backup(database)
    assert told is not None and "is the disk there?" in told.problem and "own disk now" in told.problem
    assert backups_in(stick) == []
    assert await clock_for(tmp_path / "another", database, clock).look()


@pytest.mark.skipif(not Path("/dev/shm").is_dir(), reason="no other disk is at hand (2026-11-26)")
async def test_a_disk_of_its_own_is_remembered_and_its_folder_made(database, clock, tmp_path, caplog):
    if os.stat("/dev/shm").st_dev == tmp_path.stat().st_dev:
        pytest.skip("the data is there as well")
    with TemporaryDirectory(dir="/dev/shm") as disk:
        stick = Path(disk) / "stick"
        for _ in range(2):
            assert await clock_for(stick, database, clock).look()
            assert await went_apart(database) == str(stick)
            clear = [one for one in stick.iterdir() if one.suffix == ".zip"]
            for one in clear:
                one.unlink()  # the next may fall into the same second
    assert not [one for one in caplog.records if "the data's own disk" in one.message]


async def test_one_of_another_household_in_the_folder_counts_for_none(database, clock, tmp_path):
    stick, other = tmp_path / "stick", await Database.open(tmp_path / "other" / "evenwater.sqlite")
    await write_entry(database, 1, "note", text="ours")
    await write_entry(other, 2, "note", text="theirs")
    back_up(other.path.parent, stick, clock.now - timedelta(hours=1))
    await other.close()
    backups = clock_for(stick, database, clock)
    assert await backups.next_in() == timedelta()
    back_up(database.path.parent, stick, clock.now - timedelta(hours=2))
    assert await backups.next_in() == timedelta(hours=22)


async def test_a_household_that_asks_for_none_is_told_nothing_of_one_that_failed_before(database, clock, tmp_path):
    await keep_no_backup(database, "the stick is gone", clock.now)
    await BackupClock(Settings(data=tmp_path, frontend=tmp_path), database, clock).run()
    assert await no_backup(database) is None


async def test_a_server_told_to_stop_ends_in_order_and_leaves_no_backup_half_made(tmp_path):
    stick = tmp_path / "stick"
    async with serving(tmp_path / "home", "--backup-to", str(stick)) as server:
        await asyncio.to_thread(wait_for, stick)
        server.send_signal(signal.SIGTERM)
        await heard(server, "evenwater", "stopped")
        await server.wait()
    assert server.returncode == 0
    assert [one.name for one in stick.iterdir() if ".part" in one.name] == []
    assert not (tmp_path / "home" / "evenwater.sqlite-wal").exists(), "the database was closed"


@pytest.mark.parametrize("name", ["evenwater-20269999T999999Z.zip", "evenwater-20261103T163000Z.bad", "other.zip"])
async def test_a_name_that_is_none_counts_for_no_backup(name, tmp_path, database):
    (tmp_path / name).touch()
    clock = clock_for(tmp_path, database, Clock())
    assert clock._wait() == timedelta()


async def test_a_day_after_the_newest_the_next_is_due(tmp_path, database):
    for hours in (30, 7):
        (tmp_path / f"evenwater-{START - timedelta(hours=hours):%Y%m%dT%H%M%SZ}.zip").touch()
    clock = clock_for(tmp_path, database, Clock())
    assert clock._wait() == timedelta(hours=17)


async def test_one_dated_ahead_by_a_clock_that_was_wrong_keeps_none_from_being_made(tmp_path, database):
    (tmp_path / f"evenwater-{START + timedelta(days=900):%Y%m%dT%H%M%SZ}.zip").touch()
    clock = clock_for(tmp_path, database, Clock())
    assert clock._wait() == timedelta()
    (tmp_path / f"evenwater-{START - timedelta(hours=7):%Y%m%dT%H%M%SZ}.zip").touch()
    assert clock._wait() == timedelta(hours=17)


def test_a_line_of_the_log_says_what_and_how_serious_and_the_fault_behind_it():
    try:
        raise ValueError("behind it")
    except ValueError:
        record = logging.LogRecord("evenwater", logging.ERROR, "", 1, "not %s", ("kept",), sys.exc_info())
    told = json.loads(JsonLines().format(record))
    assert (told["level"], told["from"], told["says"]) == ("error", "evenwater", "not kept")
    assert "behind it" in told["fault"]
