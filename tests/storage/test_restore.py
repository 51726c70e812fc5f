"""A backup put back: whole or not at all, with a new epoch, and nobody let in who may have been shut out since."""

import hashlib
import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from kept_log import write_entry
from pictures import jpeg, picture
from pocket_calls import in_thread

from evenwater.commands.check import require_whole
from evenwater.commands.speaking import Stop
from evenwater.domain.people import Person
from evenwater.serving import open_database
from evenwater.settings import Settings
from evenwater.storage import people, restore
from evenwater.storage.backup import back_up, backups_in
from evenwater.storage.check import check
from evenwater.storage.database import MIGRATIONS, Database, migrations
from evenwater.storage.errors import BadBackup, StorageUnavailable
from evenwater.storage.no_backup import keep_no_backup, keep_went_apart, no_backup, went_apart
from evenwater.storage.photos import PhotoStore
from evenwater.storage.progress import unseen

NOW = datetime(2026, 11, 26, 13, 32, tzinfo=UTC)
MARIT = Person("019a4a3e-7c00-7000-8000-000000000003", "Marit", NOW)
SENT = jpeg(picture())


def unlooked(_: Path) -> None:
    """Nothing is looked at."""


class Cut(BaseException):
    """The process is gone."""


@pytest.fixture
async def backup(database: Database, tmp_path: Path) -> Path:
    """A backup of a household with an entry, a photo, and Marit signed in."""
    await write_entry(database, 1, target="pond", field="name", value="Home")
    await people.add_first_person(database, MARIT, "no hash")
    await people.begin_session(database, MARIT.id, str(uuid4()), "phone", "her token", NOW, str(uuid4()))
    await PhotoStore(database, 10_000_000).keep(hashlib.sha256(SENT).hexdigest(), SENT, MARIT.id, NOW)
    return back_up(database.path.parent, tmp_path / "stick", NOW).file


def put_back(backup: Path, data: Path, **more: bool) -> restore.Restored:
    return restore.restore(backup, data, NOW + timedelta(days=1), unlooked, **more)


async def test_it_is_all_there_and_the_log_begins_a_new_epoch(backup: Path, database: Database, tmp_path: Path) -> None:
    data = tmp_path / "new" / "home"
    told = put_back(backup, data)
    assert sorted(one.name for one in data.iterdir()) == ["evenwater.sqlite", "photos"]
    assert all(one.right for one in check(data))
    restored = await open_database(Settings(data=data, frontend=data))
    try:
        assert await restored.epoch() == told.epoch != await database.epoch()
        told_of = await restore.put_back_since(restored, NOW)
        assert told_of is not None and told_of.backup_made_at == NOW and told_of.access_ended
        assert await restore.put_back_since(restored, NOW + timedelta(days=2)) is None
        assert await restore.put_back_since(database, NOW) is None
        photo = await PhotoStore(restored, 10_000_000).find(hashlib.sha256(SENT).hexdigest())
        assert photo is not None and photo.author == MARIT.id
    finally:
        await restored.close()


async def test_that_no_backup_could_be_made_then_is_not_told_now(database: Database, tmp_path: Path) -> None:
    await keep_no_backup(database, "the stick is full", NOW)
    await keep_went_apart(database, "/mnt/stick")
    put_back(back_up(database.path.parent, tmp_path / "stick", NOW).file, tmp_path / "new")
    restored = await Database.open(tmp_path / "new" / "evenwater.sqlite")
    assert await no_backup(restored) is None and await went_apart(restored) is None
    await restored.close()


async def test_whoever_was_signed_in_then_signs_in_anew(backup: Path, database: Database, tmp_path: Path) -> None:
    put_back(backup, tmp_path / "new")
    put_back(backup, tmp_path / "moved", keep_access=True)
    for folder, opens in (("new", False), ("moved", True)):
        restored = await Database.open(tmp_path / folder / "evenwater.sqlite")
        assert (await people.use_session(restored, "her token", NOW + timedelta(hours=2)) is not None) is opens
        await restored.close()
    assert await people.use_session(database, "her token", NOW) is not None, "home itself is as it was"


