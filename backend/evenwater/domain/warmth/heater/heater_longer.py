"""Heating beyond the cheap window, for cold spells and heaters too small for it.

First the window made longer before and after, alike every day; where that does not do, the hours of the mixed-integer
programme, which is given less time where it could only be cheaper. Either is followed under the thermostat before it
is offered.
"""

from itertools import product
from typing import Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.kit import Heater
from evenwater.domain.units import SECONDS_PER_HOUR
from evenwater.domain.warmth.heater.heater_ahead import Ahead, Bools, Floats
from evenwater.domain.warmth.heater.heater_ideal import Ideal, hours_to_heat
from evenwater.domain.warmth.heater.heater_search import Tried, rank, tried
from evenwater.domain.warmth.heater.heater_stretches import Stretch, levels_between, runs
from evenwater.domain.warmth.heater.heater_worth import Limits, follow_many, worth_of
from evenwater.domain.warmth.heater.thermostat import OFF

_MOST_HOURS: Final = 17
_LONGEST_OF: Final = (0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 14, 17)
_MOST_LEVELS: Final = 3
_LIMIT_S, _SHORT_LIMIT_S = 2.0, 0.15
_CLEARLY: Final = 0.03
_GIVEN: Final = 0.02


class Longer(Struct, frozen=True):
    """Hours and settings beyond the time switch; `gap_fraction` where they are the mixed-integer programme's."""

    ahead: Ahead
    stretches: tuple[Stretch, ...]
    best: Tried
    gap_fraction: float | None


def heat_longer(ahead: Ahead, heater: Heater, start_c: float, limits: Limits, bound: Ideal) -> Longer:
    """The best hours to heat in, whatever the time switch says."""
    free = replace(ahead, lets_heat=(True,) * len(ahead.lets_heat))
    longer = _best(free, heater, start_c, limits, _longer_windows(ahead), None)
    if longer.best.holds and longer.best.score <= bound.score + _CLEARLY * abs(bound.paid):
        return longer
    hours = hours_to_heat(free, heater, start_c, limits, _SHORT_LIMIT_S if longer.best.holds else _LIMIT_S)
    if hours is None:
        return longer
    most_kwh = max(max(hours.heat_kwh), 1e-9)
    flags = np.array(hours.heat_kwh)[None, :] > _GIVEN * most_kwh
    by_programme = _best(free, heater, start_c, limits, flags, hours.gap_fraction)
    return min(longer, by_programme, key=lambda one: rank(one.best))


def _longer_windows(ahead: Ahead) -> Bools:
    """The cheap steps with so many hours before and after, some of each: [choice, step]."""
    per_hour = round(SECONDS_PER_HOUR / ahead.step_s)
    cheap = np.array(ahead.cheap)
    found: list[Bools] = []
    for before, after in product(_LONGEST_OF, _LONGEST_OF):
        if before + after <= _MOST_HOURS:
            flags = cheap.copy()
            for first, end in runs(ahead.cheap):
                flags[max(0, first - before * per_hour) : end + after * per_hour] = True
            found.append(flags)
    return np.unique(np.array([*found, np.ones_like(cheap)]), axis=0)


def _best(ahead: Ahead, heater: Heater, start_c: float, limits: Limits, flags: Bools, gap: float | None) -> Longer:
    """The best of choices of hours, each with the highest settings there are."""
    levels = levels_between(limits.floor_c, limits.highest_setting_c, heater.step_c)[-_MOST_LEVELS:]
    settings: Floats = np.concatenate([np.where(flags, level, OFF) for level in levels])
    came = follow_many(ahead, heater, settings, start_c)
    row = worth_of(ahead, start_c, limits, came).order()[0]
    stretches = tuple(Stretch(first, end) for first, end in runs(flags[row % len(flags)].tolist()))
    chosen = settings[:, [one.first for one in stretches]]
    return Longer(ahead, stretches, tried(ahead, start_c, limits, chosen, came, [row])[0], gap)
