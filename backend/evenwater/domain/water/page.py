"""The Water page of one pond, put together from what stands in the log."""

import hashlib
from collections.abc import Callable, Sequence
from datetime import date, datetime

import msgspec
from msgspec.structs import replace

from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Known
from evenwater.domain.learn.from_log import TUNINGS, Learned, learn
from evenwater.domain.learn.pace import pace_events
from evenwater.domain.learn.track_record import track_of
from evenwater.domain.learn.trend import FEW_READINGS, Rises, expected_reading, trend_of
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.carbon_advice import advice_of, chlorine_day
from evenwater.domain.water.carbon_findings import carbon_findings
from evenwater.domain.water.judging import device_cuts, judge
from evenwater.domain.water.membrane_findings import membrane_findings
from evenwater.domain.water.outlook import Cuts, Expected, Finding, PondWater, Section, Trend
from evenwater.domain.water.source_findings import source_findings
from evenwater.domain.water.water_findings import water_findings

ShownTrends = list[tuple[datetime, Trend]]
"""Forecasts as they were shown, with the moment, oldest first."""


def water_of(known: Known, pond: Pond, today: date, now: datetime, foretold: ShownTrends, planned: Rises) -> PondWater:
    """Everything the Water page shows of a pond.

    Args:
        known: All that stands in the log.
        pond: The pond as set for today.
        today: The civil date at the pond.
        now: The moment, aware.
        foretold: What was shown on earlier days.
        planned: Doses of buffer to come, oldest first: when, and the rise of KH [°dKH].
    """
    facts = known.of_pond(pond.id)
    jobs = known.standing_jobs(pond.id, today)
    ranges = known.ranges(pond.id, today)
    cuts = tuple(device_cuts(pond, ranges, facts, now))
    paces = pace_events(facts)
    learned = [learn(pond, facts, name, now, paces) for name in TUNINGS]
    trends = [
        trend_of(pond, one, today, _wanted(cuts, one.quantity), planned if one.quantity == "kh_dkh" else ())
        for one in learned
    ]
    tracks = [track_of(foretold, facts, name, pond) for name in TUNINGS]
    carbon = advice_of(pond, facts, today, jobs)
    page = PondWater(
        pond=pond.id,
        tag="",
        carbon_due=None if carbon is None else (carbon.due_on, carbon.reason),
        chlorine_day=chlorine_day(pond, carbon),
        judged=tuple(judge(pond, ranges, facts, now)),
        cuts=cuts,
        expected=tuple(_expected(pond, learned, now)),
        trends=tuple(one for one in trends if one is not None),
        findings=(
            *_worked_out("water", lambda: water_findings(pond, facts, now)),
            *_worked_out("source", lambda: source_findings(pond, facts, now, _lost(learned))),
            *_worked_out("carbon", lambda: carbon_findings(pond, facts, now, jobs)),
            *_worked_out("membrane", lambda: membrane_findings(pond, facts, now, jobs)),
        ),
        track=tuple(one for one in tracks if one is not None),
    )
    return replace(page, tag=hashlib.sha256(msgspec.json.encode(page)).hexdigest()[:12])


def _wanted(cuts: Sequence[Cuts], quantity: str) -> tuple[float | None, float | None]:
    """The band in which a quantity is in range."""
    for one in cuts:
        if one.quantity == quantity and one.point == "pond":
            low = one.act_below if one.drift_below is None else one.drift_below
            return low, one.act_above if one.drift_above is None else one.drift_above
    return None, None


def _worked_out(section: Section, find: Callable[[], Sequence[Finding]]) -> Sequence[Finding]:
    """The findings of a section; one odd setting must not take everybody's plan with it."""
    try:
        return find()
    except (DomainError, ArithmeticError) as error:
        what = error.what if isinstance(error, DomainError) else "a number is far too large or too small"
        says = f"Something set or read lies outside what the formulas hold for: {what}. Look at Source water and kit."
        return [Finding(id=f"{section}-not-worked-out", section=section, title="Not worked out", big="", says=says)]


def _lost(learned: Sequence[Learned]) -> float | None:
    """KH lost in a day at the last reading [°dKH/day], once there are readings enough to say so."""
    states = [one.believed[-1] for one in learned if one.quantity == "kh_dkh" and one.believed]
    return states[0].loss_at(states[0].level) if states and states[0].readings >= FEW_READINGS else None


def _expected(pond: Pond, learned: Sequence[Learned], now: datetime) -> list[Expected]:
    """Rounded outwards to a kit step, so that the page does not change with every minute."""
    found: list[Expected] = []
    for one in learned:
        between = expected_reading(pond, one, now)
        if between is not None:
            step = QUANTITIES[one.quantity].step
            low, high = between[0] // step * step, -(-between[1] // step) * step
            found.append(Expected(quantity=one.quantity, point="pond", low=low, high=high))
    return found
