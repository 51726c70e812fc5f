"""A heater plan in plain words, and the workings behind it. A saving always stands beside the temperature it costs."""

from collections.abc import Callable
from datetime import datetime
from math import ceil
from typing import Final
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.kit import Heater
from evenwater.domain.units import J_PER_KWH
from evenwater.domain.warmth.heater.heater_ahead import USUAL_COP, Ahead
from evenwater.domain.warmth.heater.heater_offer import HeaterPlan, Saving, Window, Wish
from evenwater.domain.warmth.heater.heater_worth import credit_per_k, stored_price
from evenwater.domain.workings import Given, Step, Workings

_LEAST_MONEY: Final = 0.005
LEAST_K: Final = 0.05
"""Differences below this are not spoken of [K]."""


def _celsius(temperature_c: float) -> str:
    return f"{temperature_c:.1f} °C"


def _money(amount: float) -> str:
    return f"{amount:.2f}"


class Spoken(Struct, frozen=True):
    """How the keeper reads: the pond's zone, temperatures, differences of temperature, amounts of money."""

    zone: str
    degrees: Callable[[float], str] = _celsius
    apart: Callable[[float], str] = _celsius
    money: Callable[[float], str] = _money

    def when(self, at: datetime) -> str:
        """A moment within the next days: "Friday 06:00"."""
        return f"{at.astimezone(ZoneInfo(self.zone)):%A %H:%M}"


def sentences_of(plan: HeaterPlan, spoken: Spoken) -> tuple[str, ...]:
    """What the plan does, what the habit would, and what a degree less would."""
    does = (
        f"Until {spoken.when(plan.ends_at)} it takes {plan.kwh:.0f} kWh and costs {spoken.money(plan.cost)}; the water "
        f"is {spoken.degrees(plan.mean_c)} on average, {spoken.degrees(plan.lowest_c)} at the lowest."
    )
    return does, _habit_sentence(plan, spoken), _degree_sentence(plan, spoken)


def _habit_sentence(plan: HeaterPlan, spoken: Spoken) -> str:
    saving, setting = plan.against_habit, spoken.degrees(plan.habit.setting_c)
    if all(window.setting_c == plan.habit.setting_c for window in plan.windows) and not plan.beyond_switch:
        return (
            f"That is {setting} at all its times, as by habit: nothing clearly cheaper keeps the water as you want it."
        )
    return (
        f"{setting} at all its times, the habit, would cost {_more_or_less(saving, spoken)}, what is stored in the "
        f"water counted, and keep it {_warmth(saving.cooler_mean_c, spoken)} on average{_lower(plan, spoken)}."
    )


def _lower(plan: HeaterPlan, spoken: Spoken) -> str:
    if plan.habit.lowest_c > plan.lowest_c - LEAST_K:
        return ""
    return f", {spoken.degrees(plan.habit.lowest_c)} at the lowest"


def _more_or_less(saving: Saving, spoken: Spoken) -> str:
    amount = saving.money_per_night
    if abs(amount) < _LEAST_MONEY:
        return "as much"
    return f"{spoken.money(abs(amount))} a night {'more' if amount > 0 else 'less'}"


def _warmth(warmer_k: float, spoken: Spoken) -> str:
    if abs(warmer_k) < LEAST_K:
        return "as warm"
    return f"{spoken.apart(abs(warmer_k))} {'warmer' if warmer_k > 0 else 'cooler'}"


def _degree_sentence(plan: HeaterPlan, spoken: Spoken) -> str:
    saving, until = plan.one_degree_less, spoken.when(plan.ends_at)
    if saving.money_per_night < _LEAST_MONEY:
        return f"{spoken.apart(1.0)} less on the thermostat would save nothing by {until}."
    return (
        f"{spoken.apart(1.0)} less on the thermostat would save {spoken.money(saving.money_per_night)} a night, and "
        f"the water would be {spoken.apart(saving.cooler_end_c)} cooler by {until}."
    )


