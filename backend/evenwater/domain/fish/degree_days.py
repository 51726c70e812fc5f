"""Degree-days of the water a fish lived in: each day's warmth over 10 °C, added up. Under it carp do not grow."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import Final

from evenwater.domain.fish.growth import GROWS_ABOVE_C
from evenwater.domain.fish.whereabouts import Whereabouts

GAP_DAYS: Final = 30
"""How many days without a reading are bridged in a straight line. Our own."""
_KNOWN_FRACTION: Final = 0.9
_A_DAY: Final = timedelta(days=1)

WaterDays = Mapping[str, Mapping[date, float]]


class DegreeDays:
    """Warmth by pond and day, gaps of a month bridged."""

    def __init__(self, days: WaterDays) -> None:
        """Take it in.

        Args:
            days: By pond, the mean temperature of its water by civil date [°C].
        """
        self._sums = {pond: _sums(by_day) for pond, by_day in days.items()}

    def between(self, where: Whereabouts, since: date, until: date) -> float | None:
        """Degree-days from one date to another [°C days], in whichever pond it was; None where too little is known."""
        if until <= since:
            return 0.0
        total, known = 0.0, 0
        for first, last, pond in _stays(where, since, until):
            warmth, days = self._in_pond(pond, first, last)
            total, known = total + warmth, known + days
        span = (until - since).days
        return total * span / known if known >= _KNOWN_FRACTION * span else None

    def years(self, where: Whereabouts, dates: Sequence[date]) -> list[float]:
        """When each of these dates is in years of this fish's water, since the first.

        All of it together is as long as by the calendar; between, warm days count more. By the calendar alone where the
        warmth is not known.

        Args:
            where: Where the fish was.
            dates: Ascending, one or more.
        """
        calendar = [(on - dates[0]).days / 365.25 for on in dates]
        spans = [self.between(where, one, two) for one, two in pairwise(dates)]
        told = [one for one in spans if one is not None]
        if len(told) < len(spans) or sum(told) <= 0 or calendar[-1] <= 0:
            return calendar
        per_year = sum(told) / calendar[-1]
        found = [0.0]
        for one in told:
            found.append(found[-1] + one / per_year)
        return found

    def _in_pond(self, pond: str | None, first: date, last: date) -> tuple[float, int]:
        sums = self._sums.get(pond or "")
        if sums is None:
            return 0.0, 0
        begins, warmth, known = sums
        low = min(len(warmth) - 1, max(0, (first - begins).days))
        high = min(len(warmth) - 1, max(0, (last - begins).days))
        return warmth[high] - warmth[low], known[high] - known[low]


def _stays(where: Whereabouts, since: date, until: date) -> list[tuple[date, date, str | None]]:
    turns = [one.since for one in where.stays if one.since is not None and since < one.since < until]
    dates = [since, *turns, until]
    return [(first, last, where.pond_on(first)) for first, last in pairwise(dates)]


def _sums(by_day: Mapping[date, float]) -> tuple[date, list[float], list[int]] | None:
    """(first date, degree-days before each date after it, days known before it)."""
    dates = sorted(by_day)
    if not dates:
        return None
    warmth, known = [0.0], [0]
    for on, after in pairwise([*dates, dates[-1] + _A_DAY]):
        span = (after - on).days
        for ahead in range(span):
            bridged = span <= GAP_DAYS
            share = ahead / span
            level_c = by_day[on] + share * (by_day.get(after, by_day[on]) - by_day[on])
            warmth.append(warmth[-1] + (max(0.0, level_c - GROWS_ABOVE_C) if bridged else 0.0))
            known.append(known[-1] + (1 if bridged or ahead == 0 else 0))
    return dates[0], warmth, known
