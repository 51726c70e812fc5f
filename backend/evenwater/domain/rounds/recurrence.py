"""On which civil dates a standing job falls, and when its window stands on such a date.

Everything counts in civil dates of the pond's zone, never in hours: a day with 23 or 25 of them is one day.
"""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from evenwater.domain.standing_job import AfterDone, EveryDay, OnWeekdays, Recurrence, Window

Sun = tuple[datetime, datetime] | None
_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
# Where the sun does not set far enough, or the place is not known. Common practice, no source.
_DAWN, _DUSK = time(7, 0), time(18, 0)


def falls_on(recur: Recurrence, on: date) -> bool:
    """Whether a rule that goes by the calendar falls on a date; never for a rule that goes by what was done."""
    if isinstance(recur, EveryDay):
        return True
    return isinstance(recur, OnWeekdays) and _WEEKDAYS[on.weekday()] in recur.days


def dates_between(
    recur: Recurrence, first: date, last: date, starts_on: date | None, done_on: date | None
) -> Iterator[date]:
    """The dates from `first` to `last` on which a job falls, ascending.

    A rule that goes by what was done starts so many days after `done_on` (or on `starts_on` when it never was), and
    then supposes each to be done on its day. What fell due before `first` and is not done comes first, once, with its
    own date.
    """
    if isinstance(recur, AfterDone):
        due = done_on + timedelta(days=recur.days) if done_on else starts_on or first
        while due <= last:
            yield due
            due = max(due, first) + timedelta(days=recur.days)
        return
    on = max(first, starts_on or first)
    while on <= last:
        if falls_on(recur, on):
            yield on
        on += timedelta(days=1)


def last_before(recur: Recurrence, today: date, starts_on: date | None) -> date | None:
    """The last date before `today` on which a weekday rule fell; what is missed waits until its next day comes."""
    if isinstance(recur, EveryDay | AfterDone):
        return None
    for back in range(1, 8):
        on = today - timedelta(days=back)
        if falls_on(recur, on):
            return on if starts_on is None or on >= starts_on else None
    return None


def exists(on: date, zone: ZoneInfo) -> bool:
    """Whether the zone has that date at all; a place that crosses the date line skips one."""
    noon = datetime.combine(on, time(12), zone)
    return noon.astimezone(UTC).astimezone(zone).date() == on


def moment(on: date, at: time, zone: ZoneInfo, *, second: bool = False) -> datetime:
    """A civil time at the pond as a moment in UTC.

    A time the clock skips is read with the offset before the jump; one it shows twice is the first, or the second.
    """
    civil = datetime.combine(on, at, zone)
    first, other = civil.astimezone(UTC), civil.replace(fold=1).astimezone(UTC)
    # For a time that is skipped the other reading is the earlier one, before anything that opens at the jump.
    return max(first, other) if second else first


def window_on(window: Window, on: date, zone: ZoneInfo, sun: Sun) -> tuple[datetime, datetime]:
    """When a window opens and closes on a date, in UTC. One that closes before it opens closes the day after."""
    opens = _edge(window.opens, on, zone, sun, second=False)
    closes = _edge(window.closes, on, zone, sun, second=True)
    if closes <= opens:
        closes = _edge(window.closes, on + timedelta(days=1), zone, sun, second=True)
        if closes <= opens or not _by_clock(window.closes):
            closes = opens + timedelta(hours=1)
    return opens, closes


def _by_clock(edge: str) -> bool:
    return edge[0].isdigit()


def _edge(edge: str, on: date, zone: ZoneInfo, sun: Sun, *, second: bool) -> datetime:
    if _by_clock(edge):
        return moment(on, time.fromisoformat(edge), zone, second=second)
    name, sign, hours, minutes = edge[:4], edge[4], int(edge[5:7]), int(edge[8:10])
    shift = timedelta(hours=hours, minutes=minutes)
    dawn, dusk = sun or (moment(on, _DAWN, zone), moment(on, _DUSK, zone))
    base = dawn if name == "dawn" else dusk
    return (base - shift if sign == "-" else base + shift).replace(second=0, microsecond=0)
