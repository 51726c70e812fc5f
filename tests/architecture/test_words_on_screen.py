"""The naming check: every word a person may read is a plain English one or stands in known_words.txt, with its kind.

A reader answers for each line there: a trade's term, a unit, a name in a source, our own word. So a name out of some
other program cannot come in unseen.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from spellchecker import SpellChecker

ROOT = Path(__file__).parents[2]
FRONTEND, BACKEND = ROOT / "frontend", ROOT / "backend" / "evenwater"
KNOWN = Path(__file__).with_name("known_words.txt")
# What is read there and not written: column headers in other people's tables, in four languages; and SQL.
_NOT_SAID = ("domain/past/", "storage/")
_STRING = re.compile(r'"([^"\n]*)"|`([^`]*)`')
_CODE = re.compile(r"\$\{[^}]*\}|<[^>]*>|\{[^}]*\}|\S*[/_=()]\S*|\S*\.\w+\S*")
_WORD = re.compile(r"[A-Za-z][a-z']+|[A-Z]{3,}")


def words_in(text: str) -> set[str]:
    """Its words in small letters, without markup, paths and what a program fills in."""
    return {word.lower().strip("'").removesuffix("'s") for word in _WORD.findall(_CODE.sub(" ", text))} - {""}


def said_by_pages() -> Iterator[tuple[str, str]]:
    """Every string of the words files, and the pages that are plain HTML: (file, text)."""
    for file in [FRONTEND / "words.js", *(FRONTEND / "words").glob("*.js")]:
        code = re.sub(r"^\s*(/\*|\*|//).*$", "", file.read_text(encoding="utf-8"), flags=re.MULTILINE)
        for double, template in _STRING.findall(code):
            yield file.name, double or template
    for file in FRONTEND.glob("*.html"):
        yield file.name, file.read_text(encoding="utf-8")


def said_by_home() -> Iterator[tuple[str, str]]:
    """Every string of the server that may be a sentence: it has a space, and is no docstring. (file, text)"""
    for file in BACKEND.rglob("*.py"):
        if file.relative_to(BACKEND).as_posix().startswith(_NOT_SAID) or file.stem.endswith("_style"):
            continue
        tree = ast.parse(file.read_text(encoding="utf-8"))
        silent = {id(one.value) for one in ast.walk(tree) if isinstance(one, ast.Expr)}
        for one in ast.walk(tree):
            text = one.value if isinstance(one, ast.Constant) and id(one) not in silent else None
            if isinstance(text, str) and " " in text.strip():
                yield file.name, text


def test_every_word_on_screen_is_plain_english_or_answered_for() -> None:
    found: dict[str, set[str]] = {}
    for file, text in [*said_by_pages(), *said_by_home()]:
        for word in words_in(text):
            found.setdefault(word, set()).add(file)
    unknown = SpellChecker().unknown(found)
    known = {line.strip() for line in KNOWN.read_text(encoding="utf-8").splitlines() if not line.startswith("#")} - {""}
    news = {word: sorted(found[word]) for word in sorted(unknown - known)}
    assert not news, "read these: plain words instead, or a line in known_words.txt under its kind"
    assert known <= unknown, f"nothing says these any more: {sorted(known - unknown)}"
    assert len(found) > 1500, "the strings were found"
