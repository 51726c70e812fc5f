"""Agitate the carbon, change it, or leave it alone: from what was read after it, by this pond's own services.

Where nothing was read after the carbon there is no advice; then the interval set in advance is all there is.
"""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from statistics import median
from typing import Literal

from msgspec import Struct

from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.learn.carbon_life import Life, Outlet, Run, life_of
from evenwater.domain.pond import CarbonBed, Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.water.carbon_runs import runs_of
from evenwater.domain.water.outlook import ChlorineDay

Act = Literal["agitate", "change", "leave"]

_RUNS_WITH_READINGS = 3
"""The present run and two before it: older readings say nothing of today's carbon."""
_AT_ONCE_DAYS = 2.0
"""At the limit again within this after an agitation: agitating does not help any more. Common practice, no source."""
_TIRED_SHARE = 0.5
_EARLIER_RUNS = 2


class Advice(Struct, frozen=True, kw_only=True):
    """What to do with the carbon, when, and why; `life` where it could be learned, `over`: read at the limit."""

    act: Act
    due_on: date
    reason: str
    over: bool
    life: Life | None = None
    started_on: date | None = None


def chlorine_day(pond: Pond, advice: Advice | None) -> ChlorineDay | None:
    """When the carbon is to reach its limit, for keeping; None where that is not known, or it has."""
    if pond.carbon is None or advice is None or advice.over or advice.life is None or advice.started_on is None:
        return None
    life, since = advice.life, advice.started_on
    low, middle, high = (since + timedelta(days=int(one)) for one in (life.low_days, life.middle_days, life.high_days))
    limit = pond.carbon.limit_ug_per_l
    return ChlorineDay(serviced_on=since, low=low, middle=middle, high=high, limit_ug_per_l=limit)


def advice_of(pond: Pond, facts: Sequence[Seen], today: date, jobs: Sequence[StandingJob]) -> Advice | None:
    """When the carbon is next to be seen to, and why.

    Args:
        pond: The pond as set.
        facts: The pond's standing facts, oldest first.
        today: The civil date at the pond; facts of later days are left out.
        jobs: The pond's standing jobs: a tick of one with a carbon service is that service.

    Returns:
        None without a carbon bed or without readings after it: a fixed interval is the fall-back.
    """
    if pond.carbon is None:
        return None
    night = datetime.combine(today + timedelta(days=1), time(), zone_named(pond.zone))
    runs = runs_of(facts, jobs, night)
    if not any(one.readings for one in runs[-_RUNS_WITH_READINGS:]):
        return None
    life = life_of(runs, pond.carbon.limit_ug_per_l, pond.carbon.service_days)
    return None if life is None else _advice(pond, pond.carbon, runs, life, today)


def _advice(pond: Pond, carbon: CarbonBed, runs: Sequence[Run], life: Life, today: date) -> Advice:
    present = runs[-1]
    started = present.started_at.astimezone(zone_named(pond.zone)).date()
    crossed = crossing(present, carbon.limit_ug_per_l)
    if crossed is not None:
        act, why = _which(runs, crossed, carbon.limit_ug_per_l)
        read_on = (present.started_at + timedelta(days=crossed.days)).astimezone(zone_named(pond.zone)).date()
        reason = (
            f"{crossed.value_ug_per_l:g} µg/L after it on {day_words(read_on)}, limit {carbon.limit_ug_per_l:g}{why}"
        )
        return Advice(act=act, due_on=read_on, reason=reason, over=True, life=life, started_on=started)
    due_on = started + timedelta(days=max(1, int(life.early_days)))
    ends, low, high = (
        started + timedelta(days=int(days)) for days in (life.middle_days, life.low_days, life.high_days)
    )
    reason = (
        f"expected at your limit of {carbon.limit_ug_per_l:g} µg/L about {day_words(ends)} "
        f"({day_words(low)} to {day_words(high)}), from {life.readings} readings after it"
    )
    act: Act = "agitate" if today >= due_on else "leave"
    return Advice(act=act, due_on=due_on, reason=reason, over=False, life=life, started_on=started)


def crossing(run: Run, limit_ug_per_l: float) -> Outlet | None:
    """The first reading of a run at or over the limit that the latest one has not taken back."""
    if not run.readings or run.readings[-1].value_ug_per_l < limit_ug_per_l:
        return None
    first = run.readings[-1]
    for one in reversed(run.readings):
        if one.value_ug_per_l < limit_ug_per_l:
            break
        first = one
    return first


def _which(runs: Sequence[Run], crossed: Outlet, limit_ug_per_l: float) -> tuple[Act, str]:
    if runs[-1].kind == "changed":
        return "agitate", ""
    if crossed.days <= _AT_ONCE_DAYS:
        return "change", f"; agitating brought it down for {crossed.days:.0f} days only"
    earlier = [found.days for one in runs[:-1] if one.kind == "agitated" and (found := crossing(one, limit_ug_per_l))]
    if len(earlier) >= _EARLIER_RUNS and crossed.days < _TIRED_SHARE * median(earlier):
        return "change", f"; {crossed.days:.0f} days after agitating, where it used to be {median(earlier):.0f}"
    return "agitate", ""


def day_words(on: date) -> str:
    """ "3 November"."""
    return f"{on.day} {on:%B}"
