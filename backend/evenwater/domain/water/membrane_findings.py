"""The membrane on the Water page: what it holds back and how that changes, and how long to flush at a start."""

from collections.abc import Sequence
from datetime import date, datetime
from math import ceil, exp, log, sqrt
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import StartUp, zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.learn.start_up import Flush, flush_of
from evenwater.domain.pond import Membrane, Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.units import SECONDS_PER_DAY
from evenwater.domain.water.carbon_advice import day_words
from evenwater.domain.water.carbon_runs import services_of
from evenwater.domain.water.membrane import concentrate_level
from evenwater.domain.water.outlook import Answer, Finding
from evenwater.domain.water.source_water import known, point_levels, rejections
from evenwater.domain.workings import Given, Step, Workings

_DAYS_PER_MONTH = 30.44
_ROWS = 6
_FEWEST = 3
"""Pairs of readings a trend takes."""
_PASSING_DRIFTS, _PASSING_ACTS = 1.5, 3.0
"""Passage against that of the rejection set: drifting, act now. Our own rule of thumb: 95 % set, 92.5 and 85 %."""
_CHECK_FLUSH_DAYS = 60
"""How long written-down start-ups stand for today's. Common practice, no source."""
_LEAST_PASSING = 1e-4
"""Share that passes, at the least: our own, so that the logarithm of nothing does not run away."""
_T_90: Final = (6.31, 2.92, 2.35, 2.13, 2.02, 1.94, 1.89, 1.86, 1.83, 1.81)
"""Student's t, 95 % point, 1 to 10 degrees of freedom; from any table. Beyond, 1.645 + 1.66 / degrees."""


class Trend(Struct, frozen=True):
    """Change of rejection [percentage points a month] now: middle, and 90 % between low and high."""

    low: float
    middle: float
    high: float


def membrane_findings(
    pond: Pond, facts: Sequence[Seen], now: datetime, jobs: Sequence[StandingJob] = ()
) -> list[Finding]:
    """What is known of the membrane: rejection and its trend, minutes of flush.

    Args:
        pond: The pond as set; without a membrane there is nothing to find.
        facts: The pond's standing facts, oldest first.
        now: The moment; later facts are left out, and of the rest only its date at the pond counts.
        jobs: The pond's standing jobs, whose ticks may be services.
    """
    if pond.membrane is None:
        return []
    return [_rejection_finding(pond, pond.membrane, facts, now, jobs), _flush_finding(pond, pond.membrane, facts, now)]


def rejection_trend(pairs: Sequence[tuple[datetime, float]]) -> Trend | None:
    """How rejection changes [percentage points a month], from (when, share held back); None with under three.

    A straight line through the logarithm of what passes: wear lets a growing share through. Ordinary least squares;
    the band is Student's.
    """
    points = [
        ((at - pairs[0][0]).total_seconds() / SECONDS_PER_DAY, log(max(1.0 - share, _LEAST_PASSING)))
        for at, share in pairs
    ]
    if len(points) < _FEWEST:
        return None
    mean_x, mean_y = (sum(point[i] for point in points) / len(points) for i in (0, 1))
    spread = sum((x - mean_x) ** 2 for x, _ in points)
    if spread <= 0.0:
        return None
    slope = sum((x - mean_x) * (y - mean_y) for x, y in points) / spread
    left = sum((y - mean_y - slope * (x - mean_x)) ** 2 for x, y in points)
    freedom = len(points) - 2
    half = _t_90(freedom) * sqrt(left / freedom / spread)
    passing_now = exp(mean_y + slope * (points[-1][0] - mean_x))

    def points_a_month(a_day: float) -> float:
        return -100.0 * passing_now * a_day * _DAYS_PER_MONTH

    return Trend(points_a_month(slope + half), points_a_month(slope), points_a_month(slope - half))


def _t_90(freedom: int) -> float:
    return _T_90[freedom - 1] if freedom <= len(_T_90) else 1.645 + 1.66 / freedom


def _rejection_finding(
    pond: Pond, membrane: Membrane, facts: Sequence[Seen], now: datetime, jobs: Sequence[StandingJob]
) -> Finding:
    renewed = [
        one.at
        for one, service in services_of(facts, jobs)
        if service in ("membrane_cleaned", "membrane_changed") and one.at <= now
    ]
    pairs = [(one, share) for one, share in rejections(facts, now) if not renewed or one.at > renewed[-1]]
    if not pairs:
        return Finding(
            id="membrane-rejection",
            section="membrane",
            title="Membrane",
            big="not known",
            says=(
                f"Reckoned with the {membrane.rejection_fraction:.1%} that is set. Read conductivity before and after "
                "the membrane within two weeks of each other to know."
            ),
            answer="not_known",
        )
    latest, share = pairs[-1]
    trend = rejection_trend([(one.at, held) for one, held in pairs])
    answer = _answer(share, membrane.rejection_fraction)
    return Finding(
        id="membrane-rejection",
        section="membrane",
        title="Membrane",
        big=f"{share:.1%} held back",
        says=f"By conductivity at 25 °C on {day_words(latest.on)}. {_trend_words(trend, len(pairs))}",
        answer=answer,
        first=("Read both conductivities again after a flush; then check the pre-filters and the pressure.",)
        if answer == "act_now"
        else (),
        columns=("Read", "Held back"),
        rows=tuple((f"{one.on.day} {one.on:%b}", f"{held:.1%}") for one, held in reversed(pairs[-_ROWS:])),
        workings=_rejection_workings(pond, membrane, facts, now, share, trend),
    )


