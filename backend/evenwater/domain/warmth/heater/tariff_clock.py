"""What a tariff's clock shows at a moment: the wall clock, the zone's standard time all year, or UTC."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.errors import Contradiction, require_between
from evenwater.domain.kit import Tariff
from evenwater.domain.warmth.heater.tariff_week import WEEK_MIN

YEARS: Final = (1970, 2200)
"""Years of the moments and dates that are reckoned with."""

_STEP = timedelta(days=1)
_CLOSE = timedelta(seconds=1)
_NOTHING = timedelta(0)
# A Monday at midnight; only its weekday matters.
_MONDAY = datetime(2024, 1, 1, tzinfo=UTC)


class TariffClock(Struct, frozen=True):
    """How far a tariff's clock is ahead of UTC. Made by `clock_of`."""

    kind: str
    zone: ZoneInfo

    def ahead(self, at_utc: datetime) -> timedelta:
        """What to add to UTC to read the clock.

        Standard time is the smaller of the zone's offsets in January and July of that year: where the law calls
        summer's time the standard one and winter's the exception, meters follow the winter all the same.
        """
        if self.kind == "utc":
            return _NOTHING
        if self.kind == "local":
            return at_utc.astimezone(self.zone).utcoffset() or _NOTHING
        in_year = (datetime(at_utc.year, month, 1, tzinfo=UTC).astimezone(self.zone) for month in (1, 7))
        return min(one.utcoffset() or _NOTHING for one in in_year)

    def week_min(self, at_utc: datetime, ahead: timedelta) -> float:
        """Minute of the week [min], 0 up to 10,080, the clock shows."""
        return (at_utc + ahead - _MONDAY) / timedelta(minutes=1) % WEEK_MIN

    def steady(self, begins_at: datetime, ends_at: datetime) -> Iterator[tuple[datetime, datetime, timedelta]]:
        """The time between two moments (UTC) in parts in which the clock is not changed, each with its `ahead`.

        Two changes that cancel within a day would be missed; no zone has had them.
        """
        start = at = begins_at
        ahead = self.ahead(at)
        while at < ends_at:
            after = min(at + _STEP, ends_at)
            if self.ahead(after) == ahead:
                at = after
                continue
            at = self._change(at, after, ahead)
            yield start, at, ahead
            start, ahead = at, self.ahead(at)
        if start < ends_at:
            yield start, ends_at, ahead

    def _change(self, low: datetime, high: datetime, ahead: timedelta) -> datetime:
        """When between `low` and `high` the clock is changed: always on a whole second."""
        while high - low > _CLOSE:
            middle = low + (high - low) / 2
            low, high = (middle, high) if self.ahead(middle) == ahead else (low, middle)
        return high.replace(microsecond=0)


def clock_of(tariff: Tariff, zone: ZoneInfo) -> TariffClock:
    """The clock a tariff goes by, at a pond in a zone."""
    return TariffClock(tariff.clock, zone)


def in_utc(name: str, at: datetime) -> datetime:
    """An aware moment, in UTC.

    Raises:
        OutOfRange: its year is before 1970 or after 2200.
        Contradiction: it has no zone.
    """
    require_between(name, at.year, *YEARS)
    if at.tzinfo is None:
        raise Contradiction(
            f"{name} is {at.isoformat()} of an unknown zone", where=name, right="a moment with its offset"
        )
    return at.astimezone(UTC)
