"""Bytes become lines, or are refused with what to do instead."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.past.decoding import NotReadable, encoding_of, lines_of

TEXT = "Datum;KH °dKH\r\n3.11.2026;5,5\n"


@pytest.mark.parametrize(
    ("encoding", "found"),
    [("utf-8", "utf-8"), ("utf-8-sig", "utf-8-sig"), ("utf-16", "utf-16"), ("cp1252", "cp1252")],
)
def test_what_spreadsheets_write_is_read_alike(encoding: str, found: str) -> None:
    data = TEXT.encode(encoding)
    assert encoding_of(data) == found
    assert list(lines_of(data, found)) == ["Datum;KH °dKH", "3.11.2026;5,5"]


def test_utf_16_the_other_way_round_is_read_too() -> None:
    data = b"\xfe\xff" + TEXT.encode("utf-16-be")
    assert list(lines_of(data, encoding_of(data))) == ["Datum;KH °dKH", "3.11.2026;5,5"]


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"", "empty"),
        (b"PK\x03\x04rest", "workbook"),
        (b"\xd0\xcf\x11\xe0rest", "workbook"),
        (TEXT.encode("utf-16-le"), "no text"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(1, 30)) * 9 + b"\xff", "no text"),
        (b"\xef\xbb\xbf\xff\xff", "UTF-8"),
    ],
)
def test_what_is_no_text_is_refused(data: bytes, what: str) -> None:
    with pytest.raises(NotReadable, match=what) as refused:
        encoding_of(data)
    assert "CSV" in refused.value.right


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        encoding = encoding_of(data)
    except NotReadable as refused:
        assert refused.right
        return
    assert all("\n" not in line and "\r" not in line for line in lines_of(data, encoding))


@given(st.lists(st.text(st.characters(exclude_characters="\r\n", exclude_categories=["Cs"])), max_size=8))
def test_lines_come_back_whatever_their_ends(lines: list[str]) -> None:
    for end in ("\n", "\r\n", "\r"):
        whole = "".join(line + end for line in lines)
        assert list(lines_of(whole.encode(), "utf-8")) == lines


def test_a_line_end_cut_in_two_by_a_piece_is_one() -> None:
    first = "x" * (1 << 16)
    data = (first[:-1] + "\r\nb").encode()
    assert list(lines_of(data, "utf-8")) == [first[:-1], "b"]
