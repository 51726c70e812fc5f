"""How our forecasts did, a subject at a time and in the keeper's units: bias, typical error, how often inside the band.

The typical error is the median of the errors' size, so that one odd reading does not colour thirty good ones.
"""

from collections.abc import Callable, Sequence
from datetime import datetime
from statistics import fmean, median
from typing import Final

from msgspec import Struct

from evenwater.domain.book.met import Met, chlorine_met, dawn_met, month_met, trend_met
from evenwater.domain.book.outlook import Score, ScoreRow
from evenwater.domain.book.shown_records import Shown
from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import change_number, unit_for, with_unit
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.heat_log import cover_moves
from evenwater.domain.warmth.pond_air import HOUR, Samples, read
from evenwater.domain.water.carbon_runs import runs_of

ROWS: Final = 30
_LEANS_FROM: Final = 5
"""Forecasts that met their truth before it is said which way they lean. Our own rule."""

HIGH, LATE = ("too high", "too low"), ("too late", "too early")


class Spoken(Struct, frozen=True):
    """How a subject is put into words: stored × `per` + `offset` is shown; `size` says an error in shown units."""

    unit: str
    size: Callable[[float], str]
    per: float = 1.0
    offset: float = 0.0
    decimals: int = 2
    leans: tuple[str, str] = HIGH


def scores_of(
    pond: Pond, facts: Sequence[Seen], jobs: Sequence[StandingJob], samples: Samples, shown: Shown, now: datetime
) -> tuple[Score, ...]:
    """Every subject of which a forecast has met its truth.

    Args:
        pond: The pond as set.
        facts: Its standing facts up to now, oldest first.
        jobs: Its standing jobs.
        samples: What its probes sent.
        shown: What was foretold, as it was shown.
        now: The moment, aware.
    """
    zone = zone_named(pond.zone)
    dawns = dawn_met(shown.dawns, _water(facts, samples), cover_moves(pond, jobs, facts, now), zone)
    chlorine, left_out = chlorine_met(shown.chlorine, runs_of(facts, jobs, now), zone)
    ended = f" {left_out} ended before their limit and told nothing." if left_out else ""
    months = month_met(shown.months, shown.spent, zone)
    currency = shown.months[-1].what.currency if shown.months else ""
    scores = [
        *(trend_score(pond, name, trend_met(kept, facts, name, zone)) for name, kept in shown.trends.items()),
        _score("dawn", "Water at dawn", _level(pond, "temperature_c"), dawns),
        _score("chlorine_day", "Days until the carbon's limit", _DAYS, chlorine, ended),
        _score("month_cost", "Cost of a month's heat", _money(currency), months),
    ]
    return tuple(one for one in scores if one is not None)


def trend_score(pond: Pond, quantity: str, met: Sequence[Met]) -> Score | None:
    """How forecasts of a quantity did; None where none has met a reading."""
    return _score(f"trend/{quantity}", QUANTITIES[quantity].label, _level(pond, quantity), met)


def _score(subject: str, title: str, spoken: Spoken, met: Sequence[Met], more: str = "") -> Score | None:
    met = met[-ROWS:]
    if not met:
        return None
    rows = tuple(_row(one, spoken) for one in met)
    bias = fmean((one.measured - one.band[1]) * spoken.per for one in met)
    typical = median(abs(one.measured - one.band[1]) * spoken.per for one in met)
    inside = sum(one.band[0] <= one.measured <= one.band[2] for one in met)
    return Score(
        subject=subject,
        title=title,
        unit=spoken.unit,
        rows=rows,
        bias=round(bias, spoken.decimals),
        typical_error=round(typical, spoken.decimals),
        inside=inside,
        model_versions=tuple(sorted({one.model_version for one in met})),
        says=_says(spoken, bias, typical, inside, len(met)) + more,
    )


def _says(spoken: Spoken, bias: float, typical: float, inside: int, count: int) -> str:
    """ "Off by 0.2 °dKH typically, 0.05 °dKH too high on average; 27 of 30 inside the band." """
    off = f"Off by {spoken.size(typical)} typically"
    size = spoken.size(abs(bias))
    if count >= _LEANS_FROM and size != spoken.size(0.0):
        off += f", {size} {spoken.leans[0] if bias < 0 else spoken.leans[1]} on average"
    return f"{off}; {inside} of {count} inside the band."


def _row(one: Met, spoken: Spoken) -> ScoreRow:
    low, middle, high = (round(value * spoken.per + spoken.offset, spoken.decimals) for value in one.band)
    return ScoreRow(one.on, low, middle, high, round(one.measured * spoken.per + spoken.offset, spoken.decimals))


def _level(pond: Pond, quantity: str) -> Spoken:
    shown, kind = unit_for(pond, quantity), QUANTITIES[quantity]
    decimals = len(change_number(pond, quantity, 1.0, kind.decimals + 1).partition(".")[2])
    return Spoken(
        unit=shown.unit,
        size=lambda error: with_unit(f"{round(error, decimals):g}", shown.unit),
        per=shown.per,
        offset=shown.offset,
        decimals=decimals,
    )


_DAYS = Spoken(
    unit="days", size=lambda days: "1 day" if f"{days:.0f}" == "1" else f"{days:.0f} days", decimals=1, leans=LATE
)


def _money(currency: str) -> Spoken:
    return Spoken(unit=currency, size=lambda amount: f"{currency}{amount:.0f}")


def _water(facts: Sequence[Seen], samples: Samples) -> list[tuple[datetime, float]]:
    """The pond's water as read and as its probe sent it; a probe's hour stands at its middle."""
    probe = [(at + HOUR / 2, value) for at, value in samples.measured.get("water_c", ())]
    return sorted([*read(facts, "temperature_c", "pond"), *probe])