async def test_links_keys_and_waiting_mail_of_then_are_ended(database: Database, tmp_path: Path) -> None:
    """Row by row, in every table that lets somebody in or sends something out."""
    with closing(sqlite3.connect(database.path)) as home:
        home.executescript(
            "INSERT INTO person VALUES ('p', 'Marit', 'marit', 'no hash', '2026-01-01');"
            "INSERT INTO helper_link (id, secret_sha256, hand_over, helper, made_at, made_by)"
            " VALUES ('l', x'01', 'away', 'h', '2026-01-01', 'p');"
            "INSERT INTO helper_device (id, token_sha256, link, device, label, bound_at, last_seen_at)"
            " VALUES ('d', x'01', 'l', 'b', 'phone', '2026-01-01', '2026-01-01');"
            "INSERT INTO probe_key (id, token_sha256, pond, series, label, created_at, created_by)"
            " VALUES ('k', x'01', 'main', '[]', 'logger', '2026-01-01', 'p');"
            "INSERT INTO calendar_feed (person_id, token_sha256, rings, made_at)"
            " VALUES ('p', x'01', 'none', '2026-01-01');"
            "INSERT INTO push_subscription VALUES ('s', 'p', 'b', 'https://x', x'01', x'01', 1, 1, '2026-01-01');"
            "INSERT INTO message VALUES ('m', 'list/1', 'p', 'email', 'a@b', 'Today', 'the list', NULL, '', '{}',"
            " '2026-01-01', '2026-01-01', 0, 'waiting', NULL, NULL);"
        )
    put_back(back_up(database.path.parent, tmp_path / "stick", NOW).file, tmp_path / "new")
    with closing(sqlite3.connect(tmp_path / "new" / "evenwater.sqlite")) as there:
        asked = (
            "SELECT count(*) FROM helper_link WHERE revoked_at IS NULL",
            "SELECT count(*) FROM helper_device WHERE ended_at IS NULL",
            "SELECT count(*) FROM probe_key WHERE revoked_at IS NULL",
            "SELECT count(*) FROM calendar_feed",
            "SELECT count(*) FROM push_subscription",
            "SELECT count(*) FROM message WHERE state = 'waiting' OR text <> ''",
        )
        assert [there.execute(one).fetchone()[0] for one in asked] == [0] * 6


@pytest.mark.parametrize("file", ["evenwater.sqlite", "evenwater.sqlite-wal", "photos/ab/x.jpg"])
def test_a_folder_with_a_household_in_it_is_left_alone(file: str, backup: Path, tmp_path: Path) -> None:
    there = tmp_path / "home" / file
    there.parent.mkdir(parents=True)
    there.write_text("somebody's")
    with pytest.raises(StorageUnavailable, match="already"):
        put_back(backup, tmp_path / "home")
    assert there.read_text() == "somebody's"
    assert [one for one in (tmp_path / "home").rglob("*") if one.is_file()] == [there]


async def test_a_photo_that_has_rotted_in_the_archive_keeps_nothing_else_from_coming_back(
    backup: Path, tmp_path: Path
) -> None:
    raw = bytearray(backup.read_bytes())
    raw[raw.index(b"\xff\xd8\xff") + 40] ^= 1
    backup.write_bytes(raw)
    told = put_back(backup, tmp_path / "new")
    assert (told.manifest.photos, told.manifest.lacking) == (0, (hashlib.sha256(SENT).hexdigest(),))
    tried = restore.try_backup(backup, tmp_path / "aside", whole)
    assert tried.lacking == told.manifest.lacking
    assert [one.about for one in check(tmp_path / "new") if not one.right] == ["photos"]


def whole(folder: Path) -> None:
    in_thread(lambda: require_whole(folder, unseen))


async def test_what_else_is_in_the_folder_stays(backup: Path, tmp_path: Path) -> None:
    key = tmp_path / "home" / "secrets" / "key.pem"
    key.parent.mkdir(parents=True)
    key.write_text("kept")
    put_back(backup, tmp_path / "home")
    assert key.read_text() == "kept" and (tmp_path / "home" / "evenwater.sqlite").is_file()


async def test_a_backup_that_is_not_well_leaves_nothing(backup: Path, tmp_path: Path) -> None:
    def ill(_: Path) -> None:
        raise BadBackup("the log is not whole")

    with pytest.raises(BadBackup, match="not whole"):
        restore.restore(backup, tmp_path / "new", NOW, ill)
    assert list((tmp_path / "new").iterdir()) == []