def problems_of(
    plan: HeaterPlan, heater: Heater, start_c: float, wish: Wish, more_w: float | None, spoken: Spoken
) -> tuple[str, ...]:
    """What cannot be had, how far it gets, and what would help."""
    found: list[str] = []
    if not plan.windows:
        found.append("The time switch lets the heater on in none of these hours.")
    if plan.beyond_switch:
        found.append(f"Its usual hours are not enough: let it heat {_hours(plan.windows, spoken)}.")
    if start_c < wish.low_c - LEAST_K:
        found.append(_below_already(plan, start_c, wish, spoken))
    elif plan.lowest_c < wish.low_c - LEAST_K:
        found.append(_too_weak(plan, wish, more_w, spoken))
    if plan.swing_k > wish.change_limit_c_per_day + LEAST_K:
        limit = spoken.apart(wish.change_limit_c_per_day)
        found.append(f"The water changes by {spoken.apart(plan.swing_k)} within a day; you allow {limit}.")
    if heater.kind == "heat_pump" and not heater.cop:
        (cold, low), (mild, high) = USUAL_COP
        found.append(
            f"The heat pump's COP is not known: {low:g} at {spoken.degrees(cold)} air and {high:g} at "
            f"{spoken.degrees(mild)} are supposed."
        )
    return tuple(found)


def _hours(windows: tuple[Window, ...], spoken: Spoken) -> str:
    return ", ".join(f"{spoken.when(one.begins_at)} to {spoken.when(one.ends_at)}" for one in windows)


def _below_already(plan: HeaterPlan, start_c: float, wish: Wish, spoken: Spoken) -> str:
    head = f"The water is at {spoken.degrees(start_c)}, below {spoken.degrees(wish.low_c)}:"
    if plan.end_c >= wish.low_c:
        return f"{head} it is back by {spoken.when(_back_at(plan, wish.low_c))}."
    return f"{head} it reaches {spoken.degrees(plan.end_c)} by {spoken.when(plan.ends_at)}."


def _back_at(plan: HeaterPlan, low_c: float) -> datetime:
    """From when on the water stays in the band."""
    hour_long = (plan.ends_at - plan.begins_at) / len(plan.water_c)
    hours = next((at for at in range(len(plan.water_c), 0, -1) if plan.water_c[at - 1] < low_c), 0) + 1
    return plan.begins_at + hour_long * hours


def _too_weak(plan: HeaterPlan, wish: Wish, more_w: float | None, spoken: Spoken) -> str:
    low = spoken.degrees(wish.low_c)
    head = f"{low} cannot be held: the water falls to {spoken.degrees(plan.lowest_c)} by {spoken.when(plan.lowest_at)}."
    if more_w is None:
        return f"{head} More power would not help in the hours the heater may heat."
    return f"{head} {ceil(more_w / 100) / 10:.1f} kW more would hold {low}."


def workings_of(plan: HeaterPlan, heater: Heater, start_c: float, wish: Wish, ahead: Ahead, floor_c: float) -> Workings:
    """How the plan came about, in stored units."""
    per_k = ahead.capacity_j_per_k / J_PER_KWH
    stored = credit_per_k(ahead) * (plan.end_c - start_c)
    ideal = (
        "the band cannot be kept, so there is none"
        if plan.ideal_cost is None
        else f"{plan.ideal_cost:.2f} to the same end"
    )
    gap = (
        ()
        if plan.gap_fraction is None
        else (Step("Hours by mixed-integer programme, may be off the best by", f"{plan.gap_fraction:.1%}"),)
    )
    return Workings(
        title="Heater plan",
        inputs=(
            Given("water now", round(start_c, 2), "°C"),
            Given("band, lower end", wish.low_c, "°C"),
            Given("band, upper end", wish.high_c, "°C"),
            Given("most change in a day", wish.change_limit_c_per_day, "K"),
            Given("heat given", heater.power_w, "W"),
            Given("thermostat step", heater.step_c, "K"),
            Given("on below the setting by", heater.differential_c, "K"),
            Given("heat held by the water", round(per_k, 2), "kWh/K"),
        ),
        steps=(
            Step("Floor kept by the plan: lower end and a margin for errors of the forecast", f"{floor_c:.2f} °C"),
            Step("A kWh of heat in the cheap window, mean", f"{stored_price(ahead):.4f}"),
            Step("Electricity of the settings, hour by hour under the thermostat", f"{plan.kwh:.1f} kWh"),
            Step("Paid", f"{plan.cost:.2f}"),
            Step("Heat more in the water at the end than now, at the cheap price", f"{stored:.2f}"),
            Step("No heating could cost less than", ideal),
            *gap,
        ),
        result=f"{plan.cost:.2f} for {plan.kwh:.1f} kWh",
        source="Our own search over settings that can be made; the bound by linear programme (HiGHS).",
    )
