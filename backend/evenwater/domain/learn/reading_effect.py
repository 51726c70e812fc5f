"""Whether readings lie higher since a change: a value a day, the pond's own drift taken off, in one sentence."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from statistics import median
from typing import Final

from msgspec import Struct

from evenwater.domain.book.outlook import EffectLine, Found
from evenwater.domain.entries import Change, Reading, zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import change_number, level_words, unit_for, with_unit
from evenwater.domain.learn.shift import FEWEST_DAYS, Shift, shift_of
from evenwater.domain.learn.span import Span
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.workings import Given, Step, Workings

SURE: Final = 0.995
"""Chance that the interval holds the shift: it is looked at daily, and so often 0.99 is not enough."""
WINDOW_DAYS: Final = 60
"""How far to either side readings are looked at: beyond it a year's course is no straight line any more."""
MOST_DAYS: Final = 45
"""Days with readings on either side, those next to the change: more are another season."""
_DAILY_COURSE: Final = frozenset(
    {"temperature_c", "ph", "oxygen_mg_per_l", "air_temperature_c", "relative_humidity_fraction"}
)
_HOURS_APART: Final = 3.0
"""Read at another time of day, what rises and falls within a day has moved by that alone. Our own rule of thumb."""
_POINTS: Final = {"after_carbon": "after the carbon", "after_membrane": "after the membrane", "mains": "of the mains"}


class Asked(Struct, frozen=True):
    """Readings of a pond that a change is judged by: of which quantities, from when to when."""

    pond: str
    quantities: tuple[str, ...]
    since: datetime
    until: datetime


def readings_asked(facts: Iterable[Seen], before: datetime) -> tuple[Asked, ...]:
    """What the changes among these facts ask for that is older than a moment."""
    reach = timedelta(days=WINDOW_DAYS + 1)
    return tuple(
        Asked(one.entry.pond, one.entry.quantities, one.at - reach, one.at + reach)
        for one in facts
        if isinstance(one.entry, Change) and one.entry.quantities and one.at - reach < before
    )


def reading_effect(pond: Pond, quantity: str, by_point: Mapping[str, Sequence[Seen]], span: Span) -> EffectLine:
    """What readings of a quantity say of a change.

    Args:
        pond: The pond as set.
        quantity: A key of QUANTITIES.
        by_point: All its readings by where they were taken, oldest first.
        span: The change and where its histories begin and end.

    Returns:
        One sentence of the point that was read most about the change, with its workings.
    """
    sides = {point: (_before(readings, span), _after(readings, span)) for point, readings in by_point.items()}
    days = {
        point: (dict(_daily(before)[-MOST_DAYS:]), dict(_daily(after)[:MOST_DAYS]))
        for point, (before, after) in sides.items()
    }
    point = max(days, key=lambda one: (min(map(len, days[one])), sum(map(len, days[one]))), default="pond")
    before, after = days.get(point, ({}, {}))
    of, title = f"reading/{quantity}", _title(quantity, point)
    shift = shift_of(before, after, SURE)
    if shift is None:
        late = span.noted_late and len(before) >= FEWEST_DAYS
        says = _too_few(len(before), len(after), span)
        return EffectLine(of=of, title=title, found="described" if late else "too_early", says=says)
    workings = _workings(quantity, (before, after), shift)
    told = _levels(pond, quantity, median(before.values()), median(after.values()))
    hours = [_hour(pond, side) for side in sides[point]] if quantity in _DAILY_COURSE else [0.0, 0.0]
    if abs(hours[1] - hours[0]) > _HOURS_APART:
        says = (
            f"{told}, but read about {hours[0]:.0f} h before and {hours[1]:.0f} h since: its daily course is in that."
        )
        return EffectLine(of=of, title=title, found="described", says=says, workings=workings)
    found = _found(shift, len(after), span)
    says = f"{told}: {_verdict(pond, quantity, shift, found)}."
    return EffectLine(of=of, title=title, found=found, says=says, workings=workings)


def _before(readings: Sequence[Seen], span: Span) -> Sequence[Seen]:
    return _between(readings, max(span.first, span.on - timedelta(days=WINDOW_DAYS)), span.on - timedelta(days=1))


def _after(readings: Sequence[Seen], span: Span) -> Sequence[Seen]:
    """From the day after the change, or after it was noted: of the day itself nobody knows which side it was."""
    last = min(span.end, span.on + timedelta(days=WINDOW_DAYS))
    return _between(readings, span.fresh_on + timedelta(days=1), last)


