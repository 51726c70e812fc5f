"""The heater for the next three nights: its settings, what they take and cost, and what one degree less would save."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from functools import partial
from typing import Final, Literal
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.entries import zone_named
from evenwater.domain.keeper_units import change_words, level_words
from evenwater.domain.kit import Tariff
from evenwater.domain.warmth.covers import CoverAdvice, Windows
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.heat.heat_balance import course_of
from evenwater.domain.warmth.heat_log import OFF, ON
from evenwater.domain.warmth.heater.heater_offer import HeaterPlan, Wish
from evenwater.domain.warmth.heater.heater_offer import Window as HeaterWindow
from evenwater.domain.warmth.heater.heater_plan import plan_heater
from evenwater.domain.warmth.heater.heater_words import LEAST_K, Spoken
from evenwater.domain.warmth.heater.tariff import hourly_prices, rates_at
from evenwater.domain.warmth.money import money
from evenwater.domain.warmth.outlook import WarmthFinding
from evenwater.domain.warmth.pond_air import HOUR, Samples
from evenwater.domain.warmth.season.season import DaySetting

_HOURS, _LEAST_HOURS, _HALF_DAY_H = 72, 12, 12
_HALF = timedelta(minutes=30)
_BAND_K: Final = 2.0
_CATCHES_K: Final = 1.0
_LEAST_KWH: Final = 0.05

Part = Literal["morning", "evening"]


class HeaterAdvice(Struct, frozen=True, kw_only=True):
    """Settings by date and part of the day; the water as planned (at, °C); cheap windows; what the page says."""

    settings: dict[tuple[date, Part], DaySetting] = {}
    planned: tuple[tuple[datetime, float], ...] = ()
    cheap: tuple[tuple[datetime, datetime], ...] = ()
    findings: tuple[WarmthFinding, ...] = ()


def heater_advice(
    heat: Heat,
    samples: Samples,
    windows: Windows,
    covers: dict[tuple[date, str], CoverAdvice],
    season_c: float | None,
    mornings: bool,
) -> HeaterAdvice:
    """What the heater should do for the next three nights; nothing where too little is told.

    Args:
        heat: What is known of the pond's heat.
        samples: For imported prices.
        windows: When covers go off and on.
        covers: Whether they are wanted.
        season_c: The setting of a step-down or step-up under way, which is then not searched for.
        mornings: Whether somebody goes to the thermostat in the morning too; without, by hand, it is set in evenings.
    """
    pond, tariff, heater = heat.pond, heat.pond.tariff, heat.heater
    low_c = season_c if season_c is not None else pond.warm_low_c
    hours = min(_HOURS, heat.air.ahead - 1)
    if tariff is None or heater is None or heat.belief is None or low_c is None or hours < _LEAST_HOURS:
        return HeaterAdvice()
    first = int(heat.now_h) + 1
    starts_at = heat.at(first)
    covered = [_covered(heat, windows, covers, heat.at(first + hour)) for hour in range(hours)]
    start_c = float(heat.belief.mean[0])
    prices, cheap = _prices(heat, tariff, samples, starts_at, hours)
    plan = plan_heater(
        course_of(heat.model, heat.fluxes, first, starts_at, covered, start_c),
        heater,
        prices,
        heat.air.weather.air_c[first : first + hours].tolist(),
        cheap,
        start_c,
        _wish(heat, low_c, season_c, mornings),
        Spoken(
            zone=zone_named(pond.zone).key,
            degrees=lambda one: level_words(pond, "temperature_c", round(one, 1)),
            apart=partial(change_words, pond, "temperature_c"),
            money=partial(money, tariff),
        ),
    )
    if plan is None:
        return HeaterAdvice()
    return HeaterAdvice(
        settings={} if season_c is not None else _settings(heat, plan, low_c, start_c),
        planned=((starts_at, start_c), *((starts_at + HOUR * (1 + nth), c) for nth, c in enumerate(plan.water_c))),
        cheap=_merged(starts_at, cheap),
        findings=(_finding(heat, tariff, plan, season_c),),
    )


def _wish(heat: Heat, low_c: float, season_c: float | None, mornings: bool) -> Wish:
    pond, usual = heat.pond, Wish(low_c=low_c, high_c=low_c)
    high_c = low_c if season_c is not None else max(low_c, pond.warm_high_c or low_c + _BAND_K)
    return Wish(
        low_c=low_c,
        high_c=high_c,
        change_limit_c_per_day=pond.change_limit_c_per_day,
        target_c=low_c,
        morning_hour=usual.morning_hour if mornings else usual.evening_hour,
    )


def _covered(heat: Heat, windows: Windows, covers: dict[tuple[date, str], CoverAdvice], at: datetime) -> float:
    """How much lies under cover then, if the jobs are done as advised: on from dusk, off in the morning."""
    full = heat.pond.cover.covered_fraction if heat.pond.cover else 1.0
    before = [(window[0], on, slot) for (on, slot), window in windows.items() if window[0] <= at]
    if not before:
        return full
    _, on, slot = max(before)
    advice = covers.get((on, slot))
    return full if slot == ON and not (advice and advice.stood_down) else 0.0 if slot in (ON, OFF) else full


def _prices(
    heat: Heat, tariff: Tariff, samples: Samples, starts_at: datetime, hours: int
) -> tuple[list[float], list[bool]]:
    """Price of each half hour, and whether it is of the cheapest: of its day, of imported prices within a day of it.

    What is over by now, and what comes after the end, counts too: or the dear rate seemed the cheapest there is.
    """
    zone = zone_named(heat.pond.zone)
    imported = dict(samples.measured.get("price_per_kwh", ()))
    if not imported:
        found = rates_at(tariff, zone, (starts_at + _HALF * nth + _HALF / 2 for nth in range(2 * hours)))
        return [price for price, _ in found], [flag for _, flag in found]
    around = hourly_prices(tariff, zone, starts_at - _HALF_DAY_H * HOUR, hours + 2 * _HALF_DAY_H, imported)
    cheap = [around[_HALF_DAY_H + nth] <= min(around[nth : nth + 2 * _HALF_DAY_H]) + 1e-9 for nth in range(hours)]
    prices = around[_HALF_DAY_H : _HALF_DAY_H + hours]
    return [price for price in prices for _ in range(2)], [flag for flag in cheap for _ in range(2)]


def _merged(starts_at: datetime, flags: Sequence[bool]) -> tuple[tuple[datetime, datetime], ...]:
    found: list[tuple[datetime, datetime]] = []
    for nth, flag in enumerate(flags):
        begins = starts_at + _HALF * nth
        if flag and found and found[-1][1] == begins:
            found[-1] = (found[-1][0], begins + _HALF)
        elif flag:
            found.append((begins, begins + _HALF))
    return tuple(found) if not all(flags) else ()


def _settings(heat: Heat, plan: HeaterPlan, low_c: float, start_c: float) -> dict[tuple[date, Part], DaySetting]:
    """The setting to make on each evening (and morning, by hand), for the window that follows it."""
    zone = zone_named(heat.pond.zone)
    found: dict[tuple[date, Part], DaySetting] = {}
    # Water that begins too cold is on its way back at first.
    held = (plan.end_c if start_c < low_c - LEAST_K else plan.lowest_c) >= low_c - LEAST_K
    for window in plan.windows:
        begins, ends = window.begins_at.astimezone(zone), window.ends_at.astimezone(zone)
        if window.setting_c is None:
            one = DaySetting(low_c - _CATCHES_K, "Not needed then: this only catches a surprise.")
        else:
            kwh = f"{window.kwh:.0f} kWh" if window.kwh >= 1 else "hardly any current"
            low = level_words(heat.pond, "temperature_c", low_c)
            words = f"Holds {low} at least cost: {kwh}." if held else f"As near {low} as it gets: {kwh}."
            if plan.beyond_switch:
                words += f" Let it heat {begins:%H:%M} to {ends:%H:%M}: the switch's own hours are not enough."
            one = DaySetting(window.setting_c, words)
        part: Part = "morning" if 4 <= begins.hour < 16 else "evening"
        on = begins.date() - timedelta(days=1) if begins.hour < 4 else begins.date()
        found.setdefault((on, part), one)
        # A setting that stands for days is the setting of each evening in them.
        for later in range(1, (ends - timedelta(hours=12)).date().toordinal() - on.toordinal() + 1):
            found.setdefault((on + timedelta(days=later), "evening"), one)
    return found


def _finding(heat: Heat, tariff: Tariff, plan: HeaterPlan, season_c: float | None) -> WarmthFinding:
    zone = zone_named(heat.pond.zone)
    nights = max(1.0, (plan.ends_at - plan.begins_at) / timedelta(days=1))
    says = plan.says if season_c is None else (plan.says[0], plan.says[-1])
    problems = plan.problems if season_c is None else ()
    taken = ("The heater is not told: 3 kW, electric, by a time switch is taken.",) if heat.heater_assumed else ()
    return WarmthFinding(
        id="heater",
        section="heater",
        title="Heater",
        big=_big(tariff, plan.kwh / nights, plan.cost / nights),
        says=" ".join([*taken, *problems, *says]),
        answer="drifting" if problems and not plan.keeps_band else None,
        columns=("When", "Setting", "Energy", "Cost"),
        rows=tuple(_row(heat, tariff, zone, window) for window in plan.windows),
        workings=plan.workings,
    )


def _big(tariff: Tariff, kwh: float, cost: float) -> str:
    return f"{kwh:.1f} kWh a night, {money(tariff, cost)}" if kwh >= _LEAST_KWH else "No heat needed"


def _row(heat: Heat, tariff: Tariff, zone: ZoneInfo, window: HeaterWindow) -> tuple[str, ...]:
    begins, ends = window.begins_at.astimezone(zone), window.ends_at.astimezone(zone)
    setting = "off" if window.setting_c is None else level_words(heat.pond, "temperature_c", window.setting_c)
    end = f"{ends:%H:%M}" if ends - begins < timedelta(hours=16) else f"{ends:%a %H:%M}"
    return (f"{begins:%a %H:%M} to {end}", setting, f"{window.kwh:.1f} kWh", money(tariff, window.cost))
