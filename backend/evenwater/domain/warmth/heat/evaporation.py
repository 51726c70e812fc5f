"""How fast a pond's level falls by what evaporates, from the air over it, its warmth and its cover."""

from collections.abc import Sequence
from datetime import UTC, datetime
from math import ceil
from typing import Final

import numpy as np
from msgspec import Struct

from evenwater.domain.fold import Seen
from evenwater.domain.pond import Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.units import SECONDS_PER_DAY
from evenwater.domain.warmth.heat.air import latent_heat_kj_per_kg, saturation_kpa
from evenwater.domain.warmth.heat.heat_balance import Numbers, fluxes_of
from evenwater.domain.warmth.heat.surface import WATER_C
from evenwater.domain.warmth.heat_log import cover_moves, water_readings
from evenwater.domain.warmth.pond_air import HOUR, Samples, air_of

_KNOWN_ENOUGH: Final = 0.8
"""Share of the hours whose air must be known."""
_UNDER_COVER: Final = (0.0, 0.05, 0.15)
"""What evaporates under a cover, of what would without: least, likely, most. Common practice, no source."""
_DOUBT: Final = (0.6, 1.0, 1.6)
"""How far the formula, a sheltered garden's wind, bubbles and a return that splashes may put it off. Our own."""
_SET_DOUBT: Final = (0.4, 1.0, 2.0)
"""How far the days may be off the year's mean that a keeper set. Our own."""
_ANY_MM: Final = (0.0, 3.0, 9.0)
"""Least, likely, most of a pond of which nothing is told [mm/day]. Common practice, no source.

A heated open pond on a dry, windy day loses as much.
"""


class Evaporation(Struct, frozen=True):
    """Millimetres a day: least, likely, most; and what that rests on, in words."""

    low_mm: float
    mm_per_day: float
    high_mm: float
    rests_on: str


def evaporation_of(
    pond: Pond,
    surface_m2: float | None,
    jobs: Sequence[StandingJob],
    facts: Sequence[Seen],
    samples: Samples,
    since: datetime,
    until: datetime,
) -> Evaporation:
    """What evaporates on average between two moments.

    Args:
        pond: The pond as set.
        surface_m2: Its surface [m²], None where its shape is not told.
        jobs: Its standing jobs: those that put the cover off and on.
        facts: Its standing facts, oldest first.
        samples: What probes and the weather service sent.
        since: From when.
        until: To when.

    Source:
        Smith, Lof & Jones (1994), as in `surface.evaporation_w_per_m2`; latent heat as in `air.latent_heat_kj_per_kg`.
        Where the air is not known: the keeper's own setting; else what such ponds lose at all.
    """
    found = _by_air(pond, jobs, facts, samples, since, until)
    if found is not None:
        return found
    if pond.evaporation_l_per_day > 0 and surface_m2:
        set_mm = pond.evaporation_l_per_day / surface_m2
        low, middle, high = (set_mm * doubt for doubt in _SET_DOUBT)
        return Evaporation(low, middle, high, "the evaporation you set")
    return Evaporation(*_ANY_MM, "what such ponds lose at all")


def _by_air(
    pond: Pond,
    jobs: Sequence[StandingJob],
    facts: Sequence[Seen],
    samples: Samples,
    since: datetime,
    until: datetime,
) -> Evaporation | None:
    first = since.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    hours = max(1, ceil((until - first) / HOUR))
    weather = air_of(pond, facts, samples, first, first + hours * HOUR, until).weather
    water = [value for at, value, _ in water_readings(facts, samples, 0.0) if first - 48 * HOUR <= at <= until]
    known = np.isfinite(weather.air_c)
    if not water or known.mean() < _KNOWN_ENOUGH:
        return None
    water_c = min(WATER_C[1], max(WATER_C[0], float(np.mean(water))))
    fluxes = fluxes_of(weather)
    w_per_m2 = fluxes.evaporation_w_per_m2_kpa * (saturation_kpa(water_c) - fluxes.vapour_kpa)
    open_mm = np.maximum(0.0, w_per_m2) * SECONDS_PER_DAY / (1000 * latent_heat_kj_per_kg(water_c))
    least, most = _covered(pond, jobs, facts, first, until, hours)
    low, middle, high = (
        float(np.mean((open_mm * ((1 - covered) + under * covered))[known])) * doubt
        for covered, under, doubt in zip((most, (least + most) / 2, least), _UNDER_COVER, _DOUBT, strict=True)
    )
    return Evaporation(low, middle, high, "the air over it, its warmth and its cover")


def _covered(
    pond: Pond, jobs: Sequence[StandingJob], facts: Sequence[Seen], since: datetime, until: datetime, hours: int
) -> tuple[Numbers, Numbers]:
    """The least and the most share of the surface that was covered in each hour [0 to 1]."""
    least, most = np.zeros(hours), np.ones(hours)
    for at, share in cover_moves(pond, jobs, facts, until):
        hour = max(0, int((at - since) / HOUR)) if at > since else 0
        if hour < hours:
            least[hour:] = 0.0 if share is None else share
            most[hour:] = 1.0 if share is None else share
    return least, most