async def test_one_of_a_newer_version_is_refused_before_anything_is_unpacked(
    backup: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(restore, "migrations", lambda: [(1, Path("0001_start.sql"))])
    with pytest.raises(BadBackup, match="newer version"):
        put_back(backup, tmp_path / "new")
    assert not (tmp_path / "new").exists()


async def test_one_of_an_older_version_is_put_back_and_brought_up_to_date_at_the_next_start(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir()
    with closing(sqlite3.connect(home / "evenwater.sqlite")) as old:
        old.executescript((MIGRATIONS / "0001_start.sql").read_text())
        old.executescript(
            "INSERT INTO meta VALUES ('epoch', 'long ago');"
            "INSERT INTO person VALUES ('p', 'Marit', 'marit', 'h', '2020-01-01');"
            "INSERT INTO session VALUES ('s', x'01', 'p', 'd', 'ph', '2020-01-01', '2020-01-01', '2099-01-01', NULL);"
            "PRAGMA user_version=1;"
        )
    data, made = tmp_path / "new", back_up(home, tmp_path / "stick", NOW).file
    restore.restore(made, data, NOW, whole)
    restored = await open_database(Settings(data=data, frontend=data))
    try:
        assert await restored.schema_number() == migrations()[-1][0]
        assert [one.name for one in await people.people(restored)] == ["Marit"]
        assert await people.open_sessions(restored, NOW) == []
    finally:
        await restored.close()


KILLED = """
import os, pathlib, signal, sys
from datetime import UTC, datetime
from evenwater.storage.backup import back_up
from evenwater.storage.restore import restore
calls = 0
def tell(*_):
    global calls
    calls += 1
    if calls == int(sys.argv[4]):
        os.kill(os.getpid(), signal.SIGKILL)
source, target = map(pathlib.Path, sys.argv[2:4])
now = datetime.now(UTC)
back_up(source, target, now, tell) if sys.argv[1] == "backup" else restore(source, target, now, lambda _: None, tell)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows kills another way (2026-11-26)")
@pytest.mark.parametrize("call", [1, 2])
async def test_a_process_killed_at_it_leaves_nothing_that_passes_for_whole(
    call: int, backup: Path, database: Database, tmp_path: Path
) -> None:
    def killed(what: str, source: Path, target: Path) -> None:
        words = [sys.executable, "-c", KILLED, what, str(source), str(target), str(call)]
        assert subprocess.run(words, timeout=120).returncode == -signal.SIGKILL

    killed("restore", backup, tmp_path / "new")
    assert not (tmp_path / "new" / "evenwater.sqlite").exists()
    with pytest.raises(Stop, match="a restore was cut off here"):
        await open_database(Settings(data=tmp_path / "new", frontend=tmp_path))
    put_back(backup, tmp_path / "new")
    assert all(one.right for one in check(tmp_path / "new"))

    killed("backup", database.path.parent, tmp_path / "other")
    assert backups_in(tmp_path / "other") == []
    assert back_up(database.path.parent, tmp_path / "other", NOW).manifest.photos == 1


async def test_a_trigger_put_into_the_database_runs_nowhere(database: Database, tmp_path: Path) -> None:
    with closing(sqlite3.connect(database.path)) as other:
        other.execute("CREATE TRIGGER at_night AFTER UPDATE ON meta BEGIN DELETE FROM person; END")
        other.commit()
    made = back_up(database.path.parent, tmp_path / "stick", NOW).file
    with pytest.raises(BadBackup, match="at_night"):
        put_back(made, tmp_path / "new")
    assert list((tmp_path / "new").iterdir()) == []


@pytest.mark.parametrize("step", range(3))
async def test_cut_off_it_serves_nothing_and_the_next_one_begins_again(
    step: int, backup: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed while it unpacks, between the photos' move and the database's, or just before the last move."""
    data, moves = tmp_path / "new", []

    def gone(*_: object, **__: object) -> None:
        raise Cut

    def cut_move(source: Path, target: Path) -> None:
        moves.append(target)
        if len(moves) == step:
            raise Cut
        os.rename(source, target)

    with monkeypatch.context() as killed:
        killed.setattr(restore, "_clear", lambda _: None)  # a kill leaves no time for tidying
        killed.setattr(restore.os, "replace", cut_move)
        with pytest.raises(Cut):
            restore.restore(backup, data, NOW, gone if step == 0 else unlooked)
    assert not (data / "evenwater.sqlite").exists()
    with pytest.raises(Stop, match="a restore was cut off here"):
        await open_database(Settings(data=data, frontend=data))
    put_back(backup, data)
    assert sorted(one.name for one in data.iterdir()) == ["evenwater.sqlite", "photos"]
    assert all(one.right for one in check(data))


async def test_no_room_is_told_with_figures_and_leaves_nothing(
    backup: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(restore, "_SPARE_BYTES", 10**18)
    with pytest.raises(StorageUnavailable, match="MB are free"):
        put_back(backup, tmp_path / "new")
    assert list((tmp_path / "new").iterdir()) == []


async def test_a_trial_leaves_nothing_behind_and_says_what_it_found(backup: Path, tmp_path: Path) -> None:
    looked: list[int] = []
    aside = tmp_path / "aside"
    told = restore.try_backup(backup, aside, lambda folder: looked.append(len(list(folder.rglob("*.jpg")))))
    assert (looked, told.last_seq, aside.exists()) == ([2], 1, False)
