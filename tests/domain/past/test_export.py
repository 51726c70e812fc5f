"""Text in a table that a spreadsheet opens, wherever in the world it stands."""

import csv
import io

import pytest

from evenwater.domain.past.export import Exported, csv_lines, defused

STARTS = ("=", "+", "-", "@", "|", "%", "＝", "＋", "－", "＠")


@pytest.mark.parametrize("start", STARTS)
@pytest.mark.parametrize("before", ["", " ", "clear;", "clear; ", 'clear;"', "clear\n", "clear\r\n", "clear\t", ";;"])
def test_no_part_of_a_text_that_may_become_a_cell_begins_a_formula(before, start):
    note = {"kind": "note", "id": "i", "pond": "main", "text": f'{before}{start}HYPERLINK("http://example.org")'}
    table = "".join(csv_lines([Exported(1, "2026", "2026", "2026", note, False)], {}, header=True))
    for delimiter in (",", ";"):
        cells = [cell for row in csv.reader(io.StringIO(table), delimiter=delimiter) for cell in row]
        assert [cell for cell in cells if cell.lstrip(' "').startswith(STARTS)] == []


@pytest.mark.parametrize("text", ["clear; no wind", "5 - 6 °dKH", "a=b", "two\nlines", "50 %"])
def test_what_cannot_become_a_formula_stays_as_it_is(text):
    assert defused(text) == text
