"""Civil dates and clock times at a pond as moments, and windows of a day, in every zone and on days the clocks jump.

Everything counts in civil dates of the pond's zone, never in hours: a day with 23 or 25 of them is one day.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from evenwater.domain.standing_job import Window

Sun = tuple[datetime, datetime] | None
# Where the sun does not set far enough, or the place is not known. Common practice, no source.
_DAWN, _DUSK = time(7, 0), time(18, 0)


def exists(on: date, zone: ZoneInfo) -> bool:
    """Whether the zone has that date at all; a place that crosses the date line skips one."""
    noon = datetime.combine(on, time(12), zone)
    return noon.astimezone(UTC).astimezone(zone).date() == on


def moment(on: date, at: time, zone: ZoneInfo, *, second: bool = False) -> datetime:
    """A civil time at the pond as a moment in UTC.

    A time the clock skips is read with the offset before the jump; one it shows twice is the first, or the second.
    """
    civil = datetime.combine(on, at, zone)
    first = civil.astimezone(UTC)
    # For a time that is skipped the other reading is the earlier one, before anything that opens at the jump.
    return max(first, civil.replace(fold=1).astimezone(UTC)) if second else first


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
