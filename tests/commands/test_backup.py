"""`evenwater backup` and `restore` as they are typed, and what phones make of a home that was put back."""

import hashlib
import json
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from conftest import PASSPHRASE, START, Clock, Phone, page_of
from kept_log import write_entry
from pictures import jpeg, picture
from pocket import Pocket
from pocket_calls import drain, in_thread, line_to

from evenwater.commands.check import look_through
from evenwater.main import run
from evenwater.settings import Settings
from evenwater.storage.backup import back_up
from evenwater.storage.database import Database
from evenwater.storage.photos import PhotoStore
from evenwater.storage.progress import unseen
from evenwater.web.app import create_app


def notes(pocket: Pocket, *texts: str) -> list[str]:
    return [str(pocket.write(START, "note", text=text)["id"]) for text in texts]


def told_by(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, object]:
    run([*arguments, "--json"])
    return dict(json.loads(capsys.readouterr().out))


def stopped(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    with pytest.raises(SystemExit) as ended:
        run(list(arguments))
    assert ended.value.code == 1
    (line,) = capsys.readouterr().err.splitlines()
    return line


async def test_what_phones_sent_after_the_backup_comes_back_once_and_nobody_is_signed_in_before(
    phone: Phone, settings: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pocket = Pocket(1, phone.person)
    pocket.device = phone.device
    before = notes(pocket, "before", "also before")
    await drain(pocket, line_to(phone.client))
    epoch = pocket.store.epoch

    made = in_thread(lambda: told_by(capsys, "backup", "--data", str(settings.data), "--to", str(tmp_path / "stick")))
    assert isinstance(made, dict) and made["tried"] and made["entries"] == 2

    after = notes(pocket, *(f"after {n}" for n in range(6)))
    await drain(pocket, line_to(phone.client))
    unsent = notes(pocket, "not sent when home was lost")

    new = tmp_path / "new"
    put = in_thread(lambda: told_by(capsys, "restore", str(made["file"]), "--data", str(new)))
    assert isinstance(put, dict) and put["access_ended"] and put["epoch"] != epoch

    database = await Database.open(new / "evenwater.sqlite")
    try:
        app = create_app(database, Settings(data=new, frontend=settings.frontend), Clock())
        async with page_of(app) as client:
            client.cookies = phone.client.cookies
            assert not await pocket.push(START, line_to(client)), "the session of then opens nothing"
            told = {"name": "Marit", "passphrase": PASSPHRASE, "device": phone.device, "device_label": "test"}
            (await client.post("/api/sign-in", json=told)).raise_for_status()
            await drain(pocket, line_to(client))
            assert pocket.store.epoch == put["epoch"] and pocket.store.set_aside == {}
            (told_of,) = pocket.store.plan["notices"]
            assert told_of["what"] == "restored" and "may be missing" in told_of["text"]
    finally:
        await database.close()
    with closing(sqlite3.connect(new / "evenwater.sqlite")) as there:
        kept = [row[0] for row in there.execute("SELECT id FROM entry ORDER BY seq")]
    assert sorted(kept) == sorted([*before, *after, *unsent]) and kept[:2] == before
    findings = in_thread(lambda: look_through(new, unseen))
    assert isinstance(findings, list) and all(one.right for one in findings)


def begun(data: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A household with nobody but Aki in it."""
    import asyncio

    async def begin() -> None:
        await (await Database.open(data / "evenwater.sqlite")).close()

    asyncio.run(begin())
    run(["people", "add", "Aki", "--print-new", "--data", str(data)])
    capsys.readouterr()
    return data


def test_it_says_what_it_made_tried_and_dropped_in_words(tmp_path, capsys):
    data, stick = begun(tmp_path / "home", capsys), tmp_path / "stick"
    stick.mkdir()
    old = stick / "evenwater-20200101T000000Z.zip"
    old.touch()
    run(["backup", "--data", str(data), "--to", str(stick), "--keep", "1"])
    said = capsys.readouterr()
    assert "holds 0 entries and 0 photos" in said.out and "restored aside and checked" in said.out
    assert f"Older ones dropped: {old.name}" in said.out and said.err == ""
    (made,) = stick.iterdir()
    run(["restore", str(made), "--try"])
    assert "can be restored" in capsys.readouterr().out
    run(["restore", str(made), "--data", str(tmp_path / "new")])
    said = capsys.readouterr().out
    assert "Everybody signs in anew" in said and "may be missing" in said
    run(["people", "list", "--data", str(tmp_path / "new")])
    assert "Aki" in capsys.readouterr().out
    assert sorted(one.name for one in stick.iterdir()) == [made.name]


def test_a_household_that_is_not_well_makes_no_backup_that_could_pass_for_one(tmp_path, capsys):
    data, stick = begun(tmp_path / "home", capsys), tmp_path / "stick"
    with closing(sqlite3.connect(data / "evenwater.sqlite")) as database:
        database.execute("INSERT INTO shown VALUES (1, '2026', 'day/1', '1', 1, '{cut of')")
        database.commit()
    line = stopped(capsys, "backup", "--data", str(data), "--to", str(stick), "--keep", "1")
    assert "some of what was shown is damaged" in line and "evenwater check" in line
    assert [one.suffix for one in stick.iterdir()] == [".bad"]
    said = stopped_check(capsys, data)
    assert "WRONG  shown" in said and "well   log" in said


async def test_a_photo_that_is_gone_is_told_and_stops_no_backup_and_no_restore(
    database: Database, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sent, data, stick = jpeg(picture()), database.path.parent, tmp_path / "stick"
    photo, _ = await PhotoStore(database, 10_000_000).keep(hashlib.sha256(sent).hexdigest(), sent, None, START)
    (data / "photos" / photo.sum[:2] / f"{photo.sum}.jpg").unlink()
    in_thread(lambda: run(["backup", "--data", str(data), "--to", str(stick)]))
    said = capsys.readouterr().out
    assert "restored aside and checked" in said and "Not in it: 1 photo" in said and "evenwater check" in said
    (made,) = stick.iterdir()
    told = in_thread(lambda: told_by(capsys, "restore", str(made), "--data", str(tmp_path / "new")))
    assert isinstance(told, dict) and (told["photos"], told["lacking_photos"]) == (0, 1)
    found = in_thread(lambda: look_through(tmp_path / "new", unseen))
    assert isinstance(found, list) and [one.about for one in found if not one.right] == ["photos"]
    assert found[-1].about == "plan"


def stopped_check(capsys: pytest.CaptureFixture[str], data: Path) -> str:
    with pytest.raises(SystemExit) as ended:
        run(["check", "--data", str(data)])
    assert ended.value.code == 1
    return capsys.readouterr().out


def test_check_ends_well_and_makes_a_plan(tmp_path, capsys):
    data = begun(tmp_path / "home", capsys)
    told = told_by(capsys, "check", "--data", str(data))
    assert told["right"] is True
    assert isinstance(told["findings"], list) and told["findings"][-1]["about"] == "plan"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("restore", "{tmp}/nothing.zip"), "there is no file"),
        (("restore", "{tmp}/text.zip", "--try"), "no backup, or it was cut off"),
        (("backup", "--to", "{tmp}/stick"), "there is no household"),
        (("check",), "there is no household"),
    ],
)
def test_what_cannot_be_done_is_one_line(words, says, tmp_path, capsys):
    (tmp_path / "text.zip").write_text("not an archive")
    line = stopped(capsys, *(one.replace("{tmp}", str(tmp_path)) for one in words), "--data", str(tmp_path / "home"))
    assert says in line


@pytest.mark.parametrize("keep", ["0", "-1", "many", "1.5"])
def test_keeping_none_is_not_understood(keep, tmp_path, capsys):
    with pytest.raises(SystemExit) as ended:
        run(["backup", "--to", str(tmp_path), f"--keep={keep}"])
    assert ended.value.code == 2 and "at least 1" in capsys.readouterr().err


def test_what_was_not_tried_drops_nothing(tmp_path, capsys):
    data = begun(tmp_path / "home", capsys)
    with pytest.raises(SystemExit) as ended:
        run(["backup", "--to", str(tmp_path), "--keep", "1", "--untried", "--data", str(data)])
    assert ended.value.code == 2 and "--untried" in capsys.readouterr().err
    assert [one.name for one in tmp_path.iterdir()] == ["home"]


async def test_one_that_holds_more_than_the_household_is_named_and_stays(database: Database, tmp_path, capsys):
    await write_entry(database, 1, "note", text="of the household that was")
    stick = tmp_path / "stick"
    good = back_up(database.path.parent, stick, datetime(2026, 11, 3, tzinfo=UTC)).file
    in_thread(
        lambda: run(["backup", "--to", str(stick), "--keep", "1", "--data", str(begun(tmp_path / "new", capsys))])
    )
    said = capsys.readouterr().out
    assert f"Not dropped: {good.name}" in said and "right data folder?" in said and good.exists()


def test_the_time_of_the_backup_is_told_where_days_may_be_missing(tmp_path, capsys):
    data = begun(tmp_path / "home", capsys)
    made = told_by(capsys, "backup", "--data", str(data), "--to", str(tmp_path), "--untried")
    run(["restore", str(made["file"]), "--data", str(tmp_path / "new")])
    said = capsys.readouterr().out
    assert str(made["made_at"])[:10] in said
    with closing(sqlite3.connect(tmp_path / "new" / "evenwater.sqlite")) as there:
        (kept,) = there.execute("SELECT value FROM meta WHERE key = 'restored'").fetchone()
    assert json.loads(kept)["backup_made_at"] == made["made_at"]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such limit (2026-11-26)")
def test_a_disk_that_is_full_is_one_line_and_leaves_nothing(tmp_path, capsys):
    """The limit for one file stands for the disk: what is written over it fails in the same way."""
    data, stick = begun(tmp_path / "home", capsys), tmp_path / "stick"
    full = "import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, (60_000,) * 2);"
    code = f"{full} from evenwater.main import run; run(sys.argv[1:])"
    words = ["backup", "--data", str(data), "--to", str(stick)]
    done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, timeout=120)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (1, "", 1), done.stderr
    assert "Traceback" not in done.stderr and "nothing was changed" in done.stderr
    assert list(stick.iterdir()) == []
