"""Which of a plan's forecasts are kept as they are shown, under which name and by which model."""

from datetime import date, timedelta

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.book.shown_records import Band, MonthSpent, ShownDawn, ShownMonth
from evenwater.domain.entries import zone_named
from evenwater.domain.learn import carbon_life, estimate
from evenwater.domain.rounds.jobs import Plan, PondInPlan
from evenwater.domain.warmth import loss_filter, month_cost
from evenwater.domain.warmth.heat_log import ON
from evenwater.domain.warmth.outlook import PondWarmth, Tonight
from evenwater.domain.water.outlook import PondWater

ToKeep = list[tuple[str, str, Struct]]
"""(subject, model version, what)."""


def to_keep(plan: Plan) -> ToKeep:
    """All a plan foretells that can be scored one day: levels, the dawn, the day of chlorine, the month's cost."""
    ponds = {pond.id: pond for pond in plan.ponds}
    found: ToKeep = []
    for water in plan.water:
        found += _of_water(water)
    for warmth in plan.warmth:
        found += _of_warmth(plan, ponds[warmth.pond], warmth)
    return found


def _of_water(water: PondWater) -> ToKeep:
    # What is past is in the log; only what was foretold has to be kept.
    found: ToKeep = [
        (f"trend/{water.pond}/{one.quantity}", estimate.MODEL_VERSION, replace(one, past=(), workings=None))
        for one in water.trends
    ]
    if water.chlorine_day is not None:
        found.append((f"chlorine_day/{water.pond}", carbon_life.MODEL_VERSION, water.chlorine_day))
    return found


def _of_warmth(plan: Plan, pond: PondInPlan, warmth: PondWarmth) -> ToKeep:
    found: ToKeep = []
    dawn = _dawn(plan, pond, warmth.tonight) if warmth.tonight else None
    if dawn is not None:
        found.append((f"dawn/{pond.id}", loss_filter.MODEL_VERSION, dawn))
    month = warmth.month
    if month is not None:
        shown = ShownMonth(month=month.month, band=month.band, currency=month.currency)
        found.append((f"month_cost/{pond.id}", month_cost.MODEL_VERSION, shown))
        if month.before is not None:
            before = (month.month - timedelta(days=1)).replace(day=1)
            spent = MonthSpent(month=before, cost=month.before, metered=month.metered)
            found.append((f"month_spent/{pond.id}", month_cost.MODEL_VERSION, spent))
    return found


def _dawn(plan: Plan, pond: PondInPlan, tonight: Tonight) -> ShownDawn | None:
    """Dawn covered and open; of a heated pond only as it is planned, for without its heater it will not be."""
    heated = pond.heater is not None or any(
        job.pond == pond.id and job.shape == "setting" for day in plan.days[:1] for job in day.jobs
    )
    if not heated:
        return ShownDawn(dawn_at=tonight.dawn_at, covered=tonight.covered_dawn, bare=tonight.bare_dawn)
    middle = _planned_c(tonight)
    if middle is None:
        return None
    on = tonight.dawn_at.astimezone(zone_named(pond.zone)).date() - timedelta(days=1)
    if _to_be_covered(plan, pond, on):
        return ShownDawn(dawn_at=tonight.dawn_at, covered=_about(middle, tonight.covered_dawn))
    return ShownDawn(dawn_at=tonight.dawn_at, bare=_about(middle, tonight.bare_dawn))


def _to_be_covered(plan: Plan, pond: PondInPlan, on: date) -> bool:
    """Whether the covers are to lie in the night that follows a date."""
    states = [
        job.state for day in plan.days for job in day.jobs if (job.pond, job.slot, job.due_on) == (pond.id, ON, on)
    ]
    return "stood_down" not in states if states else pond.cover is not None


def _planned_c(tonight: Tonight) -> float | None:
    """The water at dawn as planned [°C], straight between two hours; None where the plan does not reach so far."""
    before = [one for one in tonight.planned if one[0] <= tonight.dawn_at]
    after = [one for one in tonight.planned if one[0] >= tonight.dawn_at]
    if not before or not after:
        return None
    (begins, begins_c), (ends, ends_c) = before[-1], after[0]
    share = (tonight.dawn_at - begins) / (ends - begins) if ends > begins else 0.0
    return begins_c + share * (ends_c - begins_c)


def _about(middle: float, band: Band) -> Band:
    """A band as wide as another, about its own middle."""
    half = (band[2] - band[0]) / 2
    return round(middle - half, 2), round(middle, 2), round(middle + half, 2)
