"""Late, by what it does: how long a missed job may wait without harm, and which of the late ones come first.

Age alone counts little. A job that may wait stays under 1 until its waiting is over, one that is merely late stays
under 9 however old it is, one that matters begins at 10 and grows by 10 a day.

The browser's copy is frontend/domain/late.js; both answer every case of tests/reference/rounds/late_cases.json alike,
to the last bit: keep the order of operations.
"""

from datetime import UTC, datetime, timedelta
from typing import Final, Literal
from zoneinfo import ZoneInfo

from evenwater.domain.rounds.jobs import Job
from evenwater.domain.standing_job import StandingJob

Lateness = Literal["not_late", "can_wait", "late", "matters"]
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_A_MS: Final = timedelta(milliseconds=1)
_DAY_MS: Final = 86_400_000
_LATE, _LATE_GROWS, _LATE_HALF_DAYS, _MATTERS = 1.0, 8.0, 7.0, 10.0
"""Our own scale: it only sorts."""


def patience(standing: StandingJob, closes_at: datetime, zone: ZoneInfo) -> tuple[datetime | None, datetime | None]:
    """Until when a missed job may wait without harm, and from when on it matters; None where there is no such time.

    Args:
        standing: The rule that made the job; its `waits_days` [days] and `serious`.
        closes_at: When the job's window closes.
        zone: The pond's; waiting counts in civil days, to the same clock time.
    """
    waits_until = None
    if standing.waits_days:
        local = closes_at.astimezone(zone)
        waits_until = (local + timedelta(days=standing.waits_days)).astimezone(UTC)
    return waits_until, (waits_until or closes_at) if standing.serious else None


def lateness(job: Job, now: datetime) -> float:
    """How much a late job asks to be done first [–], 0 or more; 0 while it is not late, or no longer worth doing."""
    closes, at = _ms(job.closes_at), _ms(now)
    if at <= closes or (job.lapses_at is not None and at >= _ms(job.lapses_at)):
        return 0.0
    if job.serious_at is not None and at >= _ms(job.serious_at):
        return _MATTERS + _MATTERS * ((at - _ms(job.serious_at)) / _DAY_MS)
    waits = closes if job.waits_until is None else _ms(job.waits_until)
    if at < waits:
        return (at - closes) / (waits - closes)
    days = (at - waits) / _DAY_MS
    return _LATE + _LATE_GROWS * (days / (days + _LATE_HALF_DAYS))


def lateness_kind(job: Job, now: datetime) -> Lateness:
    """The same in a word: it can wait, it is late, it matters."""
    score = lateness(job, now)
    if score <= 0:
        return "not_late"
    return "can_wait" if score < _LATE else "late" if score < _MATTERS else "matters"


def _ms(at: datetime) -> int:
    return (at - _EPOCH) // _A_MS
