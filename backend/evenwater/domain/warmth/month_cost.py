"""What this month's heat will come to, and what the last one came to once it was over.

So far: by the heater's counter, what ran since its last reading at tomorrow's rate; without a counter by the learned
model. From tomorrow: the days as they usually are here, with the settings as they are planned.
"""

from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.kit import SeasonSteps, Tariff
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.heat.heat_balance import Numbers
from evenwater.domain.warmth.heat_log import meter_readings
from evenwater.domain.warmth.money import money
from evenwater.domain.warmth.outlook import MonthCost, WarmthFinding
from evenwater.domain.warmth.pond_air import HOUR, Samples
from evenwater.domain.warmth.season.season import settings_ahead
from evenwater.domain.warmth.season.season_cost import mean_price, worked_out
from evenwater.domain.warmth.season.season_run import run_winter, winter_of

MODEL_VERSION: Final = "month-cost-1"
MONTH_K: Final = 2.5
"""By how much the rest of a month is colder or warmer than usual, nine times in ten [K]. Common practice, no source."""
_MODEL_SHARE: Final = 0.05
"""How far the heat balance may be off by itself [–]. Our own: it steps by three hours here."""
_GAP: Final = timedelta(days=16)
"""Two readings of a counter further apart than this do not say how much ran in which month. Our own rule."""
_WHOLE: Final = 0.97
"""How much of a month a counter must cover to tell its cost [–]. Our own rule."""

TariffOn = Callable[[date], Tariff]


class Held(Struct, frozen=True):
    """The water now and the setting that is held [°C]; `season` where a step-down or step-up goes on changing it."""

    water_c: float
    setting_c: float
    season: SeasonSteps | None = None


class _Spent(Struct, frozen=True):
    """Cost of heat up to a moment [currency]."""

    cost: float
    until: datetime
    metered: bool


def month_cost(
    heat: Heat, facts: Sequence[Seen], samples: Samples, tariff_on: TariffOn, held: Held, today: date
) -> MonthCost | None:
    """This month's heat as it will come to; None where its first days are not known.

    Args:
        heat: What is known of the pond's heat.
        facts: The pond's standing facts, oldest first.
        samples: What probes sent, the heater's counter among them.
        tariff_on: The tariff that held on a date.
        held: The water and the setting that is held.
        today: The civil date at the pond.
    """
    tariff = heat.pond.tariff
    if heat.heater is None or tariff is None:
        return None
    begins, ends = today.replace(day=1), _next_month(today)
    readings = meter_readings(facts, samples)
    spent = _so_far(heat, readings, tariff_on, begins)
    if spent is None:
        return None
    days_left = (ends - today).days - 1
    untold = max(0.0, (_midnight(heat, today + timedelta(days=1)) - spent.until) / timedelta(days=1))
    settings = _settings(held, today, days_left)
    low, middle, high = (
        untold * float(cost[0]) + float(cost[:days_left].sum())
        for cost in (_daily_cost(heat, today, ends, held.water_c, settings, k) for k in (-MONTH_K, 0.0, MONTH_K))
    )
    low, high = low * (1 - _MODEL_SHARE), high * (1 + _MODEL_SHARE)
    before = _month_spent(heat, readings, tariff_on, _before(begins), begins)
    return MonthCost(
        month=begins,
        currency=tariff.currency,
        so_far=round(spent.cost, 2),
        band=(round(spent.cost + low, 2), round(spent.cost + middle, 2), round(spent.cost + high, 2)),
        before=None if before is None else round(before, 2),
        metered=spent.metered,
    )


def month_finding(tariff: Tariff, found: MonthCost) -> WarmthFinding:
    """The month in a line."""
    low, middle, high = (money(tariff, one, whole=True) for one in found.band)
    so_far = f"{money(tariff, found.so_far, whole=True)} so far, {'by the meter' if found.metered else 'worked out'}"
    return WarmthFinding(
        id="month",
        section="cost",
        title=f"Heat in {found.month:%B}",
        big=f"about {middle}",
        says=f"Between {low} and {high} by its end, nine times in ten, with the settings as planned; {so_far}.",
    )


def _next_month(on: date) -> date:
    return (on.replace(day=1) + timedelta(days=31)).replace(day=1)


def _before(begins: date) -> date:
    return (begins - timedelta(days=1)).replace(day=1)


def _midnight(heat: Heat, on: date) -> datetime:
    return datetime.combine(on, time(0), zone_named(heat.pond.zone)).astimezone(UTC)


def _settings(held: Held, today: date, days: int) -> list[float]:
    """The setting on each day from tomorrow on [°C]; one at least."""
    count = max(1, days)
    if held.season is None:
        return [held.setting_c] * count
    return [setting_c for _, setting_c in settings_ahead(held.season, held.setting_c, today, count + 1)]


def _daily_cost(
    heat: Heat, today: date, ends: date, water_c: float, settings: Sequence[float], colder_k: float
) -> Numbers:
    winter = winter_of(heat, today, max(ends - timedelta(days=1), today + timedelta(days=1)), colder_k)
    return run_winter(heat, winter, water_c, settings).cost


def _so_far(heat: Heat, readings: Sequence[tuple[datetime, float]], tariff_on: TariffOn, begins: date) -> _Spent | None:
    since, now = _midnight(heat, begins), heat.at(heat.now_h)
    inside = [one for one in readings if one[0] <= now]
    if inside and inside[-1][0] > since:
        cost, covered_h = _metered(heat, inside, tariff_on, since, inside[-1][0])
        if covered_h >= _WHOLE * ((inside[-1][0] - since) / HOUR):
            return _Spent(cost, inside[-1][0], True)
    if now - since < timedelta(days=1):
        return _Spent(0.0, since, bool(inside))
    found = worked_out(heat, tariff_on(begins), since, now) if since >= heat.since else None
    return None if found is None else _Spent(found[1], now, False)


def _month_spent(
    heat: Heat, readings: Sequence[tuple[datetime, float]], tariff_on: TariffOn, begins: date, ends: date
) -> float | None:
    """What a month that is over came to [currency]: by the counter where it covers it, else by the learned model."""
    since, until = _midnight(heat, begins), _midnight(heat, ends)
    hours = (until - since) / HOUR
    cost, covered_h = _metered(heat, readings, tariff_on, since, until)
    if covered_h >= _WHOLE * hours:
        return cost * hours / covered_h
    found = worked_out(heat, tariff_on(begins), since, until) if since >= heat.since else None
    return None if found is None else found[1]


def _metered(
    heat: Heat, readings: Sequence[tuple[datetime, float]], tariff_on: TariffOn, since: datetime, until: datetime
) -> tuple[float, float]:
    """Cost by the counter between two moments, and how much of the time it covers [h]."""
    zone = zone_named(heat.pond.zone)
    cost = covered_h = 0.0
    for (at, kwh), (next_at, next_kwh) in pairwise(readings):
        first, last = max(at, since), min(next_at, until)
        if last <= first or next_kwh < kwh or next_at - at > _GAP:
            continue
        share = (last - first) / (next_at - at)
        cost += share * (next_kwh - kwh) * mean_price(heat, tariff_on(at.astimezone(zone).date()), at, next_at)
        covered_h += (last - first) / HOUR
    return cost, covered_h
