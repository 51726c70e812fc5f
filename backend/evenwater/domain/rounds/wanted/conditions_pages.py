"""Conditions on numbers the pond's pages work out."""

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from typing import Final

from evenwater.domain.keeper_units import level_words
from evenwater.domain.rounds.wanted.conditions_read import on_side
from evenwater.domain.rounds.wanted.told import Answered, Told
from evenwater.domain.standing_job import WorkedOut

_NOT_YET: Final = {
    "nh3_mg_per_l": "NH₃: TAN, pH and temperature must be read together, lately",
    "kh_tomorrow_dkh": "tomorrow's KH: there are no readings of KH to go by",
    "water_dawn_c": "the water at dawn: it needs water temperatures and a forecast",
    "level_fall_mm_per_day": "the fall of the level: it must be read twice, with no water put in between",
    "carbon_days_left": "how long the carbon lasts: it needs readings after it",
}


def worked_out(condition: WorkedOut, told: Told, on: date) -> Answered:
    """Whether a number that is worked out lies above or below a value."""
    value = _NUMBERS[condition.of](told, on)
    if value is None:
        return Answered(None, _NOT_YET[condition.of])
    holds = on_side(value, condition.side, condition.value)
    said, limit = (_with_unit(told, condition.of, number) for number in (value, condition.value))
    not_so = "" if holds else "not "
    return Answered(holds, f"{_NAMES[condition.of]} {said}, {not_so}{condition.side} {limit}{told.ahead(on)}")


def _with_unit(told: Told, of: str, value: float) -> str:
    if of == "water_dawn_c":
        return level_words(told.pond, "temperature_c", round(value, 1))
    if of == "kh_tomorrow_dkh":
        return level_words(told.pond, "kh_dkh", round(value, 2))
    return f"{value:.3g}{_UNITS[of]}"


def _nh3(told: Told, on: date) -> float | None:
    judged = told.water.judged if told.water else ()
    fresh = (one.value for one in judged if one.quantity == "nh3_mg_per_l" and told.now < one.stale_at)
    return next(fresh, None)


def _kh_tomorrow(told: Told, on: date) -> float | None:
    trends = told.water.trends if told.water else ()
    for trend in trends:
        if trend.quantity == "kh_dkh" and trend.point == "pond":
            for at, _, middle, _ in trend.forecast:
                if at.astimezone(told.zone).date() == on + timedelta(days=1):
                    return middle
    return None


def _water_dawn(told: Told, on: date) -> float | None:
    tonight = told.warmth.tonight if told.warmth else None
    return tonight.covered_dawn[1] if tonight else None


def _carbon_days(told: Told, on: date) -> float | None:
    due = told.water.carbon_due if told.water else None
    return None if due is None else float((due[0] - told.today).days)


def _level_fall(told: Told, on: date) -> float | None:
    return told.level_fall.beyond_mm_per_day if told.level_fall else None


_NUMBERS: Final[Mapping[str, Callable[[Told, date], float | None]]] = {
    "nh3_mg_per_l": _nh3,
    "kh_tomorrow_dkh": _kh_tomorrow,
    "water_dawn_c": _water_dawn,
    "level_fall_mm_per_day": _level_fall,
    "carbon_days_left": _carbon_days,
}
_NAMES: Final = {
    "nh3_mg_per_l": "NH₃ is",
    "kh_tomorrow_dkh": "KH tomorrow about",
    "water_dawn_c": "the covered water at dawn about",
    "level_fall_mm_per_day": "the level falls, beyond evaporation,",
    "carbon_days_left": "the carbon lasts",
}
_UNITS: Final = {"nh3_mg_per_l": " mg/L", "level_fall_mm_per_day": " mm a day", "carbon_days_left": " days"}
