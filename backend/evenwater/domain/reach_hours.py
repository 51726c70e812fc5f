"""When a person is to be reached: the hour of their list, the hours they want quiet, and when to try again.

Everything counts in the civil time of the person's own zone.
"""

from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from evenwater.domain.entries import zone_named
from evenwater.domain.messages import Reach

STILL_SENT_FOR: Final = timedelta(hours=6)
"""A list that could not be made at its hour (the server was off) still comes for so long, on its own date."""
PAUSES: Final = (timedelta(minutes=1), timedelta(minutes=5), timedelta(minutes=15), timedelta(minutes=60))
"""After a failure; the last again and again."""
GIVEN_UP_AFTER: Final = timedelta(hours=24)
"""By then the next list has come, and an alarm of yesterday helps nobody."""
_DAY_MIN: Final = 24 * 60


def first_moment(on: date, at: str, zone_name: str) -> datetime | None:
    """The clock time `at` ("07:30") on a date, in UTC: the first of two, and where the clock skips it, the jump's end.

    None when nothing of that date is left from then on: some zones have skipped whole days.
    """
    zone = zone_named(zone_name)
    begin = time.fromisoformat(at)
    for minute in range(begin.hour * 60 + begin.minute, _DAY_MIN):
        civil = datetime.combine(on, time(minute // 60, minute % 60))
        moment = civil.replace(tzinfo=zone).astimezone(UTC)
        if moment.astimezone(zone).replace(tzinfo=None) == civil:
            return moment
    return None


def list_due(reach: Reach, now: datetime) -> tuple[date, bool] | None:
    """(the date of the list whose hour has come, whether it is still worth sending); None while none is due."""
    if reach.list_at is None:
        return None
    on = now.astimezone(zone_named(reach.zone)).date()
    moment = first_moment(on, reach.list_at, reach.zone)
    if moment is None or now < moment:
        return None
    return on, now - moment <= STILL_SENT_FOR


def quiet_until(reach: Reach, now: datetime) -> datetime | None:
    """When the quiet hours end that `now` falls into; None outside them."""
    if reach.quiet_from is None or reach.quiet_to is None or reach.quiet_from == reach.quiet_to:
        return None
    today = now.astimezone(zone_named(reach.zone)).date()
    over_midnight = reach.quiet_to < reach.quiet_from
    for begins_on in (today - timedelta(days=1), today):
        ends_on = begins_on + timedelta(days=over_midnight)
        begins = first_moment(begins_on, reach.quiet_from, reach.zone)
        ends = first_moment(ends_on, reach.quiet_to, reach.zone)
        if begins is not None and ends is not None and begins <= now < ends:
            return ends
    return None


def next_try(made_at: datetime, tries: int, now: datetime, again_after_s: float | None) -> datetime | None:
    """When a message that has just failed is tried again; None when it is given up.

    Args:
        made_at: When it was made.
        tries: How often it had been tried before this time, 0 or more.
        now: The moment.
        again_after_s: What the other side asked for [s], 0 or more; never sooner than that.
    """
    pause = PAUSES[min(tries, len(PAUSES) - 1)]
    if again_after_s is not None:
        pause = max(pause, timedelta(seconds=min(again_after_s, GIVEN_UP_AFTER.total_seconds())))
    at = now + pause
    return at if at - made_at <= GIVEN_UP_AFTER else None
