"""Recurrence rules of RFC 5545 on civil dates: read strictly, and never followed for longer than it takes.

- A job stands on a day at most, so FREQ is DAILY or slower and nothing finer than a day is said; the hour is the
  window's. What RFC 5545 forbids to stand together is refused here, though the library would take it.
- dateutil follows a rule that falls on no date to the year 9999. The calendar repeats itself, weekdays and all, every
  400 years, so a rule is followed as near to that end as it goes: nothing takes longer than 400 years of dates.
- DTSTART is the job's `starts_on`. Unlike a calendar's event, a job does not stand on that date unless the rule says
  so. A job without one counts from `ANCHOR`, a Monday and the first of a year.
"""

from collections.abc import Iterator, Mapping
from datetime import MAXYEAR, date, datetime, time
from functools import lru_cache
from itertools import takewhile
from typing import Any, Final, Literal

from dateutil import rrule
from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.errors import Contradiction, DomainError, NotOneOf

ANCHOR: Final = date(2001, 1, 1)
EARLIEST_START: Final = date(1970, 1, 1)
"""A start before this counts as this: nobody's pond rests on it, and each year would be followed at every look."""
WITHIN_YEARS: Final = 10
"""A rule that falls on no date of so many years is one that never falls. Leap days come at least every eight."""

_FREQUENCIES: Final[Mapping[str, Literal[0, 1, 2, 3]]] = {
    "DAILY": rrule.DAILY,
    "WEEKLY": rrule.WEEKLY,
    "MONTHLY": rrule.MONTHLY,
    "YEARLY": rrule.YEARLY,
}
_FINER: Final = frozenset({"HOURLY", "MINUTELY", "SECONDLY"})
_WEEKDAYS: Final = {
    "MO": rrule.MO,
    "TU": rrule.TU,
    "WE": rrule.WE,
    "TH": rrule.TH,
    "FR": rrule.FR,
    "SA": rrule.SA,
    "SU": rrule.SU,
}
# Parts that are lists of whole numbers: what they are called in the library, their greatest size, whether "-1" stands.
_LISTS: Final = {
    "BYMONTH": ("bymonth", 12, False),
    "BYMONTHDAY": ("bymonthday", 31, True),
    "BYYEARDAY": ("byyearday", 366, True),
    "BYWEEKNO": ("byweekno", 53, True),
    "BYSETPOS": ("bysetpos", 366, True),
}
_OTHERS: Final = ("FREQ", "INTERVAL", "COUNT", "UNTIL", "WKST", "BYDAY")
_OF_AN_HOUR: Final = frozenset({"BYHOUR", "BYMINUTE", "BYSECOND"})
_MOST_INTERVAL, _MOST_COUNT = 1000, 10_000
_CYCLE_YEARS: Final = 400
_DATE_DIGITS: Final = 8
_MOST_IN_A_MONTH: Final = 5
_MOST_IN_A_SET: Final = {"DAILY": 1, "WEEKLY": 7, "MONTHLY": 31, "YEARLY": 366}


class Rule(Struct, frozen=True):
    """A rule as read: `parts` as written, `by` as the library takes them."""

    parts: Mapping[str, str]
    frequency: Literal[0, 1, 2, 3]
    interval: int
    count: int | None
    until: date | None
    week_starts: Any
    by: Mapping[str, Any]


def check_rule(rule: str, starts_on: date | None = None) -> None:
    """Look at a rule before it is kept.

    Args:
        rule: As in RFC 5545, section 3.3.10: "FREQ=MONTHLY;BYDAY=1SA".
        starts_on: Where it counts from; without it only what it says of days is looked at, whatever its interval.

    Raises:
        DomainError: no such rule, one finer than a day, or one that falls on no date within ten years.
    """
    begins = starts_on or ANCHOR
    if not _falls(rule, starts_on):
        what = f"{rule!r} falls on no date from {begins.year} to {begins.year + WITHIN_YEARS}"
        raise Contradiction(what, where="rule", right="a rule that falls on some date, such as FREQ=MONTHLY;BYDAY=1SA")


@lru_cache(maxsize=2000)
def _falls(rule: str, starts_on: date | None) -> bool:
    read, begins = read_rule(rule), starts_on or ANCHOR
    if starts_on is None:
        read = replace(read, interval=1, count=None, until=None)
    return any(True for _ in _followed(read, begins, begins.year + WITHIN_YEARS))


def dates_of(rule: str, starts_on: date | None, first: date, last: date) -> tuple[date, ...]:
    """The dates from `first` to `last` on which a rule falls, ascending; none for a rule that cannot be read."""
    begins = max(starts_on or ANCHOR, EARLIEST_START)
    return tuple(on for on in _in_years(rule, begins, first.year, last.year) if first <= on <= last)


@lru_cache(maxsize=2000)
def _in_years(rule: str, begins: date, first: int, last: int) -> tuple[date, ...]:
    try:
        read = read_rule(rule)
        if read.frequency == rrule.DAILY and read.interval == 1 and read.count is None:
            begins = max(begins, date(first, 1, 1))  # no day hangs on the one before: those long gone are passed over
        return tuple(on for on in _followed(read, begins, last) if on.year >= first)
    except DomainError:
        return ()


def _followed(rule: Rule, begins: date, last_year: int) -> Iterator[date]:
    """The rule's dates to the end of a year, followed as late in the calendar as it goes."""
    if begins.year > last_year:
        return
    shift = (MAXYEAR - last_year) // _CYCLE_YEARS * _CYCLE_YEARS
    end = date(last_year, 12, 31)
    until = end if rule.until is None else min(end, rule.until)
    if until < begins:
        return
    made = rrule.rrule(
        rule.frequency,
        dtstart=datetime.combine(_shifted(begins, shift), time()),
        interval=rule.interval,
        count=rule.count,
        wkst=rule.week_starts,
        **rule.by,
    )
    stop = _shifted(until, shift)
    for at in takewhile(lambda at: at.date() <= stop, made):
        yield _shifted(at.date(), -shift)


