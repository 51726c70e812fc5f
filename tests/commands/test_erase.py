"""`evenwater erase` as it is typed, beside a server that runs; and what phones that knew the name make of it."""

import json
from datetime import timedelta
from pathlib import Path
from uuid import UUID

import pytest
from conftest import START, Phone
from kept_log import write_entry
from pocket import Pocket
from pocket_calls import drain, in_thread, line_to

from evenwater.domain.rounds.jobs import Day
from evenwater.main import run
from evenwater.storage.database import Database
from evenwater.storage.helper_log import add_helper_photo
from evenwater.storage.shown import keep_shown

NORA = str(UUID(int=701))
YESTERDAY = Day(START.date() - timedelta(days=1), "t", None, None, (), says=("Ask Nora first.",))


def named(name: str = "Nora", helper: str = NORA) -> list[dict[str, str]]:
    return [{"id": helper, "name": name, "tel": "0123 4567"}]


async def test_phones_that_knew_the_name_have_it_no_more_and_nothing_is_set_aside(
    phone: Phone, database: Database, capsys: pytest.CaptureFixture[str]
) -> None:
    pocket, other = Pocket(1, phone.person), Pocket(1, phone.person)
    pocket.device = other.device = phone.device
    pocket.write(START, "set", target="pond", field="name", value="Home")
    for n in range(12):
        pocket.write(START, "note", text=f"Nora's day {n}")
    pocket.write(START, "set", target="hand-over/away", field="helpers", value=named())
    send = line_to(phone.client)
    await keep_shown(database, START, f"day/{YESTERDAY.date}", "1", 0, YESTERDAY)
    await drain(pocket, send)
    assert "Ask Nora" in str(pocket.store.plan["back"])
    assert "Nora" in str(pocket.store.entries) and "Nora" in str(pocket.store.plan)

    words = ["erase", "nora", "--everywhere", "--yes", "--json", "--data", str(database.path.parent)]
    in_thread(lambda: run(words))
    told = json.loads(capsys.readouterr().out)
    assert told["erased"]["entries"] == 13 and told["erased"]["elsewhere"] == 1 and told["copies"] == []

    await drain(pocket, send)
    assert pocket.store.set_aside == {} and pocket.store.epoch == told["erased"]["epoch"]
    assert "Nora" not in str(pocket.store.entries)
    assert "Nora" not in str(pocket.store.plan) and "A helper" in str(pocket.store.plan)
    await drain(other, send)
    assert "Nora" not in str(other.store.entries) and len(other.store.entries) == 14


@pytest.fixture
async def home(database: Database) -> Path:
    await write_entry(database, 1, target="hand-over/away", field="helpers", value=named())
    await write_entry(database, 2, "note", text="Nora rang")
    (database.path.parent / "evenwater.before-0012.sqlite").touch()
    return database.path.parent


def stopped(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    with pytest.raises(SystemExit) as ended:
        run(["erase", *words])
    assert ended.value.code == 1
    (line,) = capsys.readouterr().err.splitlines()
    return line


def erased(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    in_thread(lambda: run(["erase", *words]))
    return capsys.readouterr().out


async def test_it_lists_who_there_is_and_says_what_it_cannot_reach(home: Path, capsys) -> None:
    data = ("--data", str(home))
    listed = erased(capsys, *data)
    assert "Nora" in listed and NORA in listed and "away" in listed
    said = erased(capsys, "Nora", "--yes", *data)
    assert "Nora is erased from 1 entry" in said and "backups" in said
    assert "evenwater.before-0012.sqlite" in said and "--everywhere" in said
    assert "nobody" in erased(capsys, *data)


def test_nobody_is_erased_unasked_or_by_half_a_name(home: Path, capsys) -> None:
    data = ("--data", str(home))
    assert "--yes" in stopped(capsys, "Nora", *data)
    assert "no helper is called 'Nor'" in stopped(capsys, "Nor", "--yes", *data)
    assert "Nora" in erased(capsys, *data)


async def test_of_two_of_one_name_the_id_is_asked_for(home: Path, database: Database, capsys) -> None:
    other = str(UUID(int=702))
    await write_entry(database, 3, target="hand-over/spring", field="helpers", value=named("nora", other))
    line = in_thread(lambda: stopped(capsys, "Nora", "--yes", "--data", str(home)))
    assert NORA in str(line) and other in str(line)
    assert "is erased" in erased(capsys, other, "--yes", "--data", str(home))
    assert NORA in erased(capsys, "--data", str(home))


async def test_what_it_says_can_be_done_afterwards_can_be_done(home: Path, database: Database, capsys) -> None:
    data = ("--data", str(home))
    await add_helper_photo(database, "0" * 64, "away", NORA, START)
    said = erased(capsys, "Nora", "--yes", *data)
    assert "stands in 1 place" in said and f"evenwater erase {NORA} --photos" in said
    assert "no helper is called 'Bo'" in stopped_in_thread(capsys, "Bo", "--yes", *data)
    assert "1 photo taken away" in erased(capsys, NORA, "--photos", "--yes", *data)
    assert "erased from 1 entry" in erased(capsys, "Nora", "--everywhere", "--yes", *data)
    assert [
        row[0] for row in await database.reader.execute_fetchall("SELECT 1 FROM entry WHERE content LIKE '%Nora%'")
    ] == []


def stopped_in_thread(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    return str(in_thread(lambda: stopped(capsys, *words)))
