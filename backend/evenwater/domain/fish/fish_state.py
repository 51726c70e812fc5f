"""A fish of the register as it stands: what was measured, how it grew, what it weighs, what its next length may be."""

from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from math import exp
from typing import Final

from evenwater.domain.entries import LengthIs
from evenwater.domain.fish.against_past import against_past
from evenwater.domain.fish.condition import condition_words, fulton_k
from evenwater.domain.fish.degree_days import DegreeDays
from evenwater.domain.fish.grown import Grown, weight_on
from evenwater.domain.fish.growth import enough
from evenwater.domain.fish.growth_lines import growth_lines, growth_says
from evenwater.domain.fish.length_weight import PondWeights
from evenwater.domain.fish.measures import (
    Measured,
    any_length_cm,
    any_weight_g,
    as_measured,
    length_known_cm,
    ln_weight,
    next_length_cm,
)
from evenwater.domain.fish.outlook import Band, Curve, FishState, MeasureLine, PhotoLine, SeenLine
from evenwater.domain.fish.weight_workings import weight_workings

SHOWN_MEASURES: Final = 16
_DRAWN: Final = 12


def state_of(
    one: Grown,
    pond: str,
    weights: PondWeights,
    warmth: DegreeDays,
    seen: Sequence[SeenLine],
    photos: Sequence[PhotoLine],
    stands_out: str | None,
    today: date,
) -> FishState:
    """The record of a fish for the page of a pond."""
    fish, where = one.fish, one.where
    weight = weight_on(one, weights, today, today)
    weight = weight.shown() if weight else None
    length = one.length_on(today, today)
    low, high, length_is = _expected(one, today)
    lines = growth_lines(one, weights, warmth)
    return FishState(
        id=fish.id,
        set_at=fish.pond,
        name=fish.name,
        variety=fish.variety,
        born_year=fish.born_year,
        sex=fish.sex,
        origin=fish.origin,
        marks=fish.marks,
        picture=fish.picture,
        count=fish.count,
        came_on=fish.came_on,
        here=where.here.get(pond, 0),
        gone=where.gone,
        gone_on=where.gone_on,
        quarantine=where.quarantine,
        measures=tuple(_line(told, weights) for told in reversed(one.measures[-SHOWN_MEASURES:])),
        weight_g=weight,
        length_total_cm=round(length[0], 1) if length else None,
        condition=_condition(one.measures),
        condition_says=_condition_says(one.measures) if fish.count == 1 else None,
        growth=tuple(reversed(lines)),
        curve=_curve(one, today),
        against_past=against_past(one),
        photos=tuple(photos),
        says=growth_says(one, lines),
        stands_out=stands_out,
        seen=tuple(seen),
        expect_length_cm=(round(as_measured(low, length_is), 1), round(as_measured(high, length_is), 1)),
        expect_length_is=length_is,
        expect_weight_g=_whole(any_weight_g((low, high))),
        workings=weight_workings(one, weights, length, weight, today),
    )


def _expected(one: Grown, today: date) -> tuple[float, float, LengthIs | None]:
    """What its next total length nearly always lies between, and how it was last measured."""
    lengths = [told for told in one.measures if told.total_cm is not None and told.counts]
    if one.fish.count > 1 or not lengths:
        low, high = any_length_cm()
        return low, high, lengths[-1].length_is if lengths else None
    last = lengths[-1]
    assert last.total_cm is not None
    low, high = next_length_cm(last.total_cm, last.on, today)
    return max(1.0, low), min(150.0, high), last.length_is


def _line(told: Measured, weights: PondWeights) -> MeasureLine:
    weighed = told.weight_g is not None
    weight = None
    if told.weight_g is not None:
        weight = Band(told.weight_g, told.weight_g, told.weight_g)
    elif told.total_cm is not None and told.counts:
        weight = weights.weight(told.fish, told.total_cm, told.on, length_known_cm(told)).shown()
    return MeasureLine(
        entry=told.entry,
        on=told.on,
        session=told.session,
        length_cm=told.length_cm,
        length_is=told.length_is,
        length_total_cm=round(told.total_cm, 1) if told.total_cm is not None else None,
        weight_g=weight,
        weighed=weighed,
        condition=_condition((told,)),
        doubts=told.doubts,
        counts=told.counts,
    )


def _condition(measures: Sequence[Measured]) -> float | None:
    both = [one for one in measures if ln_weight(one) is not None]
    last = both[-1] if both else None
    return round(fulton_k(last.weight_g, last.total_cm), 3) if last and last.weight_g and last.total_cm else None


def _condition_says(measures: Sequence[Measured]) -> str | None:
    told = [ratio for one in measures if (ratio := ln_weight(one)) is not None]
    if not told:
        return None
    return condition_words(exp(told[-1]), exp(told[-2]) if len(told) > 1 else None)


def _curve(one: Grown, today: date) -> Curve | None:
    if one.curve is None or one.fish.count > 1 or not enough(one.points):
        return None
    ends, rate = one.curve.l_inf_cm(), one.curve.k_per_year()
    days = (today - one.dates[0]).days
    points: list[tuple[date, float, float, float]] = []
    stops = sorted({*one.dates, today})
    at = dict(zip(one.dates, (point.years for point in one.points), strict=True))
    at[today] = one.years_now
    for first, last in pairwise(stops):
        many = max(1, round(_DRAWN * (last - first).days / max(1, days)))
        for nth in range(many):
            share = nth / many
            band = one.curve.at(at[first] + share * (at[last] - at[first]))
            points.append((first + (last - first) * share, *_drawn(band)))
    points.append((today, *_drawn(one.curve.at(one.years_now))))
    says = (
        f"Its length ends at about {ends.middle:.0f} cm ({ends.low:.0f} to {ends.high:.0f}) if it goes on like this:"
        f" learned of {len(one.points)} sessions."
    )
    return Curve(l_inf_cm=ends.shown(), k_per_year=rate.shown(), says=says, points=tuple(points))


def _whole(span: tuple[float, float]) -> tuple[float, float]:
    return round(span[0], 1), round(span[1], 0)


def _drawn(band: Band) -> tuple[float, float, float]:
    shown = band.shown()
    return shown.low, shown.middle, shown.high
