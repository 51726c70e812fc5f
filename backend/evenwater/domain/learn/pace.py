"""How fast the biology runs against its own usual: warmth and food, as far as they were written down.

Source: the doubling for each 10 °C is common practice for nitrifiers, no source; so is half of the use following the
food. A day without food written down is not a day without food: it counts as usual.
"""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from math import log
from statistics import fmean

from evenwater.domain.entries import Reading
from evenwater.domain.fold import Seen, feeds, readings_of
from evenwater.domain.learn.estimate import Event

_WARMTH_DAYS = 10
_FOOD_DAYS = 5
_FOOD_SHARE = 0.5
_LEAST, _MOST = 0.2, 3.0
_WORTH_TELLING = 0.02
_LOOK_BACK_DAYS = 14
_MARKED = log(1.25)


def pace_events(facts: Sequence[Seen]) -> list[Event]:
    """The pace from day to day, at noon, where it changes; against the mean of the log, which is 1."""
    warmth_c = {
        one.on: one.entry.value for one in readings_of(facts, "temperature_c") if isinstance(one.entry, Reading)
    }
    food_g: dict[date, float] = {}
    for one, feed_g, _ in feeds(facts):
        food_g[one.on] = food_g.get(one.on, 0.0) + feed_g
    known = sorted({*warmth_c, *food_g})
    if not known:
        return []
    usual_c = fmean(warmth_c.values()) if warmth_c else None
    usual_g = fmean(food_g.values()) if food_g else 0.0
    events: list[Event] = []
    for ahead in range((known[-1] - known[0]).days + 1):
        on = known[0] + timedelta(days=ahead)
        pace = _by_warmth(warmth_c, on, usual_c) * _by_food(food_g, on, usual_g)
        pace = min(_MOST, max(_LEAST, pace))
        if not events or abs(pace / events[-1].value - 1) > _WORTH_TELLING:
            events.append(Event(datetime.combine(on, time(12), UTC), "pace", pace))
    return events


def changed_markedly(paces: Sequence[Event], now: datetime) -> bool:
    """Whether food or warmth are a quarter off what they were over the two weeks before."""
    course = [pace for ago in range(_LOOK_BACK_DAYS) if (pace := _pace_at(paces, now - timedelta(days=ago)))]
    return bool(course) and abs(log(course[0] / fmean(course))) > _MARKED


def _pace_at(paces: Sequence[Event], at: datetime) -> float | None:
    return next((one.value for one in reversed(paces) if one.at <= at), None)


def _by_warmth(warmth_c: dict[date, float], on: date, usual_c: float | None) -> float:
    found = _latest(warmth_c, on)
    return 1.0 if found is None or usual_c is None else float(2.0 ** ((found - usual_c) / 10.0))


def _latest(warmth_c: dict[date, float], on: date) -> float | None:
    if on in warmth_c:
        return warmth_c[on]
    ordinal = on.toordinal()
    days = (date.fromordinal(ordinal - ago) for ago in range(1, _WARMTH_DAYS))
    return next((warmth_c[day] for day in days if day in warmth_c), None)


def _by_food(food_g: dict[date, float], on: date, usual_g: float) -> float:
    if usual_g <= 0:
        return 1.0
    ordinal = on.toordinal()
    days = (date.fromordinal(ordinal - ago) for ago in range(_FOOD_DAYS))
    recent = [food_g[day] for day in days if day in food_g]
    return 1.0 - _FOOD_SHARE + _FOOD_SHARE * sum(recent) / len(recent) / usual_g if recent else 1.0
