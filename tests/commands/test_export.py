"""`evenwater export` and `import` as they are typed."""

import asyncio
import csv
import io
import json
import subprocess
import sys
from pathlib import Path
from uuid import UUID

import pytest
from kept_log import write_entry

from evenwater.commands.check import look_through
from evenwater.main import run
from evenwater.storage.database import Database
from evenwater.storage.progress import unseen

COMMAND = [sys.executable, "-m", "evenwater.main"]
FORMULA = '=HYPERLINK("http://example.org","look")'


@pytest.fixture
async def home(database: Database) -> Path:
    """A household with a pond whose name would be a formula in a spreadsheet, as a server has it open."""
    await write_entry(database, 1, target="pond", field="name", value=FORMULA)
    await write_entry(database, 2, "note", text=FORMULA)
    await write_entry(database, 3, "reading", quantity="temperature_c", value=-0.5)
    return database.path.parent


def ran(*words: str) -> tuple[int, bytes, str]:
    done = subprocess.run([*COMMAND, *words], capture_output=True, timeout=120, stdin=subprocess.DEVNULL)
    return done.returncode, done.stdout, done.stderr.decode()


def test_out_of_one_household_and_into_another(home: Path, tmp_path: Path) -> None:
    file = tmp_path / "pond.jsonl"
    code, out, error = ran("export", "--data", str(home), "--out", str(file), "--json")
    assert (code, error, json.loads(out)["form"]) == (0, "", "jsonl")
    code, out, error = ran("import", str(file), "--data", str(tmp_path / "new"))
    assert (code, error) == (0, "") and b"3 entries" in out
    assert all(one.right for one in look_through(tmp_path / "new", unseen))
    code, out, error = ran("import", str(file), "--data", str(tmp_path / "new"))
    assert code == 1 and "already" in error and error.count("\n") == 1


def test_in_a_table_no_text_becomes_a_formula_and_numbers_stay_numbers(home: Path) -> None:
    code, out, _ = ran("export", "--csv", "--data", str(home))
    assert code == 0
    rows = list(csv.DictReader(io.StringIO(out.decode("utf-8-sig"))))
    cells = [cell for row in rows for cell in row.values() if cell]
    dangerous = [cell for cell in cells if cell.lstrip().startswith(("=", "+", "-", "@", "|", "%")) and cell != "-0.5"]
    assert dangerous == [] and [row["value"] for row in rows if row["kind"] == "reading"] == ["-0.5"]
    assert [row["text"] for row in rows if row["kind"] == "note"] == [f"'{FORMULA}"]


def test_on_standard_output_stands_the_export_and_nothing_else(home: Path) -> None:
    code, out, error = ran("export", "--data", str(home))
    assert (code, error) == (0, "")
    assert [json.loads(line)["is"] for line in out.splitlines()] == ["household", *["entry"] * 3]


def stopped(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    with pytest.raises(SystemExit) as ended:
        run(list(words))
    said = capsys.readouterr()
    return f"{ended.value.code} {said.out}{said.err}"


def test_a_file_that_is_there_is_not_written_over(home: Path, tmp_path: Path, capsys) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    said = stopped(capsys, "export", "--data", str(home), "--out", str(tmp_path / "mine.txt"))
    assert said.startswith("1 ") and "is there already" in said
    assert (tmp_path / "mine.txt").read_text() == "mine"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("export", "--json"), "2 "),
        (("import", "{tmp}/nothing.jsonl"), "1 evenwater: cannot read"),
        (("import", "{tmp}/text.jsonl"), "line 1:"),
    ],
)
def test_what_cannot_be_done_is_told(home: Path, words, says, tmp_path: Path, capsys) -> None:
    (tmp_path / "text.jsonl").write_text("a,b\n1,2\n")
    data = home if words[0] == "export" else tmp_path / "new"
    said = stopped(capsys, *(one.replace("{tmp}", str(tmp_path)) for one in words), "--data", str(data))
    assert says in said
    assert not (tmp_path / "new" / "evenwater.sqlite").exists(), "what was made for it is gone again"


def poisoned(home: Path, tmp_path: Path) -> Path:
    """An export that names a file of readings brought in, and has none of them."""
    file = tmp_path / "pond.jsonl"
    assert ran("export", "--data", str(home), "--out", str(file))[0] == 0
    then = dict.fromkeys(("kept_at", "travels_from"), "2026-11-26T10:00:00Z")
    told = {"is": "import", "id": str(UUID(int=5)), "pond": "main", "author": "p", "file_name": "old.csv"}
    counts = {"first_seq": 1, "count": 12, "bad_count": 0, "first_on": None, "last_on": None, "taken_back_at": None}
    with file.open("a") as out:
        out.write(json.dumps(told | then | counts) + "\n")
    return file


def test_what_makes_no_household_that_is_well_is_not_read_in(home: Path, tmp_path: Path, capsys) -> None:
    file = poisoned(home, tmp_path)
    said = stopped(capsys, "import", str(file), "--data", str(tmp_path / "new"))
    assert said.startswith("1 ") and "nothing was read in" in said and "old.csv" in said
    assert list((tmp_path / "new").iterdir()) == []


def test_into_a_household_that_was_begun_all_goes_or_nothing(home: Path, tmp_path: Path, capsys) -> None:
    begun = tmp_path / "begun"
    asyncio.run(made(begun))
    said = stopped(capsys, "import", str(poisoned(home, tmp_path)), "--data", str(begun))
    assert "nothing was read in" in said and [one.name for one in begun.iterdir()] == ["evenwater.sqlite"]
    (tmp_path / "pond.jsonl").unlink()
    assert ran("export", "--data", str(home), "--out", str(tmp_path / "pond.jsonl"))[0] == 0
    run(["import", str(tmp_path / "pond.jsonl"), "--data", str(begun)])
    assert "3 entries" in capsys.readouterr().out


async def made(folder: Path) -> None:
    await (await Database.open(folder / "evenwater.sqlite")).close()


def test_a_file_without_end_is_given_up_at_its_first_line(tmp_path: Path) -> None:
    code, _, error = ran("import", "/dev/zero", "--data", str(tmp_path / "new"))
    assert code == 1 and "longer than any line" in error and "no export of this program" in error
