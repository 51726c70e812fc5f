"""From a date to a date, both included, and the same dates a year before: what a season report looks at."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Final, TypeVar

from msgspec import Struct

from evenwater.domain.errors import Contradiction, OutOfRange

MOST_DAYS: Final = 366
"""A longer report would stand beside itself, a year before."""
EARLIEST: Final = date(1970, 1, 1)

Of = TypeVar("Of")


class Span(Struct, frozen=True):
    """The dates from `first` to `last`, both included."""

    first: date
    last: date

    @property
    def days(self) -> int:
        """How many dates."""
        return (self.last - self.first).days + 1

    @property
    def before(self) -> "Span":
        """The same dates a year before; 28 February for the 29th. It ends before this one begins."""
        first, last = a_year_before(self.first), a_year_before(self.last)
        return Span(first, min(last, self.first - timedelta(days=1)))

    def holds(self, on: date) -> bool:
        """Whether a date is one of them."""
        return self.first <= on <= self.last

    def of(self, by_date: Mapping[date, Of]) -> dict[date, Of]:
        """Those of its dates, ascending."""
        return {on: by_date[on] for on in sorted(by_date) if self.holds(on)}

    def months(self) -> "list[Span]":
        """Cut where the month changes."""
        found: list[Span] = []
        first = self.first
        while first <= self.last:
            ends = (first.replace(day=1) + timedelta(days=31)).replace(day=1) - timedelta(days=1)
            found.append(Span(first, min(ends, self.last)))
            first = ends + timedelta(days=1)
        return found

    def words(self) -> str:
        """ "1 April to 30 September 2026"; the year of both where it is not the same."""
        if self.first == self.last:
            return day_words(self.last)
        year = "" if self.first.year == self.last.year else f" {self.first.year}"
        return f"{self.first.day} {self.first:%B}{year} to {day_words(self.last)}"


def a_year_before(on: date) -> date:
    """The same date a year before; 28 February for the 29th."""
    leap_day = (on.month, on.day) == (2, 29)
    return on.replace(year=on.year - 1, day=28 if leap_day else on.day)


def day_words(on: date) -> str:
    """ "3 November 2026"."""
    return f"{on.day} {on:%B} {on.year}"


def short_day(on: date) -> str:
    """ "3 Nov"."""
    return f"{on.day} {on:%b}"


def span_asked(first: date, last: date, today: date) -> Span:
    """The span somebody asked for, as far as it has come.

    Args:
        first: Its first date, 1970 or later.
        last: Its last; what lies after today is cut off.
        today: The civil date at the pond.

    Raises:
        Contradiction: it ends before it begins, or has not begun.
        OutOfRange: it is longer than 366 days, or begins before 1970.
    """
    if last < first:
        raise Contradiction(
            f"it ends on {day_words(last)}, before it begins", where="last", right=f"{day_words(first)} or later"
        )
    if first > today:
        raise Contradiction(
            f"{day_words(first)} is still to come", where="first", right=f"{day_words(today)} or earlier"
        )
    if first < EARLIEST:
        raise OutOfRange("first", first.year, EARLIEST.year, today.year, "as its year")
    found = Span(first, min(last, today))
    if found.days > MOST_DAYS:
        raise OutOfRange("last", found.days, 1, MOST_DAYS, "days after the first")
    return found
