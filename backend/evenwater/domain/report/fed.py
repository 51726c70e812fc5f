"""The food of the span: how much was given, on how many days, and what it cost where its price is known."""

from typing import Final

from msgspec import Struct

from evenwater.domain.fold import Facts, feeds
from evenwater.domain.report.outlook import Section
from evenwater.domain.report.past import Past
from evenwater.domain.report.span import Span
from evenwater.domain.report.words import NONE, heads, mass_words, told_apart

_FED_G: Final = 0.1


class Fed(Struct, frozen=True):
    """Food given [g], on how many days, and its cost [currency], None where no price is known."""

    fed_g: float
    days: int
    cost: float | None


def fed_in(past: Past, facts: Facts) -> Fed:
    """All the food of a span; each meal at the price that was set for its day."""
    meals = [(one.on, grams) for one, grams, _ in feeds(facts) if grams >= _FED_G]
    stocks = {on: past.held.on(on).food for on, _ in meals}
    costs = [
        grams / 1000.0 * stock.price_per_kg
        for on, grams in meals
        if (stock := stocks[on]) is not None and stock.price_per_kg is not None
    ]
    cost = sum(costs) if costs and len(costs) == len(meals) else None
    return Fed(sum(grams for _, grams in meals), len(stocks), cost)


def fed_part(past: Past) -> Section:
    """The food in figures."""
    span = past.span
    now, before = fed_in(past, past.here), fed_in(past, past.before)
    rows = [
        ("Food given", _mass(past, now), _mass(past, before)),
        ("Days with food", _days(now, span), _days(before, span.before)),
        ("On such a day", _a_day(past, now), _a_day(past, before)),
    ]
    columns, told_rows = told_apart(heads(span), rows)
    return Section(
        id="food",
        title="Food",
        columns=columns,
        rows=told_rows,
        unknown=_unknown(now, before),
    )


def _mass(past: Past, fed: Fed) -> str:
    return mass_words(past.pond, fed.fed_g) if fed.days else NONE


def _days(fed: Fed, span: Span) -> str:
    return f"{fed.days} of {span.days}" if fed.days else NONE


def _a_day(past: Past, fed: Fed) -> str:
    return mass_words(past.pond, fed.fed_g / fed.days) if fed.days else NONE


def _unknown(now: Fed, before: Fed) -> tuple[str, ...]:
    if not now.days:
        return ("No food was recorded in this time.",)
    return () if before.days else ("No food was recorded a year before.",)
