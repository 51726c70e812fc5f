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
    changes = [
        one for one in known.facts if isinstance(one.entry, Change) and one.entry.pond == pond.id and one.at <= now
    ]
    if not changes:
        return ()
    history = _History(known, pond, changes, now)
    return tuple(history.effect(change) for change in reversed(changes))


class _History:
    """One pond's facts, looked through once for all changes."""

    def __init__(self, known: Known, pond: Pond, changes: Sequence[Seen], now: datetime) -> None:
        self._pond = pond
        self._today = now.astimezone(zone_named(pond.zone)).date()
        self._jobs = {job.id: job for job in known.standing_jobs(pond.id, self._today)}
        self._dates: dict[str, list[date]] = {}
        for change in changes:
            for of in _named(change):
                self._dates.setdefault(of, []).append(change.on)
        self._by_job: dict[str, list[Seen]] = {of[4:]: [] for of in self._dates if of.startswith("job/")}
        causes = [cause_of(job, pond) for job in self._jobs.values() if job.id in self._by_job]
        named = {of[8:] for of in self._dates if of.startswith("reading/")} | {one.quantity for one in causes if one}
        self._readings: dict[str, dict[str, list[Seen]]] = {name: {} for name in named}
        self._services: list[Seen] = []
        self._seen_on = self._sort(known.facts[: bisect_right(known.facts, now, key=lambda one: one.at)])
        self._gaps: dict[str, Gaps] = {}

    def _sort(self, facts: Sequence[Seen]) -> date:
        """Each fact to where it is looked for; gives the day of the last. Plainly, for there are a hundred thousand."""
        pond, by_job, readings, last = self._pond.id, self._by_job, self._readings, None
        for one in facts:
            entry = one.entry
            if entry.pond != pond:
                continue
            last = one
            if isinstance(entry, Reading):
                by_point = readings.get(entry.quantity)
                if by_point is not None:
                    by_point.setdefault(entry.point, []).append(one)
            elif isinstance(entry, Tick) or isinstance(entry, NotDone):  # noqa: SIM101 - a union takes thrice as long
                answers = by_job.get(entry.standing_job)
                if answers is not None:
                    answers.append(one)
            elif isinstance(entry, Service):
                self._services.append(one)
        return self._today if last is None else min(self._today, last.on)

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
        facts = sorted((*self._by_job.get(standing.id, ()), *self._services, *causes), key=lambda one: one.at)
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
