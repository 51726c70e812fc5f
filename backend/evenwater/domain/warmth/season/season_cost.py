"""What warmth has cost this season and what the rest will, by the temperature held; and all the pond's current."""

from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

import numpy as np
from msgspec import Struct

from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import level_words
from evenwater.domain.kit import Tariff
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.heat.climate import COLD_YEAR_K
from evenwater.domain.warmth.heat.heat_balance import simulate
from evenwater.domain.warmth.heat_log import may_run, meter_readings
from evenwater.domain.warmth.heater.heater_ahead import cop_at
from evenwater.domain.warmth.heater.tariff import hourly_prices
from evenwater.domain.warmth.money import money
from evenwater.domain.warmth.outlook import WarmthFinding
from evenwater.domain.warmth.pond_air import Samples
from evenwater.domain.warmth.season.season_run import run_winter, winter_of

HOUR = timedelta(hours=1)
_MONTH_H = 730.5


class SoFar(Struct, frozen=True):
    """Electricity for heat since a date [kWh] and its cost; metered, or worked out."""

    since: date
    kwh: float
    cost: float
    metered: bool


def season_of(today: date, latitude: float | None) -> tuple[date, date]:
    """First and last day of the cold half of the year that holds the date, or of the one to come."""
    begins, ends = ((10, 1), (3, 31)) if latitude is None or latitude >= 0 else ((4, 1), (9, 30))
    over_new_year = begins > ends
    year = today.year
    if over_new_year and (today.month, today.day) <= ends:
        year -= 1
    if not over_new_year and (today.month, today.day) > ends:
        year += 1
    return date(year, *begins), date(year + 1 if over_new_year else year, *ends)


def so_far(
    heat: Heat, facts: Sequence[Seen], samples: Samples, tariff_on: Callable[[date], Tariff], today: date
) -> SoFar | None:
    """What the heater took since the season began: by its meter where it was read, else worked out.

    `tariff_on`: the tariff that held on a date.
    """
    if heat.heater is None:
        return None
    first, _ = season_of(today, heat.pond.latitude)
    if first > today:
        return None
    zone = zone_named(heat.pond.zone)
    starts_at = datetime.combine(first, time(0), zone).astimezone(UTC)
    inside = [one for one in meter_readings(facts, samples) if one[0] >= starts_at]
    if len(inside) >= 2:
        kwh = cost = 0.0
        for (at, before), (next_at, after) in pairwise(inside):
            if after >= before:
                kwh += after - before
                cost += (after - before) * mean_price(heat, tariff_on(at.astimezone(zone).date()), at, next_at)
        return SoFar(inside[0][0].astimezone(zone).date(), kwh, cost, True)
    since = max(starts_at, heat.since)
    found = worked_out(heat, tariff_on(today), since, heat.at(heat.now_h))
    return None if found is None else SoFar(since.astimezone(zone).date(), *found, False)


def mean_price(heat: Heat, tariff: Tariff, at: datetime, until: datetime) -> float:
    """Mean price of the hours in which the heater may run between two moments."""
    start = at.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    hours = max(1, min(round((until - start) / HOUR), 24 * 400))
    prices = np.array(hourly_prices(tariff, zone_named(heat.pond.zone), start, hours))
    assert heat.heater is not None
    whole = may_run(heat.pond, heat.heater, start, hours) >= 1
    return float(prices[whole].mean()) if whole.any() else float(prices.mean())


def worked_out(heat: Heat, tariff: Tariff, since: datetime, until: datetime) -> tuple[float, float] | None:
    """Electricity for heat between two moments [kWh] and its cost: by the learned model, the air as it was, and the
    settings as they were made. None for less than a day, or where the air is not known throughout."""
    first, last = max(0, int(heat.place(since))), int(min(heat.place(until), heat.now_h))
    airs = heat.air.weather.air_c[:last]
    if last - first < 24 or heat.belief is None or heat.heater is None or np.isnan(airs).any():
        return None
    covered = _covers_by_hour(heat, last)
    setpoints = heat.known.setpoint_c[:last].tolist()
    run = simulate(heat.model, heat.fluxes, covered, heat.known.readings[0][1], setpoints, heat.heater.power_w)
    kwh = np.array(run.heat_w) / 1000 / cop_at(heat.heater, airs)
    prices = np.array(hourly_prices(tariff, zone_named(heat.pond.zone), heat.since, last))
    return float(kwh[first:].sum()), float((kwh * prices)[first:].sum())


