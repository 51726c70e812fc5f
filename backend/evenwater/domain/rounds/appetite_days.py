"""The days of which somebody told how much of the food was eaten, each as a share of that day's usual food."""

from collections.abc import Mapping, Sequence
from datetime import date

from evenwater.domain.entries import Appetite, Tick
from evenwater.domain.fish.appetite import DayEaten
from evenwater.domain.fish.feeding import WATER_C, usual_ration_fraction
from evenwater.domain.fish.stock import Stock, more_fish
from evenwater.domain.fold import Seen, feeds, of_kinds
from evenwater.domain.pond import Pond
from evenwater.domain.water.recent import Recent

_LEAST: Mapping[Appetite, int] = {"most_left": 0, "some_left": 1, "all": 2}


def days_eaten(pond: Pond, now: Stock, then: Stock, facts: Sequence[Seen], recent: Recent) -> list[DayEaten]:
    """Gather them.

    Args:
        pond: The pond as set for today.
        now: Its fish.
        then: Its fish when the usual food was set.
        facts: Its facts of the last weeks.
        recent: Its readings of the last weeks.
    """
    told: dict[date, Appetite] = {}
    for one in of_kinds(facts, Tick):
        if isinstance(one.entry, Tick) and one.entry.appetite is not None and one.entry.feed_g:
            before = told.get(one.on, "all")
            told[one.on] = min(before, one.entry.appetite, key=lambda appetite: _LEAST[appetite])
    if not told:
        return []
    given: dict[date, float] = {}
    for one, feed_g, _ in feeds(facts):
        given[one.on] = given.get(one.on, 0.0) + feed_g
    found: list[DayEaten] = []
    for on, appetite in told.items():
        usual_g = usual_day_g(pond, now, then, _water_on(recent, on))
        if usual_g:
            found.append(DayEaten(on, given[on] / usual_g, appetite))
    return found


def usual_day_g(pond: Pond, now: Stock, then: Stock, water_c: float | None) -> float | None:
    """A day's usual food [g]: as set, for the fish there are now; else by their mass. None where neither is known."""
    if pond.feed_g_per_day is not None:
        return pond.feed_g_per_day * more_fish(now, then)
    if now.mass_g is None or water_c is None:
        return None
    return usual_ration_fraction(min(WATER_C[1], max(WATER_C[0], water_c))) * now.mass_g


def _water_on(recent: Recent, on: date) -> float | None:
    """The last reading until then, else the first after."""
    readings = recent.of("temperature_c")
    before = [one.value for one in readings if one.on <= on]
    return before[-1] if before else (readings[0].value if readings else None)
