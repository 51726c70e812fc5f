"""What current costs when: rates by the tariff's own clock, hour by hour, and over any time.

- Power runs in real time: a night of 23:30 to 06:30 is an hour shorter or longer when the clock is changed.
- A window belongs to the weekday it begins on. Where there is none, the otherwise rate holds.
- Prices change by date through the tariff that is passed: the one that holds then. The standing charge is not in here.
"""

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Final
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.errors import Contradiction, require_between
from evenwater.domain.kit import Tariff
from evenwater.domain.warmth.heater.tariff_clock import TariffClock, clock_of, in_utc
from evenwater.domain.warmth.heater.tariff_week import DAY_MIN, WEEK_MIN, TariffWeek, tariff_week

POWER_W: Final = (0.0, 100_000.0)
"""Power of what is reckoned [W]."""

HOURS: Final = (0, 87_840)
"""How many hours are answered at once [h]: ten years."""

_HOUR, _MINUTE = timedelta(hours=1), timedelta(minutes=1)
_IMPORT_STEP = timedelta(minutes=30)


class Span(Struct, frozen=True):
    """A time in one window (None: the otherwise rate), in UTC, and its price [currency/kWh]."""

    begins_at: datetime
    ends_at: datetime
    window: int | None
    rate_per_kwh: float


class WindowCost(Struct, frozen=True):
    """What fell into one window, by its number; None is the otherwise rate."""

    window: int | None
    rate_per_kwh: float
    hours: float
    energy_kwh: float
    cost: float


class Cost(Struct, frozen=True):
    """What steady power took and cost; the windows sum to the whole."""

    energy_kwh: float
    cost: float
    by_window: tuple[WindowCost, ...]


def check_tariff(tariff: Tariff) -> None:
    """Refuse a tariff that cannot be reckoned with. Gaps and negative rates are fine.

    Raises:
        Contradiction: two windows overlap, or one begins when it ends; says which, and what would be right.
    """
    tariff_week(tariff)


