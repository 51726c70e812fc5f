"""How much a kit item has run between two dates: by its own counter where it was read, else by what is usual a day.

- A counter that shows less than before began anew at nought. No step of it counts for more than the time allows.
- Before the first reading and after the last one the usual use a day stands in.
"""

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from itertools import pairwise

from msgspec import Struct

HOURS_A_DAY = 24.0
Points = Sequence[tuple[date, float]]


class Use(Struct, frozen=True):
    """Use between two dates [h or L], and whether a counter told any of it."""

    amount: float
    told: bool


def counted(points: Points, fitted_on: date | None, most_per_day: float | None) -> list[tuple[date, float]]:
    """What ran since the first point, by date: a counter's readings with its new beginnings taken out.

    Args:
        points: (on, what the counter showed), oldest first.
        fitted_on: When the item was fitted: its counter began at nought then, if it can have come so far.
        most_per_day: The most a day can add [h or L per day]; None where that is not known.
    """
    by_date = dict(points)
    shown = sorted(by_date.items())
    if fitted_on is not None and shown and most_per_day is not None:
        shown = [one for one in shown if one[0] >= fitted_on]
        if shown and 0 <= shown[0][1] <= most_per_day * ((shown[0][0] - fitted_on).days + 1):
            shown = [(fitted_on, 0.0), *shown] if shown[0][0] > fitted_on else shown
    total, found = 0.0, [(on, 0.0) for on, _ in shown[:1]]
    for (before_on, before), (on, value) in pairwise(shown):
        step = value - before if value >= before else value
        days = (on - before_on).days
        total += step if most_per_day is None else min(step, most_per_day * (days + 1))
        found.append((on, total))
    return found


def use_between(totals: Points, usual: Callable[[date, date], float | None], begins: date, ends: date) -> Use | None:
    """Use from one date to another; None where neither a counter nor anything usual tells.

    Args:
        totals: As `counted` gives them.
        usual: What is usual between two dates; None where that is not known.
        begins: The first date.
        ends: The last date, not before it.
    """
    first, last = ends, ends
    if totals:
        first, last = (min(max(on, begins), ends) for on in (totals[0][0], totals[-1][0]))
    around = [usual(since, until) for since, until in ((begins, first), (last, ends)) if since < until]
    known = [one for one in around if one is not None]
    if last > first:
        return Use(_at(totals, last) - _at(totals, first) + sum(known), True)
    return Use(sum(known), False) if known or not around else None


def _at(totals: Points, on: date) -> float:
    """The total on a date, straight between two readings."""
    for (before_on, before), (after_on, after) in pairwise(totals):
        if before_on <= on <= after_on:
            share = (on - before_on) / (after_on - before_on) if after_on > before_on else 1.0
            return before + share * (after - before)
    return totals[0][1] if on <= totals[0][0] else totals[-1][1]


def by_day(per_day: Callable[[date], float | None], changes: Sequence[date]) -> Callable[[date, date], float | None]:
    """Usual use between two dates, of a rate a day that changes on some dates."""

    def between(begins: date, ends: date) -> float | None:
        cuts = [begins, *sorted(on for on in set(changes) if begins < on < ends), ends]
        amounts = [
            None if (rate := per_day(since)) is None else rate * ((until - since) / timedelta(days=1))
            for since, until in pairwise(cuts)
        ]
        known = [one for one in amounts if one is not None]
        return sum(known) if known else None

    return between