def _answer(share: float, set_fraction: float) -> Answer:
    passing = (1.0 - share) / (1.0 - set_fraction)
    if passing >= _PASSING_ACTS:
        return "act_now"
    return "drifting" if passing >= _PASSING_DRIFTS else "in_range"


def _trend_words(trend: Trend | None, pairs: int) -> str:
    if trend is None:
        return f"Too early for a trend: {_FEWEST - pairs} more to read."
    if trend.low < 0.0 < trend.high:
        return f"No trend to be seen: {trend.low:+.1f} to {trend.high:+.1f} points a month."
    way = "falls" if trend.middle < 0.0 else "rises"
    return (
        f"It {way} by {abs(trend.middle):.1f} points a month ({min(abs(trend.low), abs(trend.high)):.1f} to "
        f"{max(abs(trend.low), abs(trend.high)):.1f})."
    )


def _rejection_workings(
    pond: Pond, membrane: Membrane, facts: Sequence[Seen], now: datetime, share: float, trend: Trend | None
) -> Workings:
    feed = known(point_levels(pond, facts, now)["after_carbon"], "ec25_us_per_cm")
    steps = [Step("rejection = 1 - after / before, both at 25 °C", f"{share:.1%}")]
    if trend is not None:
        steps.append(
            Step(
                "straight line through ln of what passes, as percentage points a month",
                f"{trend.middle:+.2f} ({trend.low:+.2f} to {trend.high:+.2f})",
            )
        )
    if feed is not None:
        drain = concentrate_level(feed, share, membrane.recovery_fraction)
        steps.append(
            Step("to drain = before × (1 - recovery × (1 - rejection)) / (1 - recovery)", f"{drain:.0f} µS/cm")
        )
    return Workings(
        title="What the membrane holds back",
        inputs=(
            Given("rejection set", membrane.rejection_fraction, "", "pond"),
            Given("recovery", membrane.recovery_fraction, "", "pond"),
        ),
        steps=tuple(steps),
        result=f"{share:.1%} held back",
        source="Mass balance; the trend's band by Student's t. A good one: 95 to 98 % (common practice, no source).",
    )


def _flush_finding(pond: Pond, membrane: Membrane, facts: Sequence[Seen], now: datetime) -> Finding:
    starts = [(one, one.entry) for one in facts if isinstance(one.entry, StartUp) and one.at <= now]
    flush = flush_of([entry.steps for _, entry in starts], membrane.flush_limit_us_per_cm)
    today = now.astimezone(zone_named(pond.zone)).date()
    remind = _reminder(starts[-1][0].on if starts else None, today)
    if flush is None:
        return Finding(
            id="membrane-flush",
            section="membrane",
            title="Flush at a start",
            big="not known" if not starts else "not seen",
            says=(
                f"After a start, permeate is waste until it is below {membrane.flush_limit_us_per_cm:g} µS/cm. {remind}"
                if not starts
                else f"No start-up written down shows when it came below {membrane.flush_limit_us_per_cm:g} µS/cm:"
                f" three readings or more are needed, the last of them below it. {remind}"
            ),
            answer="not_known" if not starts else "drifting",
        )
    flow = next((entry.flow_l_per_min for _, entry in reversed(starts) if entry.flow_l_per_min is not None), None)
    litres = "" if flow is None else f", {flush.middle_min * flow:.1f} L to waste at {flow:g} L/min"
    return Finding(
        id="membrane-flush",
        section="membrane",
        title="Flush at a start",
        big=f"{flush.middle_min:.0f} min" if flush.middle_min >= 1.5 else f"{flush.middle_min:.1f} min",
        says=(
            f"Until permeate is below {membrane.flush_limit_us_per_cm:g} µS/cm: {flush.low_min:.1f} to "
            f"{flush.high_min:.1f} minutes, nine times in ten{litres}. Set the flush to "
            f"{ceil(flush.high_min)} minutes to be sure. {remind}"
        ),
        answer="drifting" if flush.never else None,
        workings=_flush_workings(membrane, flush, flow),
    )


def _reminder(last_on: date | None, today: date) -> str:
    if last_on is None:
        return "Write down three or more readings of a start to learn how long that takes."
    if (today - last_on).days >= _CHECK_FLUSH_DAYS:
        return f"Check the flush: the last start was written down on {day_words(last_on)}."
    return f"Last start written down on {day_words(last_on)}."


def _flush_workings(membrane: Membrane, flush: Flush, flow_l_per_min: float | None) -> Workings:
    steps = [
        Step(
            "each start: level = settled + slug × e^(-minutes / tau), least relative error", f"{flush.start_ups} fitted"
        ),
        Step("settles at, last start", f"{flush.settles_us_per_cm:.0f} µS/cm"),
        Step("minutes to the limit, 90 % of the time between", f"{flush.low_min:.1f} to {flush.high_min:.1f} min"),
    ]
    if flow_l_per_min is not None:
        steps.append(Step("to waste = minutes × permeate flow", f"{flush.middle_min * flow_l_per_min:.1f} L"))
    if flush.never:
        steps.append(Step("starts that settled above the limit", str(flush.never)))
    return Workings(
        title="Flush after a start",
        inputs=(Given("flush_limit_us_per_cm", membrane.flush_limit_us_per_cm, "µS/cm", "pond"),),
        steps=tuple(steps),
        result=f"{flush.middle_min:.1f} min",
        source="Our own: first-order wash-out, fitted to the start-ups in the log.",
    )
