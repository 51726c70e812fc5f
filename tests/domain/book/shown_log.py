"""Forecasts as somebody saw them, for scoring."""

from datetime import UTC, date, datetime, timedelta

from evenwater.domain.book.shown_records import (
    Band,
    Kept,
    MonthSpent,
    ShownDawn,
    ShownMonth,
)
from evenwater.domain.water.outlook import ChlorineDay, Trend

FIRST = datetime(2026, 10, 1, 18, tzinfo=UTC)
"""The first evening on which something was shown."""


def evening(day: int) -> datetime:
    return FIRST + timedelta(days=day)


def dawn(day: int) -> datetime:
    return FIRST.replace(hour=7) + timedelta(days=day)


def trend(shown_at: datetime, *forecast: tuple[datetime, float, float, float], version: str = "kh-1") -> Kept[Trend]:
    words = {"quantity": "kh_dkh", "point": "pond", "label": "KH", "unit": "°dKH", "says": ""}
    return Kept(shown_at, version, Trend(**words, past=(), forecast=forecast, wanted=(None, None)))


def night(day: int, covered: Band | None, bare: Band | None = None, version: str = "heat-1") -> Kept[ShownDawn]:
    """What was said in the evening of a day of the dawn after it."""
    return Kept(evening(day), version, ShownDawn(dawn_at=dawn(day + 1), covered=covered, bare=bare))


def chlorine(shown_at: datetime, serviced_on: date, *days: int, version: str = "carbon-1") -> Kept[ChlorineDay]:
    low, middle, high = (serviced_on + timedelta(days=one) for one in days)
    what = ChlorineDay(serviced_on=serviced_on, low=low, middle=middle, high=high, limit_ug_per_l=20)
    return Kept(shown_at, version, what)


def month(shown_at: datetime, first: date, *band: float) -> Kept[ShownMonth]:
    low, middle, high = band
    return Kept(shown_at, "cost-1", ShownMonth(month=first, band=(low, middle, high), currency="£"))


def spent(first: date, cost: float) -> Kept[MonthSpent]:
    return Kept(evening(40), "cost-1", MonthSpent(month=first, cost=cost, metered=True))