def _covers_by_hour(heat: Heat, hours: int) -> list[float]:
    full = heat.pond.cover.covered_fraction if heat.pond.cover else 1.0
    found: list[float] = []
    state: float | None = None
    moves = list(heat.known.covers)
    for hour in range(hours):
        while moves and moves[0][0] <= hour + 0.5:
            state = moves.pop(0)[1]
        found.append(full if state is None else state)
    return found


def cost_findings(
    heat: Heat, spent: SoFar | None, water_c: float | None, target_c: float | None, today: date
) -> list[WarmthFinding]:
    """So far, to come by temperature held, and all the current."""
    pond, tariff = heat.pond, heat.pond.tariff
    if tariff is None:
        return []
    found: list[WarmthFinding] = []
    if spent is not None:
        how = "by the meter" if spent.metered else "worked out, no meter was read"
        found.append(
            WarmthFinding(
                id="so-far",
                section="cost",
                title=f"Heat since {spent.since.day} {spent.since:%B}",
                big=money(tariff, spent.cost, whole=True),
                says=f"{spent.kwh:.0f} kWh, {how}.",
            )
        )
    _, ends = season_of(today, pond.latitude)
    if heat.heater is not None and water_c is not None and target_c is not None and 7 <= (ends - today).days <= 200:
        found.append(_to_come(heat, tariff, water_c, target_c, today, ends))
    kit = _kit(pond, tariff)
    return [*found, kit] if kit else found


def _to_come(heat: Heat, tariff: Tariff, water_c: float, target_c: float, today: date, ends: date) -> WarmthFinding:
    usual, cold = winter_of(heat, today, ends), winter_of(heat, today, ends, COLD_YEAR_K)
    held = sorted({heat.pond.season_floor_c, target_c - 2, target_c - 1, target_c, target_c + 1}, reverse=True)
    rows: list[tuple[str, ...]] = []
    costs: dict[float, tuple[float, float]] = {}
    for one in held:
        settings = [one] * len(usual.days)
        costs[one] = (
            float(run_winter(heat, usual, water_c, settings).cost.sum()),
            float(run_winter(heat, cold, water_c, settings).cost.sum()),
        )
        rows.append((level_words(heat.pond, "temperature_c", one), *(money(tariff, c, whole=True) for c in costs[one])))
    low, high = costs[target_c]
    until = f"{ends.day} {ends:%B}"
    return WarmthFinding(
        id="to-come",
        section="cost",
        title=f"To the end of {ends:%B}",
        big=f"{money(tariff, low, whole=True)} to {money(tariff, high, whole=True)}",
        says=f"Holding {level_words(heat.pond, 'temperature_c', target_c)} until {until}, usual year to cold year. "
        "What is usual comes from the latitude and from the air logged here.",
        columns=("Held at", "Usual year", "Cold year"),
        rows=tuple(rows),
    )


def _kit(pond: Pond, tariff: Tariff) -> WarmthFinding | None:
    """Everything that draws current all year, by what it takes in a month."""
    if not pond.appliances:
        return None
    week = hourly_prices(tariff, zone_named(pond.zone), datetime(2026, 1, 5, tzinfo=UTC), 24 * 7)
    price = sum(week) / len(week)
    rows: list[tuple[str, ...]] = []
    total = 0.0
    for one in sorted(pond.appliances, key=lambda one: -one.power_w * one.duty_fraction):
        kwh = one.power_w * one.duty_fraction / 1000 * _MONTH_H
        total += kwh
        duty = "" if one.duty_fraction == 1 else f", {100 * one.duty_fraction:.0f} % of the time"
        rows.append((f"{one.name}: {one.power_w:g} W{duty}", f"{kwh:.0f} kWh", money(tariff, kwh * price)))
    standing = tariff.standing_per_day * _MONTH_H / 24
    if standing:
        rows.append(("Standing charge, of the whole house", "", money(tariff, standing)))
    return WarmthFinding(
        id="kit",
        section="cost",
        title="Pumps and the rest, a month",
        big=money(tariff, total * price),
        says=f"{total:.0f} kWh at {money(tariff, price)} on average over a week.",
        columns=("What", "Energy", "Cost"),
        rows=tuple(rows),
    )
