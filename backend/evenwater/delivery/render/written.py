"""What a message says, before it is known by which way it goes: plain text, and HTML in which people's words are only
words."""

from collections.abc import Iterable
from html import escape

from msgspec import Struct


class Written(Struct, frozen=True):
    """`subject` is one line; `html` is what stands in the body of a page."""

    subject: str
    text: str
    html: str


def one_line(text: str, most: int = 200) -> str:
    """Text that cannot leave the line it stands in: a subject, a name in a list."""
    plain = "".join(one if one.isprintable() else " " for one in text)
    return " ".join(plain.split())[:most].rstrip()


def paragraphs(lines: Iterable[str]) -> str:
    """Lines as paragraphs of HTML, escaped; empty ones are left out."""
    return "".join(f"<p>{escape(one)}</p>" for one in lines if one)


def numbered(steps: Iterable[str]) -> str:
    """Steps as a numbered list of HTML, escaped; nothing when there are none."""
    rows = "".join(f"<li>{escape(one)}</li>" for one in steps)
    return f"<ol>{rows}</ol>" if rows else ""