def _between(readings: Sequence[Seen], first: date, last: date) -> Sequence[Seen]:
    begins = bisect_left(readings, first, key=lambda one: one.on)
    return readings[begins : bisect_right(readings, last, key=lambda one: one.on)]


def _daily(readings: Sequence[Seen]) -> list[tuple[date, float]]:
    """The median of each day that has readings, oldest first."""
    days: dict[date, list[float]] = {}
    for one in readings:
        if isinstance(one.entry, Reading):
            days.setdefault(one.on, []).append(one.entry.value)
    return [(on, median(values)) for on, values in days.items()]


def _hour(pond: Pond, readings: Sequence[Seen]) -> float:
    """The usual hour of the day at the pond [h]."""
    zone = zone_named(pond.zone)
    local = (one.at.astimezone(zone) for one in readings)
    return median(at.hour + at.minute / 60.0 for at in local)


def _found(shift: Shift, after_days: int, span: Span) -> Found:
    if shift.low > 0.0:
        return "higher"
    if shift.high < 0.0:
        return "lower"
    over = after_days >= MOST_DAYS or span.seen_on >= span.on + timedelta(days=WINDOW_DAYS) or span.last is not None
    return "no_difference" if over else "too_early"


def _title(quantity: str, point: str) -> str:
    label = QUANTITIES[quantity].label
    return f"{label} {_POINTS[point]}" if point in _POINTS else label


def _too_few(before: int, after: int, span: Span) -> str:
    if before < FEWEST_DAYS:
        return f"Too few to compare: {_days_words(before)} with readings before it, {FEWEST_DAYS} are needed."
    if span.noted_late:
        return (
            f"Noted {(span.noted_on - span.on).days} days after the fact, so only readings from then on are evidence: "
            f"{_days_words(after)} so far, {FEWEST_DAYS} are needed."
        )
    return f"Too early: {_days_words(after)} with readings since, {FEWEST_DAYS} are needed."


def _days_words(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"


def _levels(pond: Pond, quantity: str, before: float, after: float) -> str:
    return f"{level_words(pond, quantity, before)} before, {level_words(pond, quantity, after)} since"


def _verdict(pond: Pond, quantity: str, shift: Shift, found: Found) -> str:
    decimals = QUANTITIES[quantity].decimals + 1
    low, middle, high = (
        change_number(pond, quantity, abs(one), decimals) for one in (shift.low, shift.middle, shift.high)
    )
    unit = unit_for(pond, quantity).unit
    if found in ("higher", "lower"):
        near, far = (low, high) if found == "higher" else (high, low)
        return f"very likely {found}, by {with_unit(middle, unit)} ({near} to {far}) beside the pond's own drift"
    between = f"between {low} lower and {with_unit(high, unit)} higher beside the pond's own drift"
    if found == "no_difference":
        return f"no difference to be seen, {between}"
    return f"too early to tell, {between} so far"


def _workings(quantity: str, sides: tuple[Mapping[date, float], Mapping[date, float]], shift: Shift) -> Workings:
    unit, decimals = QUANTITIES[quantity].unit, QUANTITIES[quantity].decimals + 1
    before, after = sides
    return Workings(
        title="Whether readings moved with the change",
        inputs=(
            Given("days with readings before", float(len(before)), "days", "log"),
            Given("days with readings since", float(len(after)), "days", "log"),
        ),
        steps=(
            Step("a day counts by the median of its readings", ""),
            Step(
                "drift common to both sides (median of slopes), taken off",
                with_unit(f"{30.0 * shift.slope_per_day:+.{decimals}f}", f"{unit} in 30 days".strip()),
            ),
            Step("median of all differences since - before", with_unit(f"{shift.middle:+.{decimals}f}", unit)),
            Step("a day resembles the day before by", f"{shift.correlation:.2f}"),
            Step(
                "so many unrelated days tell as much",
                f"{shift.effective_before:.1f} before, {shift.effective_after:.1f} since",
            ),
            Step(
                f"{SURE:.1%} of the time between",
                with_unit(f"{shift.low:+.{decimals}f} and {shift.high:+.{decimals}f}", unit),
            ),
        ),
        result=with_unit(f"{shift.middle:+.{decimals}f}", unit),
        source=(
            "Hodges & Lehmann (1963); slope by Sen (1968); interval by the rank-sum test, stretched for days alike "
            "and an unknown slope: our own."
        ),
    )
