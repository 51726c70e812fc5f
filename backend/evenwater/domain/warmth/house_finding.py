"""The filter house: its air against its dew point, and what keeps it dry, the cheaper remedies first."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import isfinite

from msgspec.structs import replace

from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import change_words, level_words
from evenwater.domain.kit import Tariff
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.filter_house import MARGIN_K, HouseAir, HouseAnswer, HouseNow, house_answer
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.heat.air import AIR_C
from evenwater.domain.warmth.heat.condensation import RSI_M2_K_PER_W, U_W_PER_M2_K
from evenwater.domain.warmth.money import money
from evenwater.domain.warmth.outlook import WarmthFinding
from evenwater.domain.warmth.pond_air import Samples, read

_FRESH = timedelta(hours=36)
_CAUTION = (
    "Mains electricity in a damp house: residual-current device, sockets off the floor, a licensed electrician for"
    " anything fixed. Local wiring rules win."
)


def house_finding(
    heat: Heat, water_c: float, facts: Sequence[Seen], samples: Samples, now: datetime
) -> WarmthFinding | None:
    """Whether it sweats, and what to do; None without a filter house or without air temperature."""
    pond, house = heat.pond, heat.pond.filter_house
    inside = _last(facts, samples, "air_temperature_c", "house_c", now)
    hour = _hour_with_air(heat, now if inside is None else inside[0])
    if house is None or hour is None:
        return None
    outside_c, inside_c = float(heat.air.weather.air_c[hour]), None if inside is None else inside[1]
    damp = _last(facts, samples, "relative_humidity_fraction", "house_humidity_fraction", now)
    humidity = None if damp is None else damp[1]
    answer = house_answer(
        replace(
            house,
            worst_u_w_per_m2_k=max(U_W_PER_M2_K[0], house.worst_u_w_per_m2_k),
            rsi_m2_k_per_w=max(RSI_M2_K_PER_W[0], house.rsi_m2_k_per_w),
        ),
        HouseNow(
            water_c=min(45.0, max(0.0, water_c)),
            outside_c=min(AIR_C[1], max(AIR_C[0], outside_c)),
            outside_humidity_fraction=max(0.05, float(heat.air.weather.humidity_fraction[hour])),
            inside_c=None if inside_c is None else min(AIR_C[1], max(AIR_C[0], inside_c)),
            inside_humidity_fraction=max(0.05, humidity) if humidity is not None else None,
        ),
    )
    return _told(pond, answer, pond.tariff, inside_c is not None)


def _told(pond: Pond, answer: HouseAnswer, tariff: Tariff | None, measured: bool) -> WarmthFinding:
    now = answer.now
    margin = change_words(pond, "temperature_c", abs(now.margin_k))
    air = level_words(pond, "air_temperature_c", round(now.inside_c, 1))
    big = f"{air}, {100 * min(1.0, now.humidity_fraction):.0f} %"
    if now.condenses:
        says = f"Wet: the worst surface is {margin} below the dew point."
    elif now.margin_k < MARGIN_K:
        says = f"Nearly wet: the worst surface is only {margin} above the dew point."
    else:
        says = f"Dry: the worst surface is {margin} above the dew point."
    origin = () if measured else ("Worked out from the water and the air outside.",)
    rows: list[tuple[str, ...]] = []
    for one in answer.remedies:
        cost = _a_month(one.air, tariff)
        dry = "dry" if one.air.margin_k >= MARGIN_K or one.kind == "heat" else "wetter days remain"
        rows.append((one.says[0].upper() + one.says[1:], dry, cost))
    return WarmthFinding(
        id="house",
        section="house",
        title="Filter house",
        big=big,
        says=" ".join([says, *origin, *answer.assumed]),
        answer="act_now" if now.condenses and measured else "drifting" if now.margin_k < MARGIN_K else "in_range",
        first=tuple(one.says[0].upper() + one.says[1:] + "." for one in answer.remedies[:2]) if now.condenses else (),
        cautions=(_CAUTION,) if rows else (),
        columns=("Remedy, cheapest to run first", "Then", "Heat still needed") if rows else (),
        rows=tuple(rows),
    )


def _a_month(air: HouseAir, tariff: Tariff | None) -> str:
    if air.heater_w is None or air.energy_kwh_per_month is None:
        return ""
    if air.heater_w < 1:
        return "none"
    cost = (
        "" if tariff is None else f", {money(tariff, air.energy_kwh_per_month * tariff.otherwise_rate_per_kwh)} a month"
    )
    return f"{air.heater_w:.0f} W{cost}"


def _hour_with_air(heat: Heat, at: datetime) -> int | None:
    """The weather's hour in which the inside was read, or the last within a day before it whose air is known."""
    last = min(int(heat.place(at)), len(heat.air.weather) - 1)
    return next((hour for hour in range(last, max(-1, last - 24), -1) if isfinite(heat.air.weather.air_c[hour])), None)


def _last(
    facts: Sequence[Seen], samples: Samples, quantity: str, series: str, now: datetime
) -> tuple[datetime, float] | None:
    found = [*read(facts, quantity, "filter_house"), *samples.measured.get(series, ())]
    last = max(found, default=None)
    return last if last is not None and now - last[0] < _FRESH else None
