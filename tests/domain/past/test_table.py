"""Lines become rows: by which sign, and what quotation marks do."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.past.table import delimiter_of, rows_of


def cells(*lines: str, delimiter: str = ";") -> list[tuple[int, list[str]]]:
    return [(row.line, row.cells) for row in rows_of(lines, delimiter) if not row.broken]


@pytest.mark.parametrize("delimiter", [";", ",", "\t", "|"])
def test_the_sign_between_cells_is_found_below_title_lines(delimiter: str) -> None:
    lines = ["My pond, written by Marit", "", delimiter.join(["Date", "KH", "Note"])]
    lines += [delimiter.join(["3.11.2026", "5.5", "a"])] * 5
    assert delimiter_of(lines) == delimiter


def test_decimal_commas_are_no_delimiter() -> None:
    assert delimiter_of(["Date;KH;pH"] + ["3.11.2026;5,5;7,6"] * 5) == ";"


def test_blank_lines_are_passed_over_and_lines_keep_their_numbers() -> None:
    assert cells("a;b", "", ";;", " ", "c;d") == [(1, ["a", "b"]), (5, ["c", "d"])]


def test_a_quoted_cell_may_hold_anything_lines_included() -> None:
    assert cells('a;"x;y"', 'b;"one', 'two ""quoted"""', "c;d") == [
        (1, ["a", "x;y"]),
        (2, ["b", 'one\ntwo "quoted"']),
        (4, ["c", "d"]),
    ]


def test_an_inch_mark_in_a_note_opens_nothing() -> None:
    assert cells('a;5" pipe', "b;c") == [(1, ["a", '5" pipe']), (2, ["b", "c"])]


def test_a_quotation_mark_never_closed_costs_its_own_line_and_no_other() -> None:
    rows = list(rows_of(['a;"open', *(f"{n};x" for n in range(100))], ";"))
    assert (rows[0].line, rows[0].broken) == (1, "a quotation mark is opened and never closed")
    assert [row.cells for row in rows[1:]] == [[str(n), "x"] for n in range(100)]


@given(
    st.sampled_from(";,\t|"),
    st.lists(
        st.lists(
            st.text(st.characters(exclude_characters="\r\n\0", exclude_categories=["Cs"])), min_size=2, max_size=5
        ),
        min_size=1,
        max_size=6,
    ),
)
def test_what_a_csv_writer_writes_comes_back(delimiter: str, table: list[list[str]]) -> None:
    written = io.StringIO()
    csv.writer(written, delimiter=delimiter, quoting=csv.QUOTE_ALL, lineterminator="\n").writerows(table)
    assert [row.cells for row in rows_of(written.getvalue().split("\n"), delimiter)] == table


@given(st.lists(st.text(st.sampled_from('";, \tab\n'), max_size=30), max_size=12), st.sampled_from(";,\t|"))
def test_any_lines_become_rows(lines: list[str], delimiter: str) -> None:
    rows = list(rows_of(lines, delimiter))
    assert [row.line for row in rows] == sorted(row.line for row in rows)