def _shifted(on: date, years: int) -> date:
    return on.replace(year=on.year + years)


@lru_cache(maxsize=2000)
def read_rule(rule: str) -> Rule:
    """A rule's parts.

    Args:
        rule: As in RFC 5545; letters of either size.

    Raises:
        DomainError: it is none, or is finer than a day.
    """
    parts = _parts(rule)
    frequency = parts.get("FREQ", "")
    if frequency in _FINER or _OF_AN_HOUR & parts.keys():
        what = f"{rule!r} falls more than once a day"
        raise Contradiction(what, where="rule", right="FREQ=DAILY or slower; the hour belongs to the job's window")
    if frequency not in _FREQUENCIES:
        raise NotOneOf("FREQ", frequency, _FREQUENCIES)
    if "COUNT" in parts and "UNTIL" in parts:
        raise Contradiction("a rule ends by COUNT or by UNTIL", where="rule", right="one of them")
    by = {name: _numbers(part, parts[part]) for part, (name, _, _) in _LISTS.items() if part in parts}
    if "BYDAY" in parts:
        by["byweekday"] = [_weekday(one) for one in parts["BYDAY"].split(",")]
    _check_together(frequency, parts)
    return Rule(
        parts=parts,
        frequency=_FREQUENCIES[frequency],
        interval=_number("INTERVAL", parts.get("INTERVAL", "1"), 1, _MOST_INTERVAL),
        count=_number("COUNT", parts["COUNT"], 1, _MOST_COUNT) if "COUNT" in parts else None,
        until=_until(parts["UNTIL"]) if "UNTIL" in parts else None,
        week_starts=_weekday(parts.get("WKST", "MO")),
        by=by,
    )


def _parts(rule: str) -> dict[str, str]:
    text = rule.strip().upper().removeprefix("RRULE:")
    parts: dict[str, str] = {}
    for piece in text.split(";"):
        name, equals, value = piece.partition("=")
        if not equals or not value or name in parts:
            raise DomainError(f"{piece!r} is no part of a rule", where="rule", right="FREQ=WEEKLY;BYDAY=SA;INTERVAL=2")
        if name not in _LISTS and name not in _OTHERS and name not in _OF_AN_HOUR:
            raise NotOneOf("rule", name, (*_LISTS, *_OTHERS))
        parts[name] = value
    return parts


def _check_together(frequency: str, parts: Mapping[str, str]) -> None:
    """What RFC 5545, section 3.3.10, says must not stand together."""
    nths = [int(one[:-2]) for one in parts.get("BYDAY", "MO").split(",") if one[:-2]]
    counted = bool(nths)
    of_a_month = frequency == "MONTHLY" or "BYMONTH" in parts
    if of_a_month and any(abs(nth) > _MOST_IN_A_MONTH for nth in nths):
        what = f"BYDAY={parts['BYDAY']} falls on no date: a month has a weekday five times at most"
        raise Contradiction(what, where="rule", right="1 to 5, or -1 to -5 counted from the month's end")
    positions = [abs(int(one)) for one in parts.get("BYSETPOS", "1").split(",")]
    if min(positions) > _MOST_IN_A_SET[frequency]:
        what = f"BYSETPOS={parts['BYSETPOS']} falls on no date"
        raise Contradiction(
            what, where="rule", right=f"1 to {_MOST_IN_A_SET[frequency]}, or the same counted from the end"
        )
    forbidden = {
        "BYWEEKNO": frequency != "YEARLY",
        "BYYEARDAY": frequency in ("DAILY", "WEEKLY", "MONTHLY"),
        "BYMONTHDAY": frequency == "WEEKLY",
        "BYDAY": counted and (frequency in ("DAILY", "WEEKLY") or "BYWEEKNO" in parts),
        "BYSETPOS": not any(part.startswith("BY") and part != "BYSETPOS" for part in parts),
    }
    for part, wrong in forbidden.items():
        if wrong and part in parts:
            what = f"{part}={parts[part]} does not stand with the rest of the rule"
            raise Contradiction(what, where="rule", right="as in RFC 5545, section 3.3.10")


def _numbers(part: str, value: str) -> list[int]:
    _, most, negative = _LISTS[part]
    found = [_number(part, one, -most if negative else 1, most) for one in value.split(",")]
    if 0 in found:
        raise DomainError(f"{part} has a 0", where="rule", right=f"1 to {most}")
    return found


def _number(part: str, value: str, low: int, high: int) -> int:
    digits = value[1:] if value[0] in "+-" else value
    if not (digits.isascii() and digits.isdigit()) or not low <= int(value) <= high:
        raise DomainError(f"{part} is {value}", where="rule", right=f"a whole number from {low} to {high}")
    return int(value)


def _weekday(value: str) -> Any:
    name, nth = value[-2:], value[:-2]
    if name not in _WEEKDAYS:
        raise NotOneOf("weekday", value, _WEEKDAYS)
    if not nth:
        return _WEEKDAYS[name]
    number = _number("BYDAY", nth, -53, 53)
    if number == 0:
        raise DomainError(f"{value} is no weekday", where="rule", right="1SA, -1SU")
    return _WEEKDAYS[name](number)


def _until(value: str) -> date:
    try:
        if len(value) == _DATE_DIGITS and value.isascii() and value.isdigit():
            return date(int(value[:4]), int(value[4:6]), int(value[6:]))
    except ValueError:
        pass
    raise DomainError(f"UNTIL is {value}", where="rule", right="a date: 20271231")
