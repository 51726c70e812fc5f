"""Where an entry stands in time, whatever the phone's clock said."""

from datetime import UTC, date, datetime, timedelta

from msgspec import Struct

from evenwater.domain.entries import Entry, zone_named


class Placed(Struct, frozen=True):
    """Where an entry stands in time: `at` for folding, `on` its civil date at the pond."""

    at: datetime
    on: date
    time_doubtful: bool


class LoggedEntry(Struct, frozen=True):
    """An entry with what the server saw when it came."""

    seq: int
    received_at: datetime
    placed_at: datetime
    placed_on: date
    skew_s: float
    time_doubtful: bool
    entry: Entry


def to_millisecond(moment: datetime) -> datetime:
    """The moment as it travels and is kept: cut to the millisecond, so that all order by the same one."""
    beyond_us = moment.microsecond % 1000
    return moment.replace(microsecond=moment.microsecond - beyond_us) if beyond_us else moment


_BEFORE_PHONES = datetime(2000, 1, 1, tzinfo=UTC)
_AHEAD = timedelta(minutes=10)
_NO_SKEW_S = 60.0
_WILD_SKEW_S = 86_400.0


def place(entry: Entry, received_at: datetime, skew_s: float) -> Placed:
    """Where the entry stands in time, whatever the phone's clock said.

    Args:
        entry: As the device sent it.
        received_at: The server's clock.
        skew_s: Server clock minus phone clock at the call [s]; under a minute it is the network's delay, not skew.

    An impossible moment (before 2000, or more than ten minutes ahead once skew is removed) is placed where it
    arrived and marked; so is, at its corrected place, anything from a phone whose clock is off by over a day.
    """
    said = at = entry.happened_at.astimezone(UTC)
    if abs(skew_s) >= _NO_SKEW_S:
        try:
            at = said + timedelta(seconds=skew_s)
        except OverflowError:
            at = _BEFORE_PHONES
    impossible = said < _BEFORE_PHONES or not _BEFORE_PHONES < at <= received_at + _AHEAD
    at = to_millisecond(received_at if impossible or at > received_at else at)
    on = at.astimezone(zone_named(entry.zone)).date()
    return Placed(at, on, impossible or abs(skew_s) > _WILD_SKEW_S)
