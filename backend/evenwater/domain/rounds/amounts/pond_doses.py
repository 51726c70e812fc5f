"""The dose jobs of one pond: an amount each, in the order of time."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from msgspec.structs import replace

from evenwater.domain.fold import Seen
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.amounts.dose_chart import Ask, plan_doses
from evenwater.domain.rounds.done import Done
from evenwater.domain.rounds.heard.double_dose import counted_words
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.rounds.today import rounded_g
from evenwater.domain.water.buffer import rise_dkh

AMOUNTS_FOR_DAYS = 7


def give_amounts(pond: Pond, facts: Sequence[Seen], jobs: dict[date, list[Job]], done: Done, now: datetime) -> None:
    """Give every dose job of the first week its amount; what is not wanted that day supposes nothing given."""
    first = min(jobs)
    spots = [
        (on, place)
        for on, there in jobs.items()
        for place, job in enumerate(there)
        if job.shape == "dose" and job.state in ("open", "held_back") and on < first + timedelta(days=AMOUNTS_FOR_DAYS)
    ]
    spots.sort(key=lambda spot: jobs[spot[0]][spot[1]].opens_at)
    wanted = [jobs[on][place] for on, place in spots]
    asks = [Ask(job.opens_at, _days_until_next(wanted, nth), done.answered(job)) for nth, job in enumerate(wanted)]
    doubled = counted_words(facts, now)
    for (on, place), job, plan in zip(spots, wanted, plan_doses(pond, facts, asks, now), strict=True):
        says, doubled = (doubled, "") if doubled and not done.answered(job) else ("", doubled)
        jobs[on][place] = replace(
            job,
            state="held_back" if plan.held else "open",
            reason=f"{plan.reason}{says}",
            unrounded_g=plan.unrounded_g,
            amount_g=rounded_g(plan.unrounded_g, plan.limit_g, pond.capful_g),
            limit_g_24h=plan.limit_g,
            chart=plan.chart,
            tomorrow=plan.tomorrow,
            workings=plan.workings,
        )


def planned_rises(pond: Pond, jobs: dict[date, list[Job]], done: Done) -> list[tuple[datetime, float]]:
    """Doses still to be given: when their window opens, and by how much each lifts KH [°dKH]."""
    volume_l = pond.volume_l
    if volume_l is None:
        return []
    return sorted(
        (job.opens_at, rise_dkh(volume_l, job.amount_g, pond.substance, pond.purity_fraction))
        for there in jobs.values()
        for job in there
        if job.shape == "dose" and job.amount_g and not done.answered(job)
    )


def _days_until_next(jobs: Sequence[Job], nth: int) -> float:
    """How long a dose must last [days]: whole civil days until the next one, at most a week."""
    here = jobs[nth]
    if nth + 1 < len(jobs):
        return float(min(7, max(1, (jobs[nth + 1].due_on - here.due_on).days)))
    return float(min(7, max(1, (here.due_on - jobs[nth - 1].due_on).days))) if nth else 1.0
