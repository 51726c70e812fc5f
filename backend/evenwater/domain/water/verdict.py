"""From a number and its answer to what the page shows of it: the one line why, and what to do first."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from msgspec import Struct

from evenwater.domain.keeper_units import with_unit
from evenwater.domain.pond import Range
from evenwater.domain.quantities import OtherUnit, Point
from evenwater.domain.water.first_steps import Side, cautions_of, first_steps
from evenwater.domain.water.outlook import Answer, Cuts, Judged
from evenwater.domain.water.range_table import ROWS
from evenwater.domain.water.ranges import answer_of
from evenwater.domain.workings import Workings

STEP_SPANS = "the kit's step spans two answers, the worse counts"
HELD = "stays so until half a kit step past the line"
NOTHING_SEEN = "the kit shows nothing; this little it cannot tell"


class Verdict(Struct, frozen=True, kw_only=True):
    """A number, its answer, and why. `why`: clauses, put together with semicolons."""

    quantity: str
    label: str
    unit: str
    value: float
    at: datetime
    answer: Answer
    why: tuple[str, ...]
    point: Point = "pond"
    side: Side = "high"
    emergency: bool = False
    entry: str | None = None
    workings: Workings | None = None
    stale_days: float | None = None


def told(verdict: Verdict, now: datetime) -> Judged:
    """The verdict as it is shown at `now`: once too old, it is not known."""
    days = verdict.stale_days if verdict.stale_days is not None else ROWS[verdict.quantity].stale_days
    stale_at = verdict.at + timedelta(days=days)
    old = now >= stale_at
    acting = verdict.answer == "act_now" and not old
    was = f"; it was {verdict.answer.replace('_', ' ')}" if verdict.answer != "not_known" else ""
    return Judged(
        quantity=verdict.quantity,
        point=verdict.point,
        label=verdict.label,
        unit=verdict.unit,
        value=verdict.value,
        at=verdict.at,
        stale_at=stale_at,
        answer="not_known" if old else verdict.answer,
        emergency=verdict.emergency and acting,
        entry=verdict.entry,
        why=f"old: good for {_days_words(days)}{was}" if old else "; ".join(verdict.why),
        first=first_steps(verdict.quantity, verdict.side, verdict.point) if acting else (),
        cautions=cautions_of(verdict.quantity) if acting else (),
        workings=verdict.workings,
    )


def _days_words(days: float) -> str:
    return "a day" if days == 1 else f"{days:g} days"


def range_words(cuts: Cuts | None, shown: OtherUnit) -> str:
    """Where it is in range, in the unit to be shown: "4 to 10 °dKH", "below 0.0304 mg/L as N"."""
    if cuts is None:
        return ""
    low = cuts.act_below if cuts.drift_below is None else cuts.drift_below
    high = cuts.act_above if cuts.drift_above is None else cuts.drift_above
    low_words, high_words = (None if cut is None else f"{cut * shown.per + shown.offset:.4g}" for cut in (low, high))
    if low_words is not None and high_words is not None:
        return with_unit(f"{low_words} to {high_words}", shown.unit)
    if low_words is not None:
        return with_unit(f"above {low_words}", shown.unit)
    return with_unit(f"below {high_words}", shown.unit) if high_words is not None else ""


def basis_of(quantity: str, ranges: Mapping[str, Range], trouble: str | None) -> str:
    """What the range rests on: the keeper, or our source; and why the keeper's own is not used, if so."""
    if trouble:
        return f"{ROWS[quantity].basis}; your own range is not used: {trouble}"
    return "your own range" if ranges.get(quantity, Range()) != Range() else ROWS[quantity].basis


def remarks(cuts: Cuts, value: float, step: float, answer: Answer) -> tuple[str, ...]:
    """Why the answer is not what the value alone would say."""
    if answer_of(cuts, value, step) != answer:
        return (HELD,)
    if answer_of(cuts, value) == answer:
        return ()
    return (NOTHING_SEEN,) if value == 0.0 else (STEP_SPANS,)


def side_of(cuts: Cuts, value: float) -> Side:
    """On which side of its range a value lies."""
    lows = [one for one in (cuts.drift_below, cuts.act_below) if one is not None]
    highs = [one for one in (cuts.drift_above, cuts.act_above) if one is not None]
    if not lows or not highs:
        return "low" if lows else "high"
    return "low" if value < (max(lows) + min(highs)) / 2 else "high"
