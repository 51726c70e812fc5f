"""A log of two years, written by hand, and what a report is made of."""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

from fish_log import FishLog
from written_log import NOW

from evenwater.domain.book.outlook import PondBook
from evenwater.domain.book.shown_records import Shown
from evenwater.domain.fold import fold
from evenwater.domain.report.past import Past
from evenwater.domain.report.span import Span

SUMMER = Span(date(2026, 4, 1), date(2026, 9, 30))


class SeasonLog(FishLog):
    """A pond with years behind it; `at` gives the noon of a date."""

    @staticmethod
    def at(on: date, hour: int = 12) -> datetime:
        return datetime.combine(on, time(hour), NOW.tzinfo)

    def read(self, quantity: str, on: date, value: float, **more: object) -> None:
        self.write("reading", self.at(on), quantity=quantity, value=value, **more)

    def past(self, span: Span = SUMMER, **more: Any) -> Past:
        known = fold(self.entries)
        pond = next(one for one in known.ponds(NOW.date()) if one.id == "main")
        book = PondBook(pond="main", tag="")
        told = {
            "water": {},
            "counter": (),
            "shown": (),
            "foretold": Shown(),
            "hours": (),
            "book": book,
            "names": {},
            "now": NOW,
        }
        return Past(known=known, pond=pond, span=span, **(told | more))


def settled(told_on: date = date(2024, 1, 1), **settings: object) -> SeasonLog:
    """A pond whose keeper told of it on a date."""
    log = SeasonLog()
    for field, value in ({"name": "The long pond", "zone": "UTC"} | settings).items():
        log.write("set", log.at(told_on), target="pond", field=field, value=value)
    return log


def days(span: Span, *values: float) -> dict[date, float]:
    """Values on the dates of a span, over and over."""
    return {span.first + timedelta(days=nth): values[nth % len(values)] for nth in range(span.days)}


def row_of(rows: Sequence[tuple[str, ...]], title: str) -> tuple[str, ...]:
    """The figures behind a row's title."""
    return next(row[1:] for row in rows if row[0].startswith(title))
