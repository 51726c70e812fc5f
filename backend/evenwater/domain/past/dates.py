"""Dates and times as people and spreadsheets write them.

The order of day and month is decided over a whole column (`order_of`); one cell alone cannot tell it.
"""

import re
from collections.abc import Iterable
from datetime import date, timedelta
from typing import Final, Literal

from msgspec import Struct

from evenwater.domain.units import SECONDS_PER_DAY

DateOrder = Literal["ymd", "dmy", "mdy"]

_SERIAL_ZERO: Final = date(1899, 12, 30)
"""Day 0 of a spreadsheet's day numbers, true from 1 March 1900 on.

Source: ECMA-376 (5th ed.) part 1, 18.17.4.1, the 1900 date system, cited from memory.
"""
_SERIALS: Final = (32_874, 73_050)  # 1990 to 2099

_MONTHS: Final = {
    name[:3]: number
    for number, names in enumerate(
        (
            "january januar janvier enero",
            "february februar",
            "march märz mrz maart",
            "april avril abril",
            "may mai mei",
            "june juni",
            "july juli",
            "august août",
            "september",
            "october oktober",
            "november",
            "december dezember",
        ),
        1,
    )
    for name in names.split()
}
_WEEKDAY = re.compile(
    r"^(?:mon|tue|wed|thu|fri|sat|sun|mo|di|mi|do|fr|sa|so|die|mit|don|fre|sam|son)[a-zäöü]*\.?[,\s]\s*", re.IGNORECASE
)
_YMD = re.compile(r"^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})\.?(?!\d)")
_RUN = re.compile(r"^(\d{4})(\d{2})(\d{2})(?!\d)")
_NUMBERS = re.compile(r"^(\d{1,2})\s*[./-]\s*(\d{1,2})(?:\s*[./-]\s*(\d{4}|\d{2})?)?(?![\d./-])")
_NAMED = re.compile(r"^(\d{1,2})\.?[\s-]*([a-zäöüû]{3,9})\.?[\s,-]*(\d{4}|\d{2}(?!:))?(?!\d)", re.IGNORECASE)
_NAMED_FIRST = re.compile(r"^([a-zäöüû]{3,9})\.?\s*(\d{1,2})(?:st|nd|rd|th)?,?\s*(\d{4})?(?!\d)", re.IGNORECASE)
_SERIAL = re.compile(r"^(\d{5})(?:[.,](\d+))?$")
_TIME = re.compile(
    r"^(\d{1,2})(?:[:.h](\d{2}))?(?::(\d{2})(?:[.,]\d+)?)?\s*(a\.?m\.?|p\.?m\.?|uhr|h)?\s*(z|utc|[+-]\d{2}:?\d{2})?$",
    re.IGNORECASE,
)
_FRACTION = re.compile(r"^0?[.,](\d+)$")


class Civil(Struct, frozen=True, gc=False):
    """A civil date, its time of day [s] when one is given, and its offset from UTC [s] when that is."""

    on: date
    time_s: int | None = None
    offset_s: int | None = None


class NoDate(Struct, frozen=True):
    """Why a cell holds no date."""

    what: str
    right: str


_FORMS: Final = {"ymd": "2026-03-31", "dmy": "31.3.2026", "mdy": "3/31/2026"}


def read_date(text: str, order: DateOrder, year: int | None = None) -> Civil | NoDate:
    """The date in a cell, and the time when it stands there too.

    Args:
        text: The cell.
        order: Of day, month and year where only numbers stand.
        year: For dates that name none.

    >>> read_date("3.2.26 18:05", "dmy")
    Civil(on=datetime.date(2026, 2, 3), time_s=65100, offset_s=None)
    """
    plain = _WEEKDAY.sub("", text.strip())
    serial = _SERIAL.match(plain)
    if serial:
        return _from_serial(int(serial[1]), serial[2]) or _no_date(order)
    found = _parts(plain, order)
    if found is None:
        return _no_date(order)
    (y, m, d), rest = found
    y = y if y is not None else year
    if y is None:
        return NoDate("a date without its year", "a date with its year, or the year chosen above")
    try:
        on = date(y, m, d)
    except ValueError:
        return _no_date(order, f"no day of the calendar, read as day {d}, month {m}, year {y}")
    time = read_time(rest.strip().removeprefix("T").removeprefix(",").strip()) if rest.strip() else (None, None)
    if time is None:
        return NoDate("a date, and then something that is no time of day", "a time such as 18:05")
    return Civil(on, *time)


