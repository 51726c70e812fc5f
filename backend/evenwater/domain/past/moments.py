"""A civil date and time at the pond -> the moment, across clock changes.

- A date without a time stands at 18:00, when most people test.
- A time that the clock skips in spring stands as far after the change as it was meant to be: 02:30 becomes 03:30.
- A time that comes twice in autumn is the first, unless the line before is later than that.
"""

from datetime import UTC, date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from evenwater.domain.past.dates import Civil
from evenwater.domain.units import SECONDS_PER_DAY

NO_TIME_S: Final = 18 * 3600
_EPOCH: Final = date(1970, 1, 1)


class Moments:
    """Moments in one zone; remembers the last, so that a twice-told hour goes on."""

    def __init__(self, zone: ZoneInfo) -> None:
        self._zone = zone
        self._offsets: dict[date, int | None] = {}
        self._last_s = 0

    def at_s(self, civil: Civil, time_s: int | None = None) -> int:
        """Seconds since 1970 in UTC. `time_s` is the time of day from a cell of its own [s]."""
        time_s = civil.time_s if civil.time_s is not None else time_s
        time_s = NO_TIME_S if time_s is None else time_s
        naive_s = (civil.on - _EPOCH).days * SECONDS_PER_DAY + time_s
        offset_s = civil.offset_s if civil.offset_s is not None else self._offset(civil.on)
        self._last_s = naive_s - offset_s if offset_s is not None else self._across_a_change(naive_s)
        return self._last_s

    def local_date(self, at_s: int) -> date:
        """The civil date at the pond."""
        return datetime.fromtimestamp(at_s, self._zone).date()

    def _offset(self, on: date) -> int | None:
        """The offset that holds all day [s], None on a day of change."""
        if on not in self._offsets:
            if len(self._offsets) > 20_000:
                self._offsets.clear()
            start = datetime(on.year, on.month, on.day, tzinfo=self._zone)
            first, last = _offset_s(start), _offset_s(start.replace(hour=23, minute=59, second=59, fold=1))
            self._offsets[on] = first if first == last else None
        return self._offsets[on]

    def _across_a_change(self, naive_s: int) -> int:
        naive = datetime.fromtimestamp(naive_s, UTC).replace(tzinfo=None)
        first_s, second_s = (naive_s - _offset_s(naive.replace(tzinfo=self._zone, fold=fold)) for fold in (0, 1))
        # In spring the second one lies before the first, in autumn after it.
        return second_s if first_s < self._last_s <= second_s else first_s


def _offset_s(moment: datetime) -> int:
    return int((moment.utcoffset() or timedelta()).total_seconds())
