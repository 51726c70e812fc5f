"""Conditions on the weather ahead: from now, or from the morning of a day to come."""

from datetime import date, datetime, time, timedelta
from typing import Final

from evenwater.domain.keeper_units import level_words
from evenwater.domain.rounds.wanted.conditions_read import on_side
from evenwater.domain.rounds.wanted.told import Answered, Told
from evenwater.domain.rounds.when.civil_time import moment
from evenwater.domain.standing_job import Foretold

HOUR: Final = timedelta(hours=1)
_MORNING: Final = time(8)
# Of each: the forecast's series, what it is called, its unit, what is taken of the hours.
_SERIES: Final = {
    "gust_m_per_s": ("gust_m_per_s", "gusts", "m/s", max),
    "snow_cm": ("snow_cm", "snow", "cm", sum),
    "rain_mm": ("rain_mm", "rain", "mm", sum),
    "sun_w_per_m2": ("sun_w_per_m2", "sun", "W/m²", max),
    "air_low_c": ("air_c", "air at its coldest", "°C", min),
    "air_high_c": ("air_c", "air at its warmest", "°C", max),
}


def foretold(condition: Foretold, told: Told, on: date) -> Answered:
    """Whether the weather ahead reaches a value within so many hours."""
    series, name, _, over = _SERIES[condition.of]
    begins = told.now if on <= told.today else moment(on, _MORNING, told.zone)
    ends = begins + HOUR * condition.within_h
    hours = _hours(told, series, begins, ends)
    if not hours:
        typed = _typed(condition, told, begins, ends)
        if typed is not None:
            return typed
        return Answered(None, f"no forecast of {name.partition(' ')[0]}{_of_day(told, on)}")
    value = float(over(value for _, value in hours))
    holds = on_side(value, condition.side, condition.value)
    until = hours[-1][0] + HOUR
    # More hours may only raise a greatest or a sum, and only lower a least.
    decided = holds if (condition.side == "above") == (over is not min) else not holds
    if until < ends - HOUR and not decided:
        return Answered(None, f"the forecast ends {_moment_words(told, until)}{_of_day(told, on)}")
    return _said(condition, told, value, holds, on)


def _said(condition: Foretold, told: Told, value: float, holds: bool, on: date) -> Answered:
    not_so = "" if holds else "not "
    name = _SERIES[condition.of][1]
    when = f"within {condition.within_h} h" + (f" of {on:%a} morning" if on > told.today else "")
    shown, limit = _number(condition, told, value), _number(condition, told, condition.value)
    return Answered(holds, f"{name} {shown} {when}, {not_so}{condition.side} {limit}")


def _number(condition: Foretold, told: Told, value: float) -> str:
    unit = _SERIES[condition.of][2]
    if unit == "°C":
        return level_words(told.pond, "air_temperature_c", round(value, 1))
    return f"{value:.0f} {unit}" if abs(value) >= 10 or value == int(value) else f"{value:.1f} {unit}"


def _hours(told: Told, series: str, begins: datetime, ends: datetime) -> list[tuple[datetime, float]]:
    if told.samples.forecast is None:
        return []
    first = begins.replace(minute=0, second=0, microsecond=0)
    points = told.samples.forecast[1].get(series, ())
    return [(at, value) for at, value in points if first <= at < ends and value == value]


def _typed(condition: Foretold, told: Told, begins: datetime, ends: datetime) -> Answered | None:
    """By what the keeper typed of the nights and days that lie in those hours; None where there is nothing of it."""
    if condition.of not in ("air_low_c", "air_high_c"):
        return None
    low = condition.of == "air_low_c"
    values: list[float] = []
    for on, night in told.nights.items():
        # The low is near six in the morning after `on`, the high near three that afternoon.
        at = moment(on + timedelta(days=1), time(6) if low else time(15), told.zone)
        value = night.low_c if low else night.high_c
        if begins <= at < ends and value is not None:
            values.append(value)
    if not values:
        return None
    value = (min if low else max)(values)
    return _said(
        condition, told, value, on_side(value, condition.side, condition.value), begins.astimezone(told.zone).date()
    )


def _of_day(told: Told, on: date) -> str:
    return f" for {on:%a} {on.day} {on:%b}" if on > told.today else ""


def _moment_words(told: Told, at: datetime) -> str:
    return f"{at.astimezone(told.zone):%a %H:%M}"
