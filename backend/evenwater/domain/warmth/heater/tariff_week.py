"""A tariff laid out on one week of its own clock: every minute of it belongs to one window, or to none.

The week is a ring of 10,080 minutes from Monday 00:00. Between changes of the clock prices repeat by it.
"""

from bisect import bisect_right
from collections.abc import Iterator
from typing import Final, get_args

from msgspec import Struct

from evenwater.domain.errors import Contradiction
from evenwater.domain.kit import Tariff, TariffWindow, Weekday

DAY_MIN: Final = 1440
WEEK_MIN: Final = 7 * DAY_MIN
WEEKDAYS: Final[tuple[Weekday, ...]] = get_args(Weekday)
OTHERWISE: Final = None
"""The window of a time that lies in none: the tariff's otherwise rate holds."""


class Stretch(Struct, frozen=True):
    """Minutes [min] of one weekday, counted in the week, and the number of the window they lie in."""

    begins_min: int
    ends_min: int
    window: int | None


class TariffWeek(Struct, frozen=True):
    """A checked tariff and its week, in order and without gaps."""

    tariff: Tariff
    stretches: tuple[Stretch, ...]
    starts_min: tuple[int, ...]

    def at(self, minute: float) -> Stretch:
        """The stretch a minute of the week [min], 0 up to 10,080, lies in."""
        return self.stretches[bisect_right(self.starts_min, minute) - 1]

    def rate(self, window: int | None) -> float:
        """Price [currency/kWh] in a window by its number, or outside all."""
        return self.tariff.otherwise_rate_per_kwh if window is None else self.tariff.windows[window].rate_per_kwh

    def cheapest_rates(self) -> tuple[float, ...]:
        """The lowest price [currency/kWh] there is on each weekday, from Monday."""
        by_day = [[one for one in self.stretches if one.begins_min // DAY_MIN == day] for day in range(7)]
        return tuple(min(self.rate(one.window) for one in day) for day in by_day)


def tariff_week(tariff: Tariff) -> TariffWeek:
    """The tariff's week, checked.

    Windows may leave gaps, where the otherwise rate holds; rates may be negative.

    Raises:
        Contradiction: two windows overlap, or one begins when it ends; says which, and what would be right.
    """
    taken = sorted(
        (begins, ends, number)
        for number, window in enumerate(tariff.windows)
        for begins, ends in _times(number, window)
    )
    for (_, ends, one), (begins, _, other) in zip(taken, [*taken[1:], *_after_the_week(taken)], strict=True):
        if begins < ends:
            raise _overlap(tariff, one, other, begins)
    stretches = tuple(_filled(taken))
    return TariffWeek(tariff, stretches, tuple(one.begins_min for one in stretches))


def clock_min(clock: str) -> int:
    """Minutes after midnight [min] of a time written "HH:MM".

    >>> clock_min("07:30")
    450
    """
    hours, minutes = clock.split(":")
    return 60 * int(hours) + int(minutes)


def _times(number: int, window: TariffWindow) -> Iterator[tuple[int, int]]:
    """Begin and end of each of its days in the week; the end may lie past the week's own."""
    begins = clock_min(window.begins)
    lasts = (clock_min(window.ends) - begins) % DAY_MIN
    if lasts == 0:
        raise Contradiction(
            f"the window begins and ends at {window.begins}",
            where=f"tariff.windows[{number}]",
            right="an end that is not the begin; a whole day is two windows, 00:00 to 12:00 and 12:00 to 00:00",
        )
    for day in {WEEKDAYS.index(one) for one in window.days or WEEKDAYS}:
        yield day * DAY_MIN + begins, day * DAY_MIN + begins + lasts


def _after_the_week(taken: list[tuple[int, int, int]]) -> list[tuple[int, int, int]]:
    """The week's first, as it comes round again."""
    return [(begins + WEEK_MIN, ends + WEEK_MIN, number) for begins, ends, number in taken[:1]]


def _overlap(tariff: Tariff, one: int, other: int, at_min: int) -> Contradiction:
    first, second = (tariff.windows[number] for number in (one, other))
    day = WEEKDAYS[at_min // DAY_MIN % 7].capitalize()
    return Contradiction(
        f"windows {first.begins} to {first.ends} and {second.begins} to {second.ends} overlap on {day}",
        where=f"tariff.windows[{max(one, other)}]",
        right=f"the first to end by {second.begins} on {day}, or the second to begin from {first.ends} on",
    )


def _filled(taken: list[tuple[int, int, int]]) -> Iterator[Stretch]:
    """The windows and what is between them, cut at each midnight and where the week comes round."""
    over = [(0, ends - WEEK_MIN, number) for _, ends, number in taken if ends > WEEK_MIN]
    until = 0
    for begins, ends, number in [*over, *taken, (WEEK_MIN, WEEK_MIN, 0)]:
        yield from _cut(until, begins, OTHERWISE)
        until = min(ends, WEEK_MIN)
        yield from _cut(begins, until, number)


def _cut(begins_min: int, ends_min: int, window: int | None) -> Iterator[Stretch]:
    while begins_min < ends_min:
        until = min(ends_min, (begins_min // DAY_MIN + 1) * DAY_MIN)
        yield Stretch(begins_min, until, window)
        begins_min = until
