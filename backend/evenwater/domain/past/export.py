"""The log as a table for a spreadsheet: a row for each entry, text that cannot become a formula."""

import csv
import re
from collections.abc import Iterable, Iterator
from typing import Any, Final

import msgspec

from evenwater.domain.quantities import QUANTITIES

COLUMNS: Final = (
    *("placed_at", "date", "pond", "kind", "what", "value", "unit", "point", "text", "taken_back"),
    *("author", "device", "zone", "happened_at", "received_at", "seq", "id", "more"),
)
_ENVELOPE: Final = frozenset(
    {"id", "v", "pond", "kind", "happened_at", "local_date", "zone", "recorded_at", "device", "author"}
)
_VALUES: Final = {
    "reading": ("quantity", "value", ""),
    "tick": ("standing_job", "amount_g", "g"),
    "dose": ("substance", "amount_g", "g"),
    "water_change": ("", "volume_l", "L"),
    "feed": ("", "feed_g", "g"),
    "salt": ("", "salt_g", "g"),
    "service": ("service", "", ""),
    "fish_measure": ("fish", "length_cm", "cm"),
    "not_done": ("standing_job", "", ""),
    "take_back": ("entry", "", ""),
    "set": ("target", "", ""),
}
_TEXTS: Final = ("text", "reason")
# The last four as they are typed in full width, which some spreadsheets read alike.
_STARTS_A_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%", "\uff1d", "\uff0b", "\uff0d", "\uff20")
# Where a comma is for decimals, a spreadsheet parts cells at semicolons and lines, those inside a text as well.
_BEGINS_ELSEWHERE: Final = re.compile(r"([;\t\r\n]\s*\"?\s*)(?=[=+\-@|%\uff1d\uff0b\uff0d\uff20])")


class Exported(msgspec.Struct, frozen=True):
    """An entry of the log on its way out: where it stands, and what it says."""

    seq: int
    placed_at: str
    placed_on: str
    received_at: str
    entry: dict[str, Any]
    taken_back: bool


class _Lines:
    """What `csv.writer` writes to: gives back what it is given."""

    def write(self, text: str) -> str:
        return text


def csv_lines(entries: Iterable[Exported], names: dict[str, str], *, header: bool) -> Iterator[str]:
    """Lines of CSV, numbers as numbers.

    Args:
        entries: In the log's order.
        names: Of persons, by id.
        header: Whether the names of the columns come first.
    """
    writer: Any = csv.writer(_Lines(), lineterminator="\r\n")
    if header:
        yield writer.writerow(COLUMNS)
    for one in entries:
        yield writer.writerow(_row(one, names))


def _row(one: Exported, names: dict[str, str]) -> list[Any]:
    entry = one.entry
    kind = str(entry.get("kind", ""))
    what_field, value_field, unit = _VALUES.get(kind, ("", "", ""))
    what, value = str(entry.get(what_field, "")), entry.get(value_field, "")
    quantity = QUANTITIES.get(what)
    text = next((entry[name] for name in _TEXTS if isinstance(entry.get(name), str)), "")
    shown = _ENVELOPE | {what_field, value_field, "point", *_TEXTS}
    rest = {name: said for name, said in entry.items() if name not in shown}
    cells = [
        *(one.placed_at, one.placed_on, entry.get("pond"), kind, what, value),
        *(quantity.unit if quantity else unit if value != "" else "", entry.get("point", ""), text),
        *("yes" if one.taken_back else "", names.get(str(entry.get("author")), ""), entry.get("device")),
        *(entry.get("zone"), entry.get("happened_at"), one.received_at, one.seq, entry.get("id")),
        msgspec.json.encode(rest).decode() if rest else "",
    ]
    return [defused(cell) if isinstance(cell, str) else cell for cell in cells]


def defused(text: str) -> str:
    """Text that no spreadsheet takes for a formula: an apostrophe goes before what could begin one.

    Source: OWASP, CSV Injection (owasp.org/www-community/attacks/CSV_Injection), cited from memory.

    >>> defused("=1+1"), defused("clear"), defused(" =1"), defused("clear;=1+1")
    ("'=1+1", 'clear', "' =1", "clear;'=1+1")
    """
    text = _BEGINS_ELSEWHERE.sub(r"\1'", text)
    return f"'{text}" if text.startswith(_STARTS_A_FORMULA) or text.lstrip().startswith(_STARTS_A_FORMULA) else text