def rates_at(tariff: Tariff, zone: ZoneInfo, moments: Iterable[datetime]) -> list[tuple[float, bool]]:
    """Price [currency/kWh] at aware moments, and whether it is the lowest there is on that day of the tariff's clock.

    Raises:
        Contradiction: the tariff contradicts itself, or a moment has no zone.
    """
    week, clock = tariff_week(tariff), clock_of(tariff, zone)
    cheapest = week.cheapest_rates()
    found: list[tuple[float, bool]] = []
    for moment in moments:
        at = in_utc("moments", moment)
        minute = clock.week_min(at, clock.ahead(at))
        rate = week.rate(week.at(minute).window)
        found.append((rate, rate <= cheapest[int(minute) // DAY_MIN]))
    return found


def spans(tariff: Tariff, zone: ZoneInfo, begins_at: datetime, ends_at: datetime) -> Iterator[Span]:
    """The time between two aware moments, cut where the window changes.

    Raises:
        Contradiction: the tariff contradicts itself, or a moment has no zone.
    """
    week, clock = tariff_week(tariff), clock_of(tariff, zone)
    held: Span | None = None
    for one in _pieces(week, clock, in_utc("begins_at", begins_at), in_utc("ends_at", ends_at)):
        if held is None or held.window != one.window:
            if held is not None:
                yield held
            held = one
        else:
            held = Span(held.begins_at, one.ends_at, held.window, held.rate_per_kwh)
    if held is not None:
        yield held


def hourly_prices(
    tariff: Tariff, zone: ZoneInfo, starts_at: datetime, hours: int, imported: Mapping[datetime, float] | None = None
) -> tuple[float, ...]:
    """Mean price in each hour from a moment on.

    Args:
        tariff: The one that holds in these hours.
        zone: The pond's.
        starts_at: Aware.
        hours: How many [h], 0 to 87,840.
        imported: Prices [currency/kWh] by the aware moment they begin at. They win over the tariff. Each holds for the
            least distance between two of them, at most an hour; a single one for half an hour.

    Returns:
        Prices [currency/kWh].

    Raises:
        OutOfRange: too many hours.
        Contradiction: the tariff contradicts itself, or a moment has no zone.
    """
    require_between("hours", hours, *HOURS, "h")
    start = in_utc("starts_at", starts_at)
    end = start + hours * _HOUR
    prices = [0.0] * hours
    for span in _with_imported(tariff_week(tariff), clock_of(tariff, zone), start, end, imported or {}):
        for hour, share in _shares(span, start):
            prices[hour] += share * span.rate_per_kwh
    return tuple(prices)


def cheapest_shares(tariff: Tariff, zone: ZoneInfo, starts_at: datetime, hours: int) -> tuple[float, ...]:
    """How much of each hour [–], 0 to 1, lies in the cheapest rate there is on that day of the tariff's clock.

    Args:
        tariff: The one that holds in these hours.
        zone: The pond's.
        starts_at: Aware.
        hours: How many [h], 0 to 87,840.

    Raises:
        OutOfRange: too many hours.
        Contradiction: the tariff contradicts itself, or the moment has no zone.
    """
    require_between("hours", hours, *HOURS, "h")
    start = in_utc("starts_at", starts_at)
    week, clock = tariff_week(tariff), clock_of(tariff, zone)
    cheapest = week.cheapest_rates()
    found = [0.0] * hours
    for span in _pieces(week, clock, start, start + hours * _HOUR):
        day = int(clock.week_min(span.begins_at, clock.ahead(span.begins_at))) // DAY_MIN
        if span.rate_per_kwh <= cheapest[day]:
            for hour, share in _shares(span, start):
                found[hour] += share
    return tuple(found)


def cost_of(tariff: Tariff, zone: ZoneInfo, power_w: float, begins_at: datetime, ends_at: datetime) -> Cost:
    """What steady power takes and costs between two moments.

    Args:
        tariff: The one that holds in between.
        zone: The pond's.
        power_w: Mean power [W], 0 to 100,000.
        begins_at: Aware.
        ends_at: Aware, not before it, at most ten years after.

    Returns:
        Energy [kWh] and cost [currency], whole and by window in the tariff's order; the otherwise rate comes last.

    Raises:
        OutOfRange: power, or a time of over ten years.
        Contradiction: the tariff contradicts itself, a moment has no zone, or the end comes first.

    Source:
        Energy is power times elapsed time; each second by the price that the tariff's clock shows then.
    """
    require_between("power_w", power_w, *POWER_W, "W")
    begins_at, ends_at = in_utc("from", begins_at), in_utc("to", ends_at)
    if ends_at < begins_at:
        raise Contradiction("to is before from", where="to", right="a moment after from")
    require_between("hours", (ends_at - begins_at) / _HOUR, *HOURS, "h")
    week = tariff_week(tariff)
    minutes = _minutes_by_window(week, clock_of(tariff, zone), begins_at, ends_at)
    numbers = [*range(len(tariff.windows)), None]
    rows = tuple(_row(week, number, minutes[number] / 60, power_w) for number in numbers if number in minutes)
    return Cost(sum((one.energy_kwh for one in rows), 0.0), sum((one.cost for one in rows), 0.0), rows)


def _row(week: TariffWeek, window: int | None, hours: float, power_w: float) -> WindowCost:
    energy_kwh = power_w / 1000 * hours
    return WindowCost(window, week.rate(window), hours, energy_kwh, energy_kwh * week.rate(window))


def _pieces(week: TariffWeek, clock: TariffClock, begins_at: datetime, ends_at: datetime) -> Iterator[Span]:
    """The time between two moments, cut where the window, the clock's day or the clock itself changes."""
    for start, end, ahead in clock.steady(begins_at, ends_at):
        at, minute = start, clock.week_min(start, ahead)
        while at < end:
            stretch = week.at(minute)
            until = min(end, at + (stretch.ends_min - minute) * _MINUTE)
            yield Span(at, until, stretch.window, week.rate(stretch.window))
            at, minute = until, stretch.ends_min % WEEK_MIN


def _with_imported(
    week: TariffWeek, clock: TariffClock, start: datetime, end: datetime, imported: Mapping[datetime, float]
) -> Iterator[Span]:
    """Imported prices where there are any, the tariff between them."""
    known = sorted((in_utc("imported", at), price) for at, price in imported.items())
    gaps = (later - sooner for (sooner, _), (later, _) in pairwise(known))
    step = min(_HOUR, min(gaps, default=_IMPORT_STEP))
    at = start
    for begins, price in known:
        until = min(begins + step, end)
        if until <= at:
            continue
        yield from _pieces(week, clock, at, min(begins, end))
        at = max(at, begins)
        if at < until:
            yield Span(at, until, None, price)
            at = until
    yield from _pieces(week, clock, at, end)


def _shares(span: Span, start: datetime) -> Iterator[tuple[int, float]]:
    """Hours from `start` on that a span touches, and how much of each it takes [–]."""
    begins, ends = (span.begins_at - start) / _HOUR, (span.ends_at - start) / _HOUR
    for hour in range(int(begins), int(-(-ends // 1))):
        yield hour, min(ends, hour + 1) - max(begins, hour)


def _minutes_by_window(
    week: TariffWeek, clock: TariffClock, begins_at: datetime, ends_at: datetime
) -> dict[int | None, float]:
    """Minutes [min] in each window that any of the time falls into: whole weeks at once, and the rest of one."""
    minutes: dict[int | None, float] = {}
    for start, end, ahead in clock.steady(begins_at, ends_at):
        weeks, rest = divmod((end - start) / _MINUTE, WEEK_MIN)
        first = clock.week_min(start, ahead)
        for one in week.stretches:
            inside = weeks * (one.ends_min - one.begins_min) + sum(
                max(0.0, min(one.ends_min + turn, first + rest) - max(one.begins_min + turn, first))
                for turn in (0, WEEK_MIN)
            )
            if inside > 0:
                minutes[one.window] = minutes.get(one.window, 0.0) + inside
    return minutes
