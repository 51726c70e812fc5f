"""How forecasts of the span did: those still in the track record whose day lay in it."""

from statistics import median

from evenwater.domain.book.outlook import Score, ScoreRow
from evenwater.domain.keeper_units import with_unit
from evenwater.domain.report.outlook import Section
from evenwater.domain.report.past import Past


def forecasts_part(past: Past) -> Section:
    """A row for each kind of forecast that met its truth in the span."""
    rows = [
        _row(score, inside)
        for score in past.book.scores
        if (inside := [row for row in score.rows if past.span.holds(row.on)])
    ]
    return Section(
        id="forecasts",
        title="Forecasts",
        says=("Each as it was shown before the day, against what was then measured.",) if rows else (),
        columns=("", "within the band", "typically off by") if rows else (),
        rows=tuple(rows),
        unknown=() if rows else ("No forecast of this time is in the track record, which keeps the last thirty each.",),
    )


def _row(score: Score, rows: list[ScoreRow]) -> tuple[str, ...]:
    inside = sum(row.low <= row.measured <= row.high for row in rows)
    off = median(abs(row.measured - row.middle) for row in rows)
    return score.title, f"{inside} of {len(rows)}", with_unit(f"{off:.2g}", score.unit)
