"""A number as people type it into a cell: decimal comma or point, signs between thousands, "<0.05", a unit behind it.

Nothing is worked out: a formula is named as one.
"""

import re
from collections.abc import Iterable
from typing import Final, Literal

from msgspec import Struct

Decimal = Literal[",", "."]

NOTHING: Final = frozenset(
    {"", "-", "–", "—", "--", "---", "/", ".", "?", "x", "n/a", "na", "n.a.", "n/m", "#n/a", "nan", "null", "none"}
    | {"nil", "k.a.", "k. a.", "kein", "keine", "entfällt", "n. v.", "#nv", "not measured", "nicht gemessen"}
)
_FORMULA = re.compile(r"^\s*(=|@|[+-]\s*[A-Za-z$(])")
_NUMBER = re.compile(
    r"^(?P<about>~|≈|ca\.?|c\.|approx\.?|about|etwa)?\s*(?P<below><|≤|<=|unter|below)?\s*"
    r"(?P<number>[+\-−]?(?:\d[\d.,'’ \u00a0\u2009\u202f]*|[.,]\d+)(?:[eE][+-]?\d{1,2})?)\s*(?P<unit>.*)$",
    re.DOTALL,
)
_SPACES = str.maketrans("", "", " \u00a0\u2009\u202f'’")
_GROUPED = re.compile(r"^\d{1,3}([.,])\d{3}$")
_GROUPS = {sign: re.compile(rf"^\d{{1,3}}(\{sign}\d{{3}})+$") for sign in ".,"}
_SPACED = re.compile(r"^\d{1,3}([ \u00a0\u2009\u202f'’]\d{3})*$")


class Number(Struct, frozen=True):
    """What a cell holds: the number, and the words behind it that are to be a unit."""

    value: float
    unit: str


class NoNumber(Struct, frozen=True):
    """Why a cell holds no number, and what it might hold."""

    what: str
    right: str


def is_nothing(text: str) -> bool:
    """Whether a cell says that nothing was measured."""
    return text.strip().lower() in NOTHING


def is_formula(text: str) -> bool:
    """Whether a cell holds a formula. "-" and "+5" do not.

    >>> is_formula("=A1+1"), is_formula("+A1"), is_formula("-5"), is_formula("@SUM(A1)")
    (True, True, False, True)
    """
    return _FORMULA.match(text) is not None


def read_number(text: str, decimal: Decimal) -> Number | NoNumber:
    """The number in a cell that holds something.

    "<0.05", less than the kit can tell, counts as half of it (common practice, no source).

    Args:
        text: The cell.
        decimal: Which sign is the decimal one where both are possible, as in "1.250".

    >>> read_number("1.250,5", ","), read_number("5,5 dKH", ",")
    (Number(value=1250.5, unit=''), Number(value=5.5, unit='dKH'))
    """
    if is_formula(text):
        return NoNumber("a formula, not a number", "the number it shows: copy values only")
    if text.lstrip().startswith("#"):
        return NoNumber("the spreadsheet could not work this out", "a number")
    found = _NUMBER.match(text.strip())
    value = None if found is None else _value(found["number"], decimal)
    if found is None or value is None:
        above = text.strip().startswith((">", "≥"))
        return NoNumber("more than the kit could tell" if above else "no number", "a number")
    return Number(value / 2 if found["below"] else value, found["unit"].strip())


def _value(text: str, decimal: Decimal) -> float | None:
    plain, _, power = text.replace("−", "-").lower().partition("e")
    sign = -1.0 if plain.startswith("-") else 1.0
    plain = plain.lstrip("+-").rstrip(" \u00a0\u2009\u202f")
    whole = _plain(plain, decimal)
    if whole is None:
        return None
    return sign * float(f"{whole}e{power}" if power else whole)


def _plain(text: str, decimal: Decimal) -> str | None:
    """Digits with a point, or None where the signs contradict each other."""
    comma, point = text.rfind(","), text.rfind(".")
    if comma >= 0 and point >= 0:  # the last one is the decimal sign
        mark, other = (",", ".") if comma > point else (".", ",")
        whole, _, part = text.rpartition(mark)
        return _joined(whole, part) if _GROUPS[other].match(whole) else None
    mark = "," if comma >= 0 else "."
    if mark not in text:
        return text.translate(_SPACES) if _SPACED.match(text) or text.isdigit() else None
    if text.count(mark) > 1:
        return text.replace(mark, "") if _GROUPS[mark].match(text) else None
    if _GROUPED.match(text) and not text.startswith("0") and mark != decimal:
        return text.replace(mark, "")
    whole, _, part = text.partition(mark)
    if part and not part.isdigit():
        return None
    return _joined(whole, part) if not whole or whole.isdigit() or _SPACED.match(whole) else None


def _joined(whole: str, part: str) -> str:
    return f"{whole.translate(_SPACES).replace('.', '').replace(',', '') or '0'}.{part or '0'}"


def decimal_of(cells: Iterable[str]) -> Decimal | None:
    """The decimal sign a column's own cells show, None when none shows it.

    >>> decimal_of(["5,5", "6"]), decimal_of(["1.250", "980"])
    (',', None)
    """
    votes = {",": 0, ".": 0}
    for text in cells:
        found = _NUMBER.match(text.strip())
        plain = found["number"] if found else ""
        comma, point = plain.rfind(","), plain.rfind(".")
        if comma < 0 and point < 0:
            continue
        mark = "," if comma > point else "."
        grouped = plain.count(mark) > 1 or (_GROUPED.match(plain.strip()) and not plain.startswith("0"))
        if comma >= 0 and point >= 0:
            votes[mark] += 1
        elif plain.count(mark) > 1:
            votes["." if mark == "," else ","] += 1
        elif not grouped:
            votes[mark] += 1
    if votes[","] == votes["."]:
        return None
    return "," if votes[","] > votes["."] else "."
