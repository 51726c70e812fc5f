"""How commands speak: words for people, JSON for programs, three ways to end; a bar on a terminal alone."""

import io
import json
import os
import subprocess
import sys

import pytest

from evenwater.commands.speaking import Progress, counted, size_text
from evenwater.main import run


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def ended(capsys, *arguments: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as end:
        run(list(arguments))
    said = capsys.readouterr()
    assert isinstance(end.value.code, int)
    return end.value.code, said.out, said.err


def test_a_problem_is_one_line_among_the_errors_and_ends_with_1(capsys, tmp_path):
    code, out, error = ended(capsys, "people", "list", "--data", str(tmp_path))
    assert (code, out, error.count("\n")) == (1, "", 1)


def test_with_json_a_problem_is_a_document_where_a_program_looks_for_it(capsys, tmp_path):
    code, out, error = ended(capsys, "people", "list", "--json", "--data", str(tmp_path))
    told = json.loads(out)
    assert (code, error, told["code"]) == (1, "", "not_found")
    assert "--data" in told["problem"] and told["right"]


def test_what_is_not_understood_ends_with_2_in_words_or_in_json(capsys):
    code, out, error = ended(capsys, "people", "add")
    assert (code, out) == (2, "") and "NAME" in error
    code, out, error = ended(capsys, "people", "add", "--json")
    assert (code, error, json.loads(out)["code"]) == (2, "", "usage")


def test_help_names_the_commands_and_what_they_end_with(capsys):
    code, out, _ = ended(capsys, "--help")
    assert code == 0 and "people" in out and "--json" in out and "with 1" in out


def test_progress_is_drawn_on_a_terminal_and_wiped_off_again():
    out = Terminal()
    with Progress(out) as tell:
        tell("copying", 3, 4)
    drawn = out.getvalue().split("\r")
    assert "75%" in drawn[1] and "#" in drawn[1]
    assert drawn[-2].strip() == ""


def test_progress_says_nothing_where_nobody_looks():
    out = io.StringIO()
    with Progress(out) as tell:
        tell("copying", 3, 4)
    assert out.getvalue() == ""


def test_counts_and_sizes_read_as_people_say_them():
    assert [counted(1, "entry", "entries"), counted(1204, "entry", "entries")] == ["1 entry", "1,204 entries"]
    assert [size_text(17), size_text(12_400_000), size_text(3_200_000_000)] == ["17 bytes", "12 MB", "3.2 GB"]


def test_where_few_letters_can_be_shown_it_says_what_it_can_and_json_says_all():
    few = os.environ | {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    command = [sys.executable, "-m", "evenwater.main", "reckon", "buffer-dose"]
    words = subprocess.run(command, capture_output=True, env=few, timeout=60)
    assert words.returncode == 0 and b"Carbonate hardness now [?dKH]" in words.stdout
    told = subprocess.run([*command, "--json"], capture_output=True, env=few, timeout=60)
    assert told.returncode == 0 and "[°dKH]" in json.dumps(json.loads(told.stdout), ensure_ascii=False)
