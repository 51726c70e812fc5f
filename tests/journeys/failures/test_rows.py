"""The table in README.md names every failure mode once or more, and every test file here."""

import re
from pathlib import Path

HERE = Path(__file__).parent
ROWS = [
    (f"1.{row}", test)
    for row, test in re.findall(r"^\| 1\.(\d+) \|[^|]*\| ([^|]+) \|", (HERE / "README.md").read_text(), re.MULTILINE)
]


def test_every_failure_mode_stands_in_the_table() -> None:
    assert {row for row, _ in ROWS} == {f"1.{number}" for number in range(1, 20)}


def test_each_row_names_a_test_that_bears_its_number_or_says_what_it_comes_with() -> None:
    for row, test in ROWS:
        if not test.startswith("comes with "):
            assert re.fullmatch(rf"`test_1_{int(row[2:]):02}_\w+\.py`", test), f"{row}: {test}"


def test_the_table_names_the_files_that_are_here() -> None:
    named = {test.strip("`") for _, test in ROWS if not test.startswith("comes with ")}
    assert named == {file.name for file in HERE.glob("test_1_*.py")}


def test_each_file_says_at_its_top_which_row_it_is() -> None:
    for file in HERE.glob("test_1_*.py"):
        row = f"1.{int(file.name.split('_')[2])}"
        assert re.match(rf'"""Row {re.escape(row)}[:,]', file.read_text()), f"{file.name} does not begin with its row"
