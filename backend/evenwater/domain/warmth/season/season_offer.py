"""When a step-down or a step-up is worth proposing, and what holding costs until then."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

import numpy as np
from msgspec import Struct

from evenwater.domain.keeper_units import level_words
from evenwater.domain.kit import SeasonSteps, Tariff
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.heat.climate import usual_air_c
from evenwater.domain.warmth.money import money
from evenwater.domain.warmth.outlook import Proposal, WarmthFinding
from evenwater.domain.warmth.season.season_run import run_winter, winter_of
from evenwater.domain.warmth.season.season_steps import SETPOINT_C, dated_settings

_WEEK: Final = 7
_LOOKED_AHEAD: Final = 75
_ENOUGH_K: Final = 1.0


class Offer(Struct, frozen=True):
    """What holding costs, and the proposal where it is time."""

    holding: WarmthFinding | None
    proposal: Proposal | None


def offer_of(heat: Heat, tariff: Tariff, water_c: float, setting_c: float, today: date) -> Offer:
    """Whether it is time to let the temperature down, or to bring it up.

    Args:
        heat: What is known of the pond's heat; with a heater.
        tariff: What current costs.
        water_c: The water now [°C].
        setting_c: The heater's setting now [°C].
        today: The date at the pond.
    """
    if heat.heater is None or not SETPOINT_C[0] <= setting_c <= SETPOINT_C[1]:
        return Offer(None, None)  # 0 is a thermostat that was turned off
    pond = heat.pond
    ahead = winter_of(heat, today, today + timedelta(days=_LOOKED_AHEAD))
    run = run_winter(heat, ahead, water_c, [setting_c] * len(ahead.days))
    week = float(run.cost[:_WEEK].sum())
    says = f"{run.kwh[:_WEEK].sum():.0f} kWh, in weather usual here."
    weekly = [float(run.cost[day : day + _WEEK].mean()) for day in range(len(ahead.days) - _WEEK)]
    dear = _first(weekly, pond.worth_per_day)
    # A time switch lets the water fall by day; what cannot be held does not come up to its setting even at night.
    cold = _first([-float(high) for high in run.highest_c], _ENOUGH_K / 2 - setting_c)
    here = level_words(pond, "temperature_c", setting_c)
    if dear is not None and pond.worth_per_day is not None and dear > 0:
        on = ahead.days[dear]
        says += f" From about {on.day} {on:%B} it costs more than {money(tariff, pond.worth_per_day)} a day."
    if cold is not None:
        says += f" From about {ahead.days[cold].day} {ahead.days[cold]:%B} the heater alone no longer holds it."
    holding = WarmthFinding(
        id="holding",
        section="season",
        title=f"Holding {here} another week",
        big=money(tariff, week),
        says=says,
    )
    proposal = _down(heat, tariff, setting_c, weekly, dear, cold, today) or _up(heat, tariff, water_c, setting_c, today)
    return Offer(holding, proposal)


def _down(
    heat: Heat,
    tariff: Tariff,
    setting_c: float,
    weekly: Sequence[float],
    dear: int | None,
    cold: int | None,
    today: date,
) -> Proposal | None:
    """It is time when this week already costs too much or cannot be held, and there is some way to go."""
    pond = heat.pond
    due = min((day for day in (dear, cold) if day is not None), default=None)
    if due is None or due >= _WEEK or setting_c < pond.season_floor_c + _ENOUGH_K or not _cooling(heat, today):
        return None
    season = SeasonSteps(from_c=setting_c, to_c=pond.season_floor_c, starts_on=today)
    if dear is not None and pond.worth_per_day is not None and dear < _WEEK:
        why = f"Holding costs {money(tariff, weekly[0])} a day now, more than the {money(tariff, pond.worth_per_day)}"
        why += " you would spend."
    else:
        why = "The heater alone will not hold this temperature any more."
    floor = level_words(pond, "temperature_c", season.to_c)
    settings = tuple((one.on, one.setpoint_c) for one in dated_settings(season))
    return Proposal(
        season=season,
        title=f"Step down to {floor}",
        says=f"{why} A degree every three days to {floor}; a warm spell is used, a cold snap waited out.",
        settings=settings,
    )


def _up(heat: Heat, tariff: Tariff, water_c: float, setting_c: float, today: date) -> Proposal | None:
    """It is time when the band's low end can be held at what the keeper would spend, in a warming season."""
    pond = heat.pond
    if pond.warm_low_c is None or setting_c > pond.warm_low_c - _ENOUGH_K or _cooling(heat, today):
        return None
    ahead = winter_of(heat, today, today + timedelta(days=42))
    season = SeasonSteps(from_c=setting_c, to_c=pond.warm_low_c, starts_on=today)
    dated = dated_settings(season)
    settings_c = [next((one.setpoint_c for one in reversed(dated) if one.on <= on), setting_c) for on in ahead.days]
    run = run_winter(heat, ahead, water_c, settings_c)
    a_day = float(np.mean(run.cost))
    if pond.worth_per_day is not None and a_day > pond.worth_per_day:
        return None
    low = level_words(pond, "temperature_c", pond.warm_low_c)
    return Proposal(
        season=season,
        title=f"Step up to {low}",
        says=f"On the way, and for the rest of six weeks, it takes about {money(tariff, a_day)} a day. A degree every"
        " three days; a warm spell is kept.",
        settings=tuple((one.on, one.setpoint_c) for one in dated),
    )


def _cooling(heat: Heat, today: date) -> bool:
    """Whether the next weeks are usually colder than these."""
    latitude = heat.pond.latitude
    return usual_air_c(today + timedelta(days=21), latitude) < usual_air_c(today, latitude)


def _first(values: Sequence[float], limit: float | None) -> int | None:
    """The first place whose value is over the limit."""
    return None if limit is None else next((place for place, value in enumerate(values) if value > limit), None)
