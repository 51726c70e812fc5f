"""Electricity and its cost: the heater by its counter, everything else by its power as it is set.

A month's heat costs what its kWh cost in the hours in which the heater may run. What no counter tells is not guessed:
a month that was worked out at the time, by the learned model, counts with what was said then.
"""

from collections.abc import Sequence
from datetime import UTC, datetime, time, timedelta
from itertools import pairwise
from typing import Final

import numpy as np
from msgspec import Struct

from evenwater.domain.entries import zone_named
from evenwater.domain.kit import Heater
from evenwater.domain.pond import Pond
from evenwater.domain.report.past import Past
from evenwater.domain.report.span import Span
from evenwater.domain.warmth.heat_log import may_run
from evenwater.domain.warmth.heater.tariff import hourly_prices

GAP: Final = timedelta(days=40)
"""Two readings of a counter further apart than this do not say how much ran in which month. Our own."""
COVERED: Final = 0.97
"""How much of a month a counter must cover to tell all of it [–]. Our own."""
_HOUR: Final = timedelta(hours=1)
_W_PER_KW: Final = 1000.0
_HOURS_A_DAY: Final = 24


class Power(Struct, frozen=True):
    """Electricity taken [kWh] and its cost [currency], each None where it is not known; `days` of it are known."""

    kwh: float | None
    cost: float | None
    days: float


def heat_in(past: Past, span: Span) -> Power:
    """What the heater took: by its counter; months it does not cover as they were worked out at the time."""
    kwh = cost = days = 0.0
    metered = told = False
    spent = {one.what.month: one.what.cost for one in past.foretold.spent}
    for month in span.months():
        pond = past.held.on(month.first)
        since, until = _moments(pond, month)
        took, covered = _counted(past.counter, since, until)
        whole = until - since
        if covered > timedelta(0):
            metered, kwh = True, kwh + took
        rate = _mean_rate(pond, since, until, pond.heater)
        if covered > COVERED * whole or (covered > timedelta(0) and month.first not in spent):
            days += covered / timedelta(days=1)
            if rate is not None:
                told, cost = True, cost + took * rate
        elif month.first in spent and _is_whole(month):
            told, cost, days = True, cost + spent[month.first], days + month.days
    return Power(kwh if metered else None, cost if told else None, days)


def appliances_in(past: Past, span: Span) -> Power:
    """What pumps and all else took, by their power as it was set for each month since the pond was told of."""
    kwh = cost = days = 0.0
    known = priced = False
    told = past.told_of(span)
    for month in told.months() if told else ():
        pond = past.held.on(month.first)
        watts = sum(one.power_w * one.duty_fraction for one in pond.appliances)
        if watts <= 0:
            continue
        known, days = True, days + month.days
        took = watts / _W_PER_KW * _HOURS_A_DAY * month.days
        kwh += took
        since, until = _moments(pond, month)
        rate = _mean_rate(pond, since, until, None)
        if rate is not None:
            priced, cost = True, cost + took * rate
    return Power(kwh if known else None, cost if priced else None, days)


def _moments(pond: Pond, span: Span) -> tuple[datetime, datetime]:
    zone = zone_named(pond.zone)
    ends = span.last + timedelta(days=1)
    since, until = (datetime.combine(on, time(0), zone).astimezone(UTC) for on in (span.first, ends))
    return since, until


def _is_whole(month: Span) -> bool:
    return month.first.day == 1 and (month.last + timedelta(days=1)).day == 1


def _counted(counter: Sequence[tuple[datetime, float]], since: datetime, until: datetime) -> tuple[float, timedelta]:
    """kWh between two moments, and how much of the time the counter covers; readings straight between two."""
    kwh, covered = 0.0, timedelta(0)
    for (at, shows), (next_at, next_shows) in pairwise(counter):
        first, last = max(at, since), min(next_at, until)
        if last <= first or next_shows < shows or next_at - at > GAP:
            continue  # another month, a counter that was changed, or too long ago
        kwh += (next_shows - shows) * ((last - first) / (next_at - at))
        covered += last - first
    return kwh, covered


def _mean_rate(pond: Pond, since: datetime, until: datetime, heater: Heater | None) -> float | None:
    """Mean price of the hours between two moments [currency/kWh]; of a heater's, of those in which it may run."""
    if pond.tariff is None:
        return None
    hours = max(1, round((until - since) / _HOUR))
    prices = np.array(hourly_prices(pond.tariff, zone_named(pond.zone), since, hours))
    allowed = may_run(pond, heater, since, hours) >= 1 if heater else np.ones(hours, dtype=bool)
    return float(prices[allowed].mean()) if allowed.any() else float(prices.mean())
