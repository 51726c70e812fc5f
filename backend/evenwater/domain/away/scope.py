"""What one helper of one hand-over may see and do, at a moment.

Everything about a helper is asked of this record: which phase the hand-over is in, which jobs are theirs, which
pictures they may see. What is not in it does not exist for them.
"""

from datetime import date, datetime
from typing import Literal
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.away.hand_over import LATE_FOR, Ceiling, HandOver, Helper
from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Known
from evenwater.domain.standing_job import StandingJob

Phase = Literal["not_yet", "rehearsal", "running", "late", "over"]


class Scope(Struct, frozen=True, kw_only=True):
    """A helper's hand-over as it stands today. `last_day`: its end, or the day on which it was called off.

    `jobs`: the standing jobs they do, by "pond/standing job", those that are switched on. `ceilings`: every one it ever
    had, for a phone without signal gives the bag that was weighed by the one before.
    """

    hand_over: HandOver
    helper: Helper
    today: date
    last_day: date | None
    jobs: dict[str, StandingJob]
    ceilings: tuple[Ceiling, ...] = ()

    def bags_of(self, pond: str) -> tuple[Ceiling, ...]:
        """What a bag of that pond may hold: by the ceiling that stands, and by each that stood before it."""
        earlier = (one for one in self.ceilings if one.pond == pond)
        return (self.hand_over.ceiling(pond), *earlier)

    @property
    def phase(self) -> Phase:
        """Where today lies: before, on the trial day, within, in the week after, or past that."""
        begins_on, last_day = self.hand_over.begins_on, self.last_day
        if begins_on is None or last_day is None:
            return "over" if self.hand_over.called_off else "not_yet"
        if self.today > last_day:
            return "late" if self.today <= last_day + LATE_FOR else "over"
        if self.today >= begins_on:
            return "running"
        return "rehearsal" if self.today == self.hand_over.rehearsed_on else "not_yet"

    @property
    def is_over(self) -> bool:
        """Whether nothing is shown any more."""
        return self.phase in ("late", "over")

    def holds(self, on: date) -> bool:
        """Whether that date is one of the days they help."""
        begins_on, last_day = self.hand_over.begins_on, self.last_day
        return begins_on is not None and last_day is not None and begins_on <= on <= last_day

    def shows(self, on: date) -> bool:
        """Whether they see that date's round: one of their days, or the trial round."""
        return not self.is_over and (self.holds(on) or on == self.hand_over.rehearsed_on)

    @property
    def days(self) -> int:
        """How many days it has."""
        if self.hand_over.begins_on is None or self.last_day is None:
            return 0
        return max(0, (self.last_day - self.hand_over.begins_on).days + 1)

    def bag(self, on: date) -> int:
        """The number of the bags for a date: the first day's are 1, and the trial round speaks of the first day's."""
        begins_on = self.hand_over.begins_on
        return 1 if begins_on is None else max(1, (on - begins_on).days + 1)

    @property
    def pictures(self) -> frozenset[str]:
        """The sums of the photos they may see, their own apart."""
        shown = {one.photo for one in self.hand_over.shown} | {job.picture for job in self.jobs.values()}
        return frozenset(photo for photo in shown if photo is not None)


def scope_of(known: Known, hand_over: str, helper: str, now: datetime) -> Scope | None:
    """A helper's scope at that moment; None when there is no such hand-over, or they are no longer in it."""
    first, _ = known.civil_date(now)
    found = next((one for one in known.hand_overs(first) if one.id == hand_over), None)
    if found is None:
        return None
    person = next((one for one in found.helpers if one.id == helper), None)
    if person is None:
        return None
    today = now.astimezone(zone_of(known, found, first)).date()
    last_day = last_day_of(known, found)
    return Scope(
        hand_over=found,
        helper=person,
        today=today,
        last_day=last_day,
        jobs=_jobs(known, found, _as_of(last_day, today)),
        ceilings=_ceilings(known, found),
    )


def zone_of(known: Known, hand_over: HandOver, on: date) -> ZoneInfo:
    """The zone its days are in: that of the pond it was made at."""
    pond = next((one for one in known.ponds(on) if one.id == hand_over.pond), None)
    return zone_named(pond.zone if pond else "UTC")


def last_day_of(known: Known, hand_over: HandOver) -> date | None:
    """Its last day: the one that was set, or the one on which it was called off where that is earlier."""
    if not hand_over.called_off:
        return hand_over.ends_on
    called = [
        entry.local_date
        for entry, value in known.settings.of(hand_over.pond, f"hand-over/{hand_over.id}")
        if entry.field == "called_off" and value
    ]
    off_on = called[-1] if called else None
    days = [one for one in (off_on, hand_over.ends_on) if one is not None]
    return min(days, default=None)


def _ceilings(known: Known, hand_over: HandOver) -> tuple[Ceiling, ...]:
    told = known.settings.of(hand_over.pond, f"hand-over/{hand_over.id}")
    return tuple(dict.fromkeys(one for entry, value in told if entry.field == "ceilings" for one in value or ()))


def _as_of(last_day: date | None, today: date) -> date:
    return today if last_day is None else min(today, last_day)


def _jobs(known: Known, hand_over: HandOver, on: date) -> dict[str, StandingJob]:
    asked = set(hand_over.jobs)
    open_ponds = {pond.id for pond in known.ponds(on)} & hand_over.ponds
    return {
        f"{pond}/{job.id}": job
        for pond in sorted(open_ponds)
        for job in known.standing_jobs(pond, on)
        if f"{pond}/{job.id}" in asked and (hand_over.other_doses or not is_other_dose(job))
    }


def is_other_dose(job: StandingJob) -> bool:
    """Whether it puts something else than food and buffer into the water, as its amount says."""
    return job.shape == "plain" and job.amount is not None
