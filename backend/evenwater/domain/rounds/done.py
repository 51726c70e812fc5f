"""What was answered about each standing job: done, not done with a reason, done by the way. Looked through once."""

from collections.abc import Sequence
from datetime import date

from msgspec import Struct

from evenwater.domain.entries import Meter, NotDone, Service, Tick
from evenwater.domain.fold import Seen, readings_of
from evenwater.domain.learn.gaps import Cause
from evenwater.domain.standing_job import StandingJob


class History(Struct, frozen=True, kw_only=True):
    """One slot of a standing job: its answers, oldest first, and days its work was done though no job asked.

    `done_on`: when it was last done. `put_off`: the last answer "not done", where nothing was done since.
    """

    answers: Sequence[Seen] = ()
    done_on: date | None = None
    put_off: Seen | None = None

    @property
    def counts_from(self) -> date | None:
        """From when the time to the next one runs: it was done, or left out with a reason."""
        return max((on for on in (self.done_on, self.put_off and self.put_off.on) if on is not None), default=None)

    def answered(self) -> frozenset[date]:
        """The dates it was due on that have an answer."""
        return frozenset(one.entry.due_on for one in self.answers if isinstance(one.entry, Tick | NotDone))

    def answered_on(self, today: date) -> frozenset[date]:
        """The dates due, up to today, that were answered today."""
        return frozenset(
            one.entry.due_on
            for one in self.answers
            if isinstance(one.entry, Tick | NotDone) and one.on == today and one.entry.due_on <= today
        )

    def settled(self, due_on: date) -> bool:
        """Whether what was due then needs no doing any more: it was answered, or done since."""
        return due_on in self.answered() or (self.done_on is not None and self.done_on >= due_on)


class Done:
    """One pond's answers by standing job and slot. `meters`: what counters showed; `keys`: jobs with an answer."""

    def __init__(self, facts: Sequence[Seen]) -> None:
        self._facts = facts
        self.meters: list[Seen] = []
        self._answers: dict[tuple[str, str], list[Seen]] = {}
        self._services: list[Seen] = []
        for one in facts:
            if isinstance(one.entry, Tick | NotDone):
                self._answers.setdefault((one.entry.standing_job, one.entry.slot), []).append(one)
            elif isinstance(one.entry, Service):
                self._services.append(one)
            elif isinstance(one.entry, Meter):
                self.meters.append(one)
        self.keys: frozenset[str] = frozenset(_key(one) for ones in self._answers.values() for one in ones)

    def answers(self, standing_job: str, slot: str) -> Sequence[Seen]:
        """Ticks and "not done" of a slot, oldest first."""
        return self._answers.get((standing_job, slot), ())

    def telling(self, standing: StandingJob, cause: Cause | None) -> list[Seen]:
        """All its history may be learned from, oldest first: answers of any slot, services, readings of a cause."""
        found = [one for slot in standing.windows for one in self.answers(standing.id, slot)]
        found += self._services
        if cause is not None:
            found += readings_of(self._facts, cause.quantity, cause.point)
        return sorted(found, key=lambda one: one.order)

    def history(self, standing: StandingJob, slot: str) -> History:
        """Of a standing job's slot; work on the kit no job asked for is the same work, done early or by the way."""
        answers = self.answers(standing.id, slot)
        done = [one.on for one in answers if isinstance(one.entry, Tick)]
        done += [one.on for one in self._services if _is_work_of(one, standing)]
        done_on = max(done, default=None)
        put_off = next((one for one in reversed(answers) if isinstance(one.entry, NotDone)), None)
        if put_off is not None and done_on is not None and done_on >= put_off.on:
            put_off = None
        return History(answers=answers, done_on=done_on, put_off=put_off)


def _is_work_of(one: Seen, standing: StandingJob) -> bool:
    entry = one.entry
    if not isinstance(entry, Service) or standing.service is None or entry.service != standing.service:
        return False
    return standing.kit is None or entry.kit is None or entry.kit == standing.kit


def _key(one: Seen) -> str:
    assert isinstance(one.entry, Tick | NotDone)
    return f"{one.entry.standing_job}/{one.entry.due_on.isoformat()}/{one.entry.slot}"
