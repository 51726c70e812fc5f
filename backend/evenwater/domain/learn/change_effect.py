"""Did it help? Each recorded change against the works and readings it was to be judged by."""

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date, datetime

from evenwater.domain.book.outlook import Effect, EffectLine
from evenwater.domain.entries import Change, NotDone, Reading, Service, Tick, zone_named
from evenwater.domain.fold import Known, Seen
from evenwater.domain.learn.gaps import Gaps, cause_of, gaps_of
from evenwater.domain.learn.reading_effect import reading_effect
from evenwater.domain.learn.run_effect import run_effect
from evenwater.domain.learn.span import Span, span_of
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.standing_job import StandingJob

_ALL = 100_000
"""Runs, and days of them: the whole history."""


def effects_of(known: Known, pond: Pond, now: datetime) -> tuple[Effect, ...]:
    """Every change of a pond and whether it helped, the latest first.

    Args:
        known: What stands.
        pond: The pond as set.
        now: The moment; later facts are left out, and of the rest only its date at the pond counts.

    Returns:
        An effect for each change, a line for each job and quantity it names; a quantity nobody can read has none.
    """
    facts = [one for one in known.facts if one.entry.pond == pond.id]
    changes = [one for one in facts if type(one.entry) is Change and one.at <= now]
    if not changes:
        return ()
    history = _History(known, pond, facts, changes, now)
    return tuple(history.effect(change) for change in reversed(changes))


class _History:
    """One pond's facts, looked through once for all changes."""

    def __init__(self, known: Known, pond: Pond, facts: Sequence[Seen], changes: Sequence[Seen], now: datetime) -> None:
        self._pond = pond
        self._today = now.astimezone(zone_named(pond.zone)).date()
        self._jobs = {job.id: job for job in known.standing_jobs(pond.id, self._today)}
        self._dates: dict[str, list[date]] = {}
        for change in changes:
            for of in _named(change):
                self._dates.setdefault(of, []).append(change.on)
        told = facts[: bisect_right(facts, now, key=lambda one: one.at)]
        self._seen_on = min(self._today, told[-1].on)
        self._by_job: dict[str, list[Seen]] = {of.partition("/")[2]: [] for of in self._dates if of.startswith("job/")}
        self._services: list[Seen] = []
        self._readings: dict[str, dict[str, list[Seen]]] = {}
        self._sort(told)
        self._gaps: dict[str, Gaps] = {}

    def _sort(self, facts: Sequence[Seen]) -> None:
        """Each fact to where it is looked for; `type`, not `isinstance`, for there are a hundred thousand."""
        for one in facts:
            entry = one.entry
            if type(entry) is Reading:
                by_point = self._readings.get(entry.quantity)
                if by_point is None:
                    by_point = self._readings[entry.quantity] = {}
                by_point.setdefault(entry.point, []).append(one)
            elif type(entry) is Tick or type(entry) is NotDone:
                if entry.standing_job in self._by_job:
                    self._by_job[entry.standing_job].append(one)
            elif type(entry) is Service:
                self._services.append(one)

    def effect(self, change: Seen) -> Effect:
        """One change with a line for all it names."""
        entry = change.entry
        assert isinstance(entry, Change)
        lines = [self._line(of, change) for of in _named(change)]
        return Effect(entry=entry.id, on=change.on, text=entry.text, kit=entry.kit, lines=tuple(lines))

    def _line(self, of: str, change: Seen) -> EffectLine:
        kind, _, name = of.partition("/")
        if kind == "reading":
            return reading_effect(self._pond, name, self._readings.get(name, {}), self._span(of, change))
        standing = self._jobs.get(name) or StandingJob(id=name, pond=self._pond.id, text=name.replace("-", " "))
        if name not in self._gaps:
            self._gaps[name] = self._gaps_of(standing)
        return run_effect(of, standing.text, self._gaps[name], self._span(of, change))

    def _gaps_of(self, standing: StandingJob) -> Gaps:
        cause = cause_of(standing, self._pond)
        causes = self._readings.get(cause.quantity, {}).get(cause.point, []) if cause else []
        facts = sorted((*self._by_job.get(standing.id, ()), *self._services, *causes), key=lambda one: one.order)
        return gaps_of(facts, standing, self._today, cause, most_runs=_ALL, longest_ago_days=_ALL)

    def _span(self, of: str, change: Seen) -> Span:
        """Between the changes before and after it that name the same."""
        earlier = max((on for on in self._dates[of] if on < change.on), default=None)
        later = min((on for on in self._dates[of] if on > change.on), default=None)
        return span_of(change, earlier, later, self._seen_on)


def _named(change: Seen) -> list[str]:
    entry = change.entry
    assert isinstance(entry, Change)
    jobs = [f"job/{name}" for name in dict.fromkeys(entry.jobs)]
    return jobs + [f"reading/{name}" for name in dict.fromkeys(entry.quantities) if name in QUANTITIES]
