"""The track record of a trend, beside its chart on the Water page: what was shown before, and what was then read."""

from collections.abc import Sequence
from datetime import datetime
from statistics import fmean

from evenwater.domain.book.met import trend_met
from evenwater.domain.book.scores import ROWS, trend_score
from evenwater.domain.book.shown_records import Kept
from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.outlook import TrackRecord, TrackRow, Trend


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
    kept = [Kept(at, "", trend) for at, trend in shown if trend.quantity == quantity]
    met = trend_met(kept, facts, quantity, zone_named(pond.zone))[-ROWS:]
    score = trend_score(pond, quantity, met)
    if score is None:
        return None
    return TrackRecord(
        quantity=quantity,
        rows=tuple(TrackRow(one.on, *one.band, one.measured) for one in met),
        mean_error=round(fmean(abs(one.measured - one.band[1]) for one in met), QUANTITIES[quantity].decimals + 1),
        inside=score.inside,
        says=score.says,
    )
