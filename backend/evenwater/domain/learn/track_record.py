"""How our forecasts did: what was shown the day before, against what was then measured."""

from collections.abc import Sequence
from datetime import date, datetime
from statistics import fmean

from evenwater.domain.entries import Reading, zone_named
from evenwater.domain.fold import Seen, readings_of
from evenwater.domain.keeper_units import change_number, unit_for, with_unit
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.outlook import TrackRecord, TrackRow, Trend

ROWS = 30


def track_of(
    shown: Sequence[tuple[datetime, Trend]], facts: Sequence[Seen], quantity: str, pond: Pond
) -> TrackRecord | None:
    """The last thirty days on which a forecast of an earlier day met a reading.

    Args:
        shown: Forecasts with the moment each was shown, oldest first.
        facts: The pond's standing facts, oldest first.
        quantity: What was foretold.
        pond: The pond as set.

    Returns:
        The record, None where no forecast has met a reading yet.
    """
    zone = zone_named(pond.zone)
    foretold: dict[date, tuple[float, float, float]] = {}
    for shown_at, trend in shown:
        made_on = shown_at.astimezone(zone).date()
        for at, low, middle, high in trend.forecast if trend.quantity == quantity else ():
            on = at.astimezone(zone).date()
            if made_on < on:
                foretold[on] = (low, middle, high)  # a later one, made nearer to it, takes its place
    measured = {one.on: one.entry.value for one in readings_of(facts, quantity) if isinstance(one.entry, Reading)}
    rows = tuple(TrackRow(on, *foretold[on], value) for on, value in sorted(measured.items()) if on in foretold)[-ROWS:]
    if not rows:
        return None
    mean_error = fmean(abs(row.measured - row.middle) for row in rows)
    inside = sum(row.low <= row.measured <= row.high for row in rows)
    kind = QUANTITIES[quantity]
    off = with_unit(change_number(pond, quantity, mean_error, kind.decimals + 1), unit_for(pond, quantity).unit)
    return TrackRecord(
        quantity=quantity,
        rows=rows,
        mean_error=round(mean_error, kind.decimals + 1),
        inside=inside,
        says=f"Off by {off} on average; inside the band {inside} of {len(rows)} times.",
    )
