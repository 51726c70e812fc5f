"""Growth between sessions: in length, in weight, by the month and by the warmth of the water."""

from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from typing import Final

from evenwater.domain.fish.degree_days import DegreeDays
from evenwater.domain.fish.grown import Grown, waits_for_curve
from evenwater.domain.fish.growth import Point, specific_growth_percent_per_day
from evenwater.domain.fish.length_weight import Z90, PondWeights
from evenwater.domain.fish.outlook import Band, GrowthLine

SHORTEST_DAYS: Final = 21
"""Under it the tape tells more than the fish: no rate is told. Our own."""
SHOWN_LINES: Final = 8
_MONTH_DAYS: Final = 30.0
_ENOUGH_WARMTH: Final = 50.0


def growth_lines(one: Grown, weights: PondWeights, warmth: DegreeDays) -> list[GrowthLine]:
    """From each of the last sessions that count to the next, oldest first."""
    found: list[GrowthLine] = []
    lately = slice(-SHOWN_LINES - 1, None)
    for (since, before), (on, after) in pairwise(zip(one.dates[lately], one.points[lately], strict=True)):
        if (on - since).days >= SHORTEST_DAYS:
            found.append(_line(one, since, before, on, after, weights, warmth.between(one.where, since, on)))
    return found


def _line(
    one: Grown,
    since: date,
    before: Point,
    on: date,
    after: Point,
    weights: PondWeights,
    degree_days: float | None,
) -> GrowthLine:
    days = (on - since).days
    middle = after.total_cm - before.total_cm
    half = Z90 * (before.sd_cm**2 + after.sd_cm**2) ** 0.5
    grown = Band(middle - half, middle, middle + half)
    month = _MONTH_DAYS / days
    gain = specific_growth_percent_per_day(
        _by_length(one, weights, since, before), _by_length(one, weights, on, after), days
    )
    warm = degree_days is not None and degree_days >= _ENOUGH_WARMTH
    return GrowthLine(
        since=since,
        on=on,
        grown_cm=grown.shown(),
        per_month_cm=Band(grown.low * month, middle * month, grown.high * month).shown(),
        gain_percent_per_day=gain.shown(),
        degree_days=None if degree_days is None else round(degree_days, 1),
        per_1000_degree_days_cm=round(1000.0 * middle / degree_days, 2) if warm and degree_days else None,
    )


def _by_length(one: Grown, weights: PondWeights, on: date, point: Point) -> Band:
    """Its weight with the doubt of the tape alone: what the pond's fish weigh for their length, both share."""
    middle = weights.weight(one.fish.id, point.total_cm, on).middle
    share = 1.0 + Z90 * weights.slope() * point.sd_cm / point.total_cm
    return Band(middle / share, middle, middle * share)


def growth_says(one: Grown, lines: Sequence[GrowthLine]) -> str:
    """Growth in a sentence."""
    if not one.points:
        return "Not measured yet."
    if not lines:
        on = one.dates[-1]
        return f"Measured on {on.day} {on:%b %Y}; growth shows with the next session. {waits_for_curve(one)}".rstrip()
    last = lines[-1]
    grew = (
        f"{last.grown_cm.middle:+.1f} cm ({last.grown_cm.low:+.1f} to {last.grown_cm.high:+.1f}) in"
        f" {(last.on - last.since).days} days to {last.on.day} {last.on:%b %Y}"
    )
    warm = last.per_1000_degree_days_cm
    by_warmth = f", {warm:.1f} cm in 1,000 degree-days" if warm is not None else ""
    earlier = [line.per_1000_degree_days_cm for line in lines[:-1] if line.per_1000_degree_days_cm is not None]
    if warm is not None and earlier:
        by_warmth += f" ({earlier[-1]:.1f} the time before)"
    return f"{grew}{by_warmth}. {waits_for_curve(one)}".rstrip()
