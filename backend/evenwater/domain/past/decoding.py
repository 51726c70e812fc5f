"""Bytes of a file somebody saved from a spreadsheet -> lines of text, a piece at a time.

Spreadsheets write UTF-8 with or without its mark, UTF-16 with one ("Unicode text"), or Windows-1252. What is none of
these is refused with what to do instead; nothing is guessed from a file that is no text.
"""

import codecs
from collections.abc import Iterator
from typing import Final

from evenwater.domain.errors import DomainError

_PIECE: Final = 1 << 16
_MARKS: Final = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_ZIP: Final = b"PK\x03\x04"
_OLD_WORKBOOK: Final = b"\xd0\xcf\x11\xe0"


class NotReadable(DomainError):
    """A file that cannot be read as a table of text."""

    code = "not_readable"


def _refused(what: str, right: str = "a file saved from the spreadsheet as CSV, in UTF-8") -> NotReadable:
    return NotReadable(what, where="file", right=right)


def encoding_of(data: bytes) -> str:
    """The encoding the file is in: "utf-8", "utf-8-sig", "utf-16" or "cp1252".

    Raises:
        NotReadable: empty, a workbook, or no text.
    """
    if not data.strip():
        raise _refused("the file is empty")
    if data.startswith((_ZIP, _OLD_WORKBOOK)):
        raise _refused("this is a workbook, not a table of text", "save it as CSV first, and choose that file")
    marked = next((encoding for mark, encoding in _MARKS if data.startswith(mark)), None)
    if marked != "utf-16" and b"\0" in data:
        raise _refused(f"the file holds bytes that are no text (byte {data.index(0)})")
    if marked:
        _check(data, marked)
        return marked
    try:
        _check(data, "utf-8")
    except NotReadable:
        _check_windows(data)
        return "cp1252"
    return "utf-8"


def _check(data: bytes, encoding: str) -> None:
    """Decode it all once, keeping none of it."""
    decoder = codecs.getincrementaldecoder(encoding)()
    try:
        for start in range(0, len(data), _PIECE):
            piece = decoder.decode(data[start : start + _PIECE], final=start + _PIECE >= len(data))
            if encoding == "utf-16" and "\0" in piece:
                raise _refused("the file holds bytes that are no text")
    except UnicodeDecodeError as error:
        raise _refused(f"the file says it is {encoding.upper()} and is not ({error.reason})") from error


def _check_windows(data: bytes) -> None:
    # Text has line ends and tabs, and no other control characters; a picture has many.
    controls = sum(data.count(code) for code in range(32) if code not in (9, 10, 12, 13))
    if controls * 200 > len(data):
        raise _refused("the file is no text")


def lines_of(data: bytes, encoding: str) -> Iterator[str]:
    """The lines without their ends, whichever ends they have. Bytes that mean nothing in cp1252 become "�"."""
    decoder = codecs.getincrementaldecoder(encoding)("replace")
    rest = ""
    for start in range(0, len(data), _PIECE):
        text = rest + decoder.decode(data[start : start + _PIECE], final=start + _PIECE >= len(data))
        held = "\r" if text.endswith("\r") else ""  # its "\n" may come with the next piece
        text = text[: len(text) - len(held)].replace("\r\n", "\n").replace("\r", "\n")
        *whole, rest = text.split("\n")
        rest += held
        yield from whole
    if rest:
        yield rest.removesuffix("\r")
