"""A keeper who works by an interval and widens it after a change that did nothing: through the log, tick by tick."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import numpy as np
from gap_trial import MEAN_DAYS, START, Law

from evenwater.domain.entries import Tick
from evenwater.domain.fold import Seen
from evenwater.domain.learn.gap_grid import Compared, Held, compare
from evenwater.domain.learn.gaps import gaps_of
from evenwater.domain.learn.learned_interval import FEWEST_RUNS
from evenwater.domain.learn.run_effect import Sides, sides_of
from evenwater.domain.learn.span import Span
from evenwater.domain.standing_job import AfterDone, StandingJob

BEFORE_DAYS, AFTER_DAYS = 6, 12
"""The interval set before the change and after it: a little under the mean need, and twice that."""


def widened(law: Law, chance: np.random.Generator, services: int, *, puts_off: bool) -> tuple[Sides, Sides]:
    """The two sides of the change as counted, and as they would be if every run were taken to have ended by need.

    Done when it was needed or when it was due, whichever came first; one who `puts_off` does it when it is needed and
    lets the day it was due pass.
    """
    ticks: list[tuple[int, int]] = [(0, 0)]
    for number in range(2 * services):
        asked = BEFORE_DAYS if number < services else AFTER_DAYS
        need = max(1, round(law(chance, MEAN_DAYS)))
        last = ticks[-1][0]
        ticks.append((last + (need if puts_off else min(need, asked)), last + asked))
    change, today = ticks[services][0], ticks[-1][0]
    span = Span(on=_on(change), noted_on=_on(change), first=date.min, last=None, seen_on=_on(today), noted_late=False)
    sides = []
    for facts in ([_tick(*one) for one in ticks], [_tick(done, done + 100) for done, _ in ticks]):
        job = StandingJob(id="agitate", pond="main", recur=AfterDone(AFTER_DAYS))
        sides.append(sides_of(gaps_of(facts, job, _on(today), most_runs=200), span))
    return sides[0], sides[1]


def compared(sides: Sides) -> Compared | None:
    """As the page does: nothing where too few runs ended by need, or there is none since."""
    if len(sides.before.ended) < FEWEST_RUNS or sides.since == Held():
        return None
    return compare(sides.before, sides.since)


def _on(day: int) -> date:
    return START + timedelta(days=day)


def _tick(done: int, due: int) -> Seen:
    at = datetime(2026, 1, 1, 12, tzinfo=UTC) + timedelta(days=done)
    entry = Tick(
        id=str(UUID(int=done + 1)),
        v=1,
        pond="main",
        happened_at=at,
        local_date=at.date(),
        zone="UTC",
        recorded_at=at,
        device=str(UUID(int=1)),
        author=str(UUID(int=2)),
        standing_job="agitate",
        due_on=_on(due),
        slot="day",
    )
    return Seen(entry, done + 1, at, at.date())
