"""How forecasts of the span did, each as it was shown before its day, against what was then measured."""

from collections.abc import Callable, Sequence
from statistics import median

from msgspec import Struct

from evenwater.domain.book.met import Met, chlorine_met, dawn_met, month_met, trend_met
from evenwater.domain.entries import zone_named
from evenwater.domain.keeper_units import change_words
from evenwater.domain.kit import Tariff
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.report.outlook import Section
from evenwater.domain.report.past import Past
from evenwater.domain.report.words import NONE, counted, told_apart, year_name
from evenwater.domain.warmth.heat_log import cover_moves
from evenwater.domain.warmth.money import money
from evenwater.domain.warmth.pond_air import HOUR, read
from evenwater.domain.water.carbon_runs import runs_of

Say = Callable[[float], str]


class _Kind(Struct, frozen=True):
    """One kind of forecast: its name, those that met their truth, and how an error of it is said."""

    title: str
    met: Sequence[Met]
    say: Say


def forecasts_part(past: Past) -> Section:
    """A row for each kind of forecast that met its truth in the span or a year before."""
    rows: list[tuple[str, ...]] = []
    for kind in _kinds(past):
        now, before = ([one for one in kind.met if span.holds(one.on)] for span in (past.span, past.span.before))
        rows.append((kind.title, _inside(now), _off(now, kind.say), _inside(before), _off(before, kind.say)))
    year, last = year_name(past.span), year_name(past.span.before)
    heads = ("", f"within the band {year}", "typically off by", f"within the band {last}", "typically off by")
    columns, told_rows = told_apart(heads, rows)
    says = "Each as it was shown before the day, against what was then measured; the band is to hold nine in ten."
    return Section(
        id="forecasts",
        title="Forecasts",
        says=(says,) if told_rows else (),
        columns=columns,
        rows=told_rows,
        unknown=() if told_rows else ("No forecast of this time has met what was to come of it.",),
    )


def _inside(met: Sequence[Met]) -> str:
    inside = sum(one.band[0] <= one.measured <= one.band[2] for one in met)
    return f"{inside} of {len(met)}" if met else NONE


def _off(met: Sequence[Met], say: Say) -> str:
    """The median of the errors' size, so that one odd reading does not colour the rest."""
    return say(median(abs(one.measured - one.band[1]) for one in met)) if met else NONE


def _kinds(past: Past) -> list[_Kind]:
    pond, zone = past.pond, zone_named(past.pond.zone)
    jobs = past.known.standing_jobs(pond.id, past.span.last)
    shown, facts = past.foretold, past.facts
    probe = [(at + HOUR / 2, value) for at, value in past.hours]
    water = sorted([*read(facts, "temperature_c", "pond"), *probe])
    dawns = dawn_met(shown.dawns, water, cover_moves(pond, jobs, facts, past.now), zone)
    chlorine, _ = chlorine_met(shown.chlorine, runs_of(facts, jobs, past.now), zone)
    months = month_met(shown.months, shown.spent, zone)
    tariff = pond.tariff or Tariff()
    trends = [
        _Kind(QUANTITIES[name].label, trend_met(kept, facts, name, zone), _level(pond, name))
        for name, kept in sorted(shown.trends.items())
        if name in QUANTITIES
    ]
    return [
        *trends,
        _Kind("Water at dawn", dawns, _level(pond, "temperature_c")),
        _Kind("Days until the carbon's limit", chlorine, lambda days: counted(round(days), "day")),
        _Kind("Cost of a month's heat", months, lambda amount: money(tariff, amount, whole=True)),
    ]


def _level(pond: Pond, quantity: str) -> Say:
    return lambda error: change_words(pond, quantity, error, QUANTITIES[quantity].decimals + 1)
