"""Civil times at the pond become moments, across clock changes too."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from evenwater.domain.past.dates import Civil
from evenwater.domain.past.moments import Moments

BERLIN = ZoneInfo("Europe/Berlin")


def at(moments: Moments, on: date, hour: int | None = None, minute: int = 0, **more: int) -> str:
    civil = Civil(on, None if hour is None else hour * 3600 + minute * 60, more.get("offset_s"))
    return f"{datetime.fromtimestamp(moments.at_s(civil), UTC):%Y-%m-%d %H:%M}"


def test_a_date_without_a_time_stands_at_six_in_the_evening() -> None:
    assert at(Moments(BERLIN), date(2026, 7, 1)) == "2026-07-01 16:00"
    assert at(Moments(BERLIN), date(2026, 12, 1)) == "2026-12-01 17:00"


def test_a_time_of_its_own_column_counts_where_the_date_brings_none() -> None:
    assert Moments(ZoneInfo("UTC")).at_s(Civil(date(1970, 1, 1)), 60) == 60
    assert Moments(ZoneInfo("UTC")).at_s(Civil(date(1970, 1, 1), 5), 60) == 5


def test_a_skipped_time_stands_after_the_change() -> None:
    assert at(Moments(BERLIN), date(2026, 3, 29), 2, 30) == "2026-03-29 01:30"
    assert at(Moments(BERLIN), date(2026, 3, 29), 3, 30) == "2026-03-29 01:30"


def test_an_hour_told_twice_goes_on() -> None:
    moments, day = Moments(BERLIN), date(2026, 10, 25)
    told = [at(moments, day, 1, 30), at(moments, day, 2, 0), at(moments, day, 2, 30), at(moments, day, 2, 0)]
    assert told == ["2026-10-24 23:30", "2026-10-25 00:00", "2026-10-25 00:30", "2026-10-25 01:00"]
    assert at(moments, day, 2, 30) == "2026-10-25 01:30"
    assert at(moments, day, 3, 0) == "2026-10-25 02:00"


def test_an_offset_told_goes_before_the_zone() -> None:
    assert at(Moments(BERLIN), date(2026, 7, 1), 12, offset_s=-3600) == "2026-07-01 13:00"
