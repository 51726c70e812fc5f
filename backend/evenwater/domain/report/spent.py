"""Energy, water and money of the span."""

from collections.abc import Callable
from datetime import timedelta
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import WaterChange
from evenwater.domain.fold import Facts, buffer_doses
from evenwater.domain.kit import Tariff
from evenwater.domain.report.energy import Power, appliances_in, heat_in
from evenwater.domain.report.fed import fed_in
from evenwater.domain.report.outlook import Section
from evenwater.domain.report.past import Past
from evenwater.domain.report.span import Span, day_words
from evenwater.domain.report.words import NONE, counted, heads, mass_words, told, told_apart, volume_words
from evenwater.domain.warmth.money import money

_MOSTLY: Final = 0.95


class _Spent(Struct, frozen=True):
    """What a span took: power, water [L], buffer [g], food's cost [currency]."""

    heat: Power
    rest: Power
    trickle_l: float
    changed_l: float
    buffer_g: float
    food_cost: float | None


def spent_part(past: Past) -> Section:
    """What it took, and what that cost as far as prices are known."""
    now, before = _spent(past, past.span, past.here), _spent(past, past.span.before, past.before)
    tariff = past.pond.tariff or Tariff()
    rows = [_row(title, say, now, before) for title, say in _lines(past, tariff)]
    columns, told_rows = told_apart(heads(past.span), rows)
    return Section(
        id="spent",
        title="Energy, water, money",
        columns=columns,
        rows=told_rows,
        unknown=_unknown(past, now),
    )


Say = Callable[[_Spent], str]


def _lines(past: Past, tariff: Tariff) -> list[tuple[str, Say]]:
    def cash(amount: float | None) -> str:
        return told(amount, lambda value: money(tariff, value, whole=True))

    def water(volume_l: float) -> str:
        return volume_words(past.pond, volume_l) if volume_l > 0 else NONE

    return [
        ("Heating", lambda one: told(one.heat.kwh, _kwh)),
        ("Pumps and all else, by their power", lambda one: told(one.rest.kwh, _kwh)),
        ("Water trickled in, as set", lambda one: water(one.trickle_l)),
        ("Water changed", lambda one: water(one.changed_l)),
        ("Buffer given", lambda one: mass_words(past.pond, one.buffer_g) if one.buffer_g > 0 else NONE),
        ("Cost of heating", lambda one: cash(one.heat.cost)),
        ("Cost of pumps and all else", lambda one: cash(one.rest.cost)),
        ("Cost of food", lambda one: cash(one.food_cost)),
        ("Together, as far as known", lambda one: cash(_sum(one))),
    ]


def _row(title: str, say: Say, now: _Spent, before: _Spent) -> tuple[str, str, str]:
    return title, say(now), say(before)


def _kwh(kwh: float) -> str:
    return f"{kwh:,.0f} kWh"


def _sum(spent: _Spent) -> float | None:
    known = [one for one in (spent.heat.cost, spent.rest.cost, spent.food_cost) if one is not None]
    return sum(known) if known else None


def _spent(past: Past, span: Span, facts: Facts) -> _Spent:
    return _Spent(
        heat=heat_in(past, span),
        rest=appliances_in(past, span),
        trickle_l=_trickled_l(past, span),
        changed_l=sum(one.entry.volume_l for one in facts if isinstance(one.entry, WaterChange)),
        buffer_g=sum(grams for _, grams, _, _ in buffer_doses(facts)),
        food_cost=fed_in(past, facts).cost,
    )


def _trickled_l(past: Past, span: Span) -> float:
    """What the trickle let in, as it was set for each day [L], since the pond was told of."""
    told = past.told_of(span)
    days = (told.first + timedelta(days=nth) for nth in range(told.days)) if told else ()
    return sum(past.held.on(on).inflow_l_per_day for on in days)


def _unknown(past: Past, now: _Spent) -> tuple[str, ...]:
    found: list[str] = []
    runs = now.rest.kwh is not None or now.trickle_l > 0
    if runs and past.told_since > past.span.before.first:
        since = day_words(past.told_since)
        found.append(f"Pumps and trickle count from {since}, when the pond was first told of.")
    if past.pond.heater is not None:
        if now.heat.days < _MOSTLY * past.span.days:
            lacking = past.span.days - round(now.heat.days)
            found.append(f"What the heater took is not known for {counted(lacking, 'day')}: its counter was not read.")
        if past.pond.tariff is None:
            found.append("What a kWh costs is not known: no tariff is set.")
    if fed_in(past, past.here).days and now.food_cost is None:
        found.append("What the food cost is not known: no price is set for it.")
    if now.trickle_l > 0 or now.changed_l > 0:
        found.append("What the water and the buffer cost is not known here.")
    return tuple(found)
