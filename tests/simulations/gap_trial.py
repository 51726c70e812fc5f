"""Works whose need comes by a known law, their keepers, and what is said of a change that did nothing or much.

Days are whole, as in a log. The need comes after exponential, gamma or Weibull times: pure chance, wear, and wear by
another law than the learner supposes.
"""

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from itertools import pairwise
from math import gamma

import numpy as np
from msgspec import Struct

from evenwater.domain.learn.gap_grid import Compared, Held, compare
from evenwater.domain.learn.gaps import Gaps, Run
from evenwater.domain.learn.run_effect import found_in, sides_of
from evenwater.domain.learn.span import Span

Law = Callable[[np.random.Generator, float], float]
MEAN_DAYS = 7.0
START = date(2026, 1, 1)

LAWS: dict[str, Law] = {
    "exponential": lambda chance, mean: chance.exponential(mean),
    "gamma of shape 4": lambda chance, mean: chance.gamma(4.0, mean / 4.0),
    "Weibull of shape 2": lambda chance, mean: mean / gamma(1.5) * chance.weibull(2.0),
}
IRREGULAR, REGULAR = ("exponential",), ("gamma of shape 4", "Weibull of shape 2")


class Told(Struct, frozen=True):
    """A history in days: when the work was done, and when the change was made."""

    done: tuple[int, ...]
    change: int


def history(law: Law, chance: np.random.Generator, services: int, ratio: float, *, mid_run: bool = False) -> Told:
    """So many runs before a change, then ten intervals' worth of days of runs `ratio` times as long.

    In mid-run the change comes a random share of an interval after the last of them, in a run that outlasts it.
    """
    done = [0]
    for _ in range(services):
        done.append(done[-1] + _days(law(chance, MEAN_DAYS)))
    change = done[-1]
    if mid_run:
        ahead = chance.uniform(0.0, MEAN_DAYS)
        need = law(chance, MEAN_DAYS)
        while need < ahead:
            need = law(chance, MEAN_DAYS)
        change += round(ahead)
        done.append(max(change + 1, change + round((need - ahead) * ratio)))
    while done[-1] < change + 10 * MEAN_DAYS:
        done.append(done[-1] + _days(ratio * law(chance, MEAN_DAYS)))
    return Told(tuple(done), change)


def _days(need: float) -> int:
    return max(1, round(need))


def seen_by(told: Told, today: int) -> Gaps:
    """What the log holds on a day."""
    done = [day for day in told.done if day <= today]
    runs = tuple(
        Run(began_on=_on(before), ended_on=_on(after), days=after - before, needed=True)
        for before, after in pairwise(done)
    )
    open_days = today - done[-1]
    return Gaps(runs=runs, done_on=_on(done[-1]), open_days=open_days, watched_days=open_days)


def _on(day: int) -> date:
    return START + timedelta(days=day)


def looked_at(told: Told, today: int, noted: int | None = None) -> Compared | None:
    """What the page works out on a day; `noted`: when the change was written down, if late. None: no claim is made."""
    span = Span(
        on=_on(told.change),
        noted_on=_on(told.change if noted is None else noted),
        first=date.min,
        last=None,
        seen_on=_on(today),
        noted_late=noted is not None,
    )
    sides = sides_of(seen_by(told, today), span)
    return compare(sides.before, sides.since) if sides.since != Held() else None


def daily(told: Told, intervals: float, noted: int | None = None) -> Iterator[tuple[int, Compared]]:
    """Every day from the change, or from when it was noted, on."""
    first = told.change if noted is None else noted
    for today in range(first, first + round(intervals * MEAN_DAYS) + 1):
        both = looked_at(told, today, noted)
        if both is not None:
            yield today, both


def claims(both: Compared | None, sure: float) -> bool:
    """At one look fixed beforehand."""
    return both is not None and not 1.0 - sure <= both.longer <= sure


def shown(both: Compared | None) -> bool:
    """As the page claims, which is looked at daily."""
    return both is not None and found_in(both) in ("longer", "shorter")


def noted_because_it_was_long(law: Law, chance: np.random.Generator, services: int) -> tuple[Told, int]:
    """Nothing changed; in the first run half as long again as usual somebody notes a change, dated to its beginning.

    Gives the history, and the day it was noted.
    """
    done = [0]
    while True:
        need = _days(law(chance, MEAN_DAYS))
        if len(done) > services and need >= 1.5 * MEAN_DAYS + 1:
            change, noted = done[-1], done[-1] + round(chance.uniform(1.5 * MEAN_DAYS, need))
            done.append(done[-1] + need)
            break
        done.append(done[-1] + need)
    while done[-1] < noted + 10 * MEAN_DAYS:
        done.append(done[-1] + _days(law(chance, MEAN_DAYS)))
    return Told(tuple(done), change), noted