def _no_date(order: DateOrder, what: str = "no date") -> NoDate:
    return NoDate(what, f"a date such as {_FORMS[order]}")


_Parts = tuple[tuple[int | None, int, int], str]


def _parts(text: str, order: DateOrder) -> _Parts | None:
    """((year, month, day), what stands behind)."""
    if found := _YMD.match(text) or _RUN.match(text):
        y, m, d = (int(part) for part in found.groups())
        return (y, m, d), text[found.end() :]
    if found := _NUMBERS.match(text):
        a, b = int(found[1]), int(found[2])
        month, day = (a, b) if order == "mdy" else (b, a)
        return (_year(found[3]), month, day), text[found.end() :]
    if found := _NAMED.match(text):
        day, name, year = found.groups()
    elif found := _NAMED_FIRST.match(text):
        name, day, year = found.groups()
    else:
        return None
    month = _MONTHS.get(name.lower()[:3])
    return None if month is None else ((_year(year), month, int(day)), text[found.end() :])


def _year(text: str | None) -> int | None:
    """Two digits: 00 to 68 are of this century. Source: POSIX strptime, conversion %y."""
    if text is None or len(text) == 4:
        return int(text) if text else None
    return int(text) + (2000 if int(text) <= 68 else 1900)


def _from_serial(day: int, part: str | None) -> Civil | None:
    if not _SERIALS[0] <= day <= _SERIALS[1]:
        return None
    time_s = round(float(f"0.{part}") * SECONDS_PER_DAY) if part else None
    on = _SERIAL_ZERO + timedelta(days=day)
    return Civil(on + timedelta(days=1), 0) if time_s == SECONDS_PER_DAY else Civil(on, time_s)


def read_time(text: str) -> tuple[int, int | None] | None:
    """(seconds since midnight, offset from UTC [s] or None), or None when it is no time of day.

    >>> read_time("6:05 pm"), read_time("18.05 Uhr"), read_time("0,75"), read_time("25:00")
    ((65100, None), (65100, None), (64800, None), None)
    """
    plain = text.strip()
    if part := _FRACTION.match(plain):
        return round(float(f"0.{part[1]}") * SECONDS_PER_DAY) % SECONDS_PER_DAY, None
    found = _TIME.match(plain)
    if not found or not (found[2] or found[4]):
        return None
    hour, minute, second = int(found[1]), int(found[2] or 0), int(found[3] or 0)
    half = (found[4] or "").lower().replace(".", "")
    if half in ("am", "pm"):
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59 or second > 59:
        return None
    return hour * 3600 + minute * 60 + second, _offset(found[5])


def _offset(text: str | None) -> int | None:
    if text is None:
        return None
    if text.lower() in ("z", "utc"):
        return 0
    digits = text[1:].replace(":", "")
    return (int(digits[:2]) * 3600 + int(digits[2:]) * 60) * (-1 if text[0] == "-" else 1)


class OrderFound(Struct, frozen=True):
    """The order of a column's dates; `sure` when some date can only be read that way."""

    order: DateOrder
    sure: bool
    why: str


def order_of(cells: Iterable[str]) -> OrderFound:
    """The order of day and month over a whole column: a number above 12 can only be a day.

    >>> order_of(["03/04/2026", "03/25/2026"]).order
    'mdy'
    """
    day_first = month_first = numeric = 0
    for text in cells:
        found = _NUMBERS.match(_WEEKDAY.sub("", text.strip()))
        if not found:
            continue
        a, b = int(found[1]), int(found[2])
        numeric += 1
        day_first += a > 12 >= b
        month_first += b > 12 >= a
    if day_first or month_first:
        order: DateOrder = "mdy" if month_first > day_first else "dmy"
        both = f"; {min(day_first, month_first)} can only be read the other way" if day_first and month_first else ""
        return OrderFound(order, not both, f"{max(day_first, month_first)} of the dates can only be read so{both}")
    if not numeric:
        return OrderFound("ymd", True, "the dates leave no choice")
    return OrderFound("dmy", False, "no day above the 12th shows which is the month: please check")
