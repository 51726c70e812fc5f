"""What a helper gives: food and buffer in numbered bags, weighed by the keeper, never more than a bag of each a day.

- A bag is whole or stays shut. What is held back or not needed by the keepers' own plan is so for the helper too.
- What was given beyond a bag on an earlier day is made up for by leaving bags shut; a missed bag is never made up for.
- What others gave on the same day counts at once: the device judges that by itself (`rounds/today.py`).
"""

from collections.abc import Sequence
from datetime import date, timedelta
from math import floor
from typing import Final

from msgspec.structs import replace

from evenwater.domain.away.hand_over import Ceiling
from evenwater.domain.away.scope import Scope
from evenwater.domain.fold import GivenDose
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.water.buffer import SUBSTANCES

_SLACK_G: Final = 1e-6
_TOO_MUCH_OF_A_BAG: Final = 0.5
"""From so much of a bag too much on, the next one stays shut. Our own: a bag is whole or not at all."""


def dose_in_a_bag(job: Job, scope: Scope, shown_on: date, doses: Sequence[GivenDose]) -> Job | None:
    """The buffer job as the helper has it; None where they give none.

    Args:
        job: As the keepers' plan has it, of shape "dose".
        scope: The helper's hand-over.
        shown_on: The date it stands under.
        doses: All buffer that pond was given, oldest first.
    """
    ceiling = scope.hand_over.ceiling(job.pond)
    bag_g = ceiling.buffer_g_per_day
    if not bag_g:
        return None
    if job.state not in ("open", "not_known"):
        return _without_amount(job)
    stands, why = _whether(job, ceiling, bag_g)
    if stands == "open" and shown_on <= scope.today:
        surplus_on = _too_much_on(scope, bag_g, ceiling.substance, doses)
        if surplus_on is not None:
            stands, why = "held_back", f"More than a bag was given on {_short(surplus_on)}: this one stays shut."
    if stands != "open":
        return replace(_without_amount(job), state=stands, reason=why)
    number = _number(job, scope, shown_on)
    return replace(
        _without_amount(job),
        state="open",
        reason=f"Bag {number} of {scope.days}",
        bag=number,
        amount_g=bag_g,
        limit_g_24h=bag_g,
        fixed=True,
    )


def feed_in_a_bag(job: Job, scope: Scope, shown_on: date, meals: int) -> Job | None:
    """The feed job as the helper has it, one of so many meals of its date; None where they feed nothing.

    Where the water's warmth is not known, as when nobody measures, the keeper's bags stand.
    """
    day_g = scope.hand_over.ceiling(job.pond).feed_g_per_day
    if not day_g:
        return None
    if job.state not in ("open", "not_known"):
        return _without_amount(job)
    number = _number(job, scope, shown_on)
    of = f"Bag {number} of {scope.days}"
    return replace(
        _without_amount(job),
        state="open",
        reason=of if meals == 1 else f"{of}, in {meals} meals: this is one of them",
        bag=number,
        feed_g=floor(day_g / meals * 10 + _SLACK_G) / 10,
        limit_g_24h=day_g,
        fixed=True,
    )


def _whether(job: Job, ceiling: Ceiling, bag_g: float) -> tuple[str, str]:
    """Whether the keepers' plan leaves room for a bag, and why not."""
    if job.chart is None:
        return "open", ""
    if job.unrounded_g is not None and job.unrounded_g <= 0 and job.chart.no_reading_reason is None:
        return "stood_down", job.chart.enough_reason
    as_planned_g = bag_g * job.chart.equal_g.get(ceiling.substance, 1.0)
    if job.limit_g_24h is not None and as_planned_g > job.limit_g_24h + _SLACK_G:
        return "held_back", f"As the water stands {job.limit_g_24h:.0f} g is the most for a day: this bag stays shut."
    return "open", ""


def _too_much_on(scope: Scope, bag_g: float, substance: str, doses: Sequence[GivenDose]) -> date | None:
    """The day whose surplus is not yet made up for, None where there is none."""
    begins_on = scope.hand_over.begins_on
    if begins_on is None:
        return None
    given: dict[date, float] = {}
    for _, grams, of, one in doses:
        given[one.on] = given.get(one.on, 0.0) + grams * SUBSTANCES[substance] / SUBSTANCES[of]
    surplus_g, since, on = 0.0, begins_on, begins_on
    while on < scope.today:
        before_g, surplus_g = surplus_g, max(0.0, surplus_g + given.get(on, 0.0) - bag_g)
        since = on if surplus_g > before_g else since
        on += timedelta(days=1)
    return since if surplus_g >= _TOO_MUCH_OF_A_BAG * bag_g else None


def _number(job: Job, scope: Scope, shown_on: date) -> int:
    """By the date it is due, so that last night's bag is last night's past midnight too."""
    return scope.bag(job.due_on if scope.holds(job.due_on) else shown_on)


def _without_amount(job: Job) -> Job:
    return replace(job, amount_g=None, feed_g=None, unrounded_g=None, limit_g_24h=None, chart=None, bag=None)


def _short(on: date) -> str:
    return f"{on:%a} {on.day} {on:%b}"
