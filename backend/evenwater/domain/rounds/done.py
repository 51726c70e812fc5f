"""What was answered about each standing job: done, not done with a reason, done by the way. Looked through once."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import Meter, NotDone, Service, Tick
from evenwater.domain.fold import Facts, Seen
from evenwater.domain.learn.gaps import Cause
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.standing_job import StandingJob

_ZONES_APART: Final = timedelta(days=2)
"""Entries stand by moment; where a pond has changed its zone their dates may go back by so much."""


class History(Struct, frozen=True, kw_only=True):
    """One slot of a standing job: its answers, oldest first, and the dates due that have one.

    `done_on`: when it was last done. `put_off`: the last answer "not done" to what was due, where nothing was done
    since; one given in advance answers its own date and no more. `served_on`: days its work was noted by itself.
    """

    answers: Sequence[Seen] = ()
    answered: frozenset[date] = frozenset()
    done_on: date | None = None
    put_off: Seen | None = None
    served_on: frozenset[date] = frozenset()

    @property
    def counts_from(self) -> date | None:
        """From when the time to the next one runs: it was done, or left out with a reason."""
        return max((on for on in (self.done_on, self.put_off and self.put_off.on) if on is not None), default=None)

    def answered_on(self, today: date) -> frozenset[date]:
        """The dates due, up to today, that were answered today."""
        found: set[date] = set()
        for one in reversed(self.answers):
            if one.on < today - _ZONES_APART:
                break
            if isinstance(one.entry, Tick | NotDone) and one.on == today and one.entry.due_on <= today:
                found.add(one.entry.due_on)
        return frozenset(found)

    def settled(self, due_on: date, today: date) -> bool:
        """Whether what was due then needs no doing any more: it was answered, or the work was done since.

        A tick of today that is about another date leaves it for today, as a device without signal does.
        """
        if due_on in self.answered or any(due_on <= on <= today for on in self.served_on):
            return True
        return any(isinstance(one.entry, Tick) and due_on <= one.on < today for one in self.answers)


class Done:
    """One pond's answers by standing job and slot. `meters`: what counters showed."""

    def __init__(self, facts: Facts) -> None:
        self._facts = facts
        self._services = facts.of_kinds(Service)
        self.meters: Sequence[Seen] = facts.of_kinds(Meter)
        self._answers: dict[tuple[str, str], list[Seen]] = {}
        self._dues: dict[tuple[str, str], frozenset[date]] = {}
        for one in facts.of_kinds(Tick, NotDone):
            entry = one.entry
            if isinstance(entry, Tick | NotDone):
                self._answers.setdefault((entry.standing_job, entry.slot), []).append(one)

    def answered(self, job: Job) -> bool:
        """Whether somebody did it, or said why not."""
        return job.due_on in self.dues(job.standing_job, job.slot)

    def dues(self, standing_job: str, slot: str) -> frozenset[date]:
        """The dates a slot was due on that have an answer."""
        key = (standing_job, slot)
        if key not in self._dues:
            answers = (one.entry for one in self.answers(*key))
            self._dues[key] = frozenset(entry.due_on for entry in answers if isinstance(entry, Tick | NotDone))
        return self._dues[key]

    def answers(self, standing_job: str, slot: str) -> Sequence[Seen]:
        """Ticks and "not done" of a slot, oldest first."""
        return self._answers.get((standing_job, slot), ())

    def telling(self, standing: StandingJob, cause: Cause | None) -> list[Seen]:
        """All its history may be learned from, oldest first: answers of any slot, services, readings of a cause."""
        found = [one for slot in standing.windows for one in self.answers(standing.id, slot)]
        found += self._services
        if cause is not None:
            found += self._facts.readings(cause.quantity, cause.point)
        return sorted(found, key=lambda one: one.order)

    def history(self, standing: StandingJob, slot: str) -> History:
        """Of a standing job's slot; work on the kit no job asked for is the same work, done early or by the way."""
        answers = self.answers(standing.id, slot)
        ticked_on, put_off = _last_tick(answers), _last_put_off(answers)
        served_on = frozenset(one.on for one in self._services if standing.service and _is_work_of(one, standing))
        done_on = max((on for on in (ticked_on, *served_on) if on is not None), default=None)
        if put_off is not None and done_on is not None and done_on >= put_off.on:
            put_off = None
        dues = self.dues(standing.id, slot)
        return History(answers=answers, answered=dues, done_on=done_on, put_off=put_off, served_on=served_on)


def _last_tick(answers: Sequence[Seen]) -> date | None:
    found: date | None = None
    for one in reversed(answers):
        if found is not None and one.on < found - _ZONES_APART:
            break
        if isinstance(one.entry, Tick):
            found = max(found or one.on, one.on)
    return found


def _last_put_off(answers: Sequence[Seen]) -> Seen | None:
    given = (one for one in reversed(answers) if isinstance(one.entry, NotDone) and one.entry.due_on <= one.on)
    return next(given, None)


def _is_work_of(one: Seen, standing: StandingJob) -> bool:
    entry = one.entry
    if not isinstance(entry, Service) or standing.service is None or entry.service != standing.service:
        return False
    return standing.kit is None or entry.kit is None or entry.kit == standing.kit
