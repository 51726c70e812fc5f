"""The plan a helper's device carries: their days, their jobs, what those need, and nothing else of the household.

Everything is taken in by name: what is added to a plan later stays out until it is let in here.
"""

import hashlib
from collections.abc import Sequence
from datetime import date
from typing import Any

import msgspec
from msgspec.structs import replace

from evenwater.domain.away.bags import dose_in_a_bag, feed_in_a_bag
from evenwater.domain.away.hand_over import Ceiling, HandOver
from evenwater.domain.away.plain_troubles import PLAIN_TROUBLES
from evenwater.domain.away.scope import Scope
from evenwater.domain.away.shown_entries import is_shown
from evenwater.domain.contact import Contact
from evenwater.domain.fold import GivenDose, Known, buffer_doses
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.jobs import Day, Job, Notice, Plan, PondInPlan
from evenwater.domain.rounds.walk.load import load_of

_TOLD = ("double_dose", "helper")


def helper_plan(plan: Plan, scope: Scope, known: Known) -> Plan:
    """What one helper's device gets of the keepers' plan.

    Args:
        plan: The keepers' plan.
        scope: The helper's hand-over. Today is always among the days, so that a device knows where it stands; without
            jobs when it is not one of theirs.
        known: All that stands in the log, as the plan was made of it.
    """
    first = plan.days[0].date if plan.days else scope.today
    ponds = [pond for pond in known.ponds(first) if pond.id in scope.hand_over.ponds]
    doses = {pond.id: buffer_doses(known.of_pond(pond.id)) for pond in ponds}
    days = tuple(_day(day, scope, doses) for day in plan.days if scope.shows(day.date) or day.date == first)
    jobs = [job for day in days for job in day.jobs]
    asked = _quantities(jobs)
    return Plan(
        made_at=plan.made_at,
        log_seq=plan.log_seq,
        good_until=plan.good_until,
        zone=plan.zone,
        person_names=_names(plan, scope, known),
        quantities=tuple(one for one in plan.quantities if one.quantity in asked),
        ponds=tuple(_pond(pond, scope, jobs, asked) for pond in ponds),
        ring=_once((*scope.hand_over.ring, *(contact for pond in ponds for contact in pond.ring))),
        troubles=PLAIN_TROUBLES,
        starter=(),
        water=(),
        days=days,
        hand_overs=(_hand_over(scope),),
        notices=tuple(replace(one, alarm=None) for one in plan.notices if _is_for(one, scope)),
    )


def helper_names(known: Known) -> dict[str, str]:
    """Everybody's name who helps or ever did, by the id they record under; of two the one set last."""
    settings = known.settings
    return {
        one.id: one.name
        for pond in settings.ponds()
        for target in settings.targets(pond, "hand-over/")
        for entry, value in settings.of(pond, target)
        if entry.field == "helpers"
        for one in value
    }


def _day(day: Day, scope: Scope, doses: dict[str, list[GivenDose]]) -> Day:
    theirs = [job for job in day.jobs if scope.shows(day.date) and _is_theirs(job, scope)]
    jobs = tuple(
        job
        for one in theirs
        for job in [_job(one, scope, day.date, theirs, doses.get(one.pond, []))]
        if job is not None
    )
    minutes, load = load_of(jobs)
    tag = hashlib.sha256(msgspec.json.encode((jobs, day.dawn_at, day.dusk_at))).hexdigest()[:12]
    return Day(day.date, tag, day.dawn_at, day.dusk_at, jobs, minutes, load)


def _is_theirs(job: Job, scope: Scope) -> bool:
    """Whether it is one of their jobs, and puts nothing into the water but what they may."""
    if f"{job.pond}/{job.standing_job}" not in scope.jobs:
        return False
    return scope.hand_over.other_doses or job.shape != "plain" or job.amount is None


def _job(job: Job, scope: Scope, on: date, theirs: Sequence[Job], doses: Sequence[GivenDose]) -> Job | None:
    plain = replace(
        job,
        source=None,
        who=(),
        kit=None,
        unrounded_g=None if job.shape != "dose" else job.unrounded_g,
        tomorrow=None,
        workings=None,
    )
    alike = [one for one in theirs if (one.pond, one.shape, one.due_on) == (job.pond, job.shape, job.due_on)]
    if job.shape == "dose":
        first = min(alike, key=lambda one: one.opens_at)
        return dose_in_a_bag(plain, scope, on, doses) if first.id == job.id else None
    return feed_in_a_bag(plain, scope, on, len(alike)) if job.shape == "feed" else plain


def _quantities(jobs: Sequence[Job]) -> frozenset[str]:
    asked = {ask.quantity for job in jobs for ask in job.asks}
    return frozenset(asked | {"temperature_c" for job in jobs if job.setting_c is not None})


def _pond(pond: Pond, scope: Scope, jobs: Sequence[Job], asked: frozenset[str]) -> PondInPlan:
    used = {job.place for job in jobs if job.pond == pond.id}
    return PondInPlan(
        id=pond.id,
        name=pond.name,
        zone=pond.zone,
        volume_l=None,
        capful_g=None,
        substance=scope.hand_over.ceiling(pond.id).substance,
        units={quantity: unit for quantity, unit in pond.units.items() if quantity in asked},
        places=tuple(place for place in pond.places if place in used),
        water_running_limit_min=pond.water_running_limit_min,
    )


def _hand_over(scope: Scope) -> HandOver:
    """Their own, without what only the keeper's form needs."""
    whole = scope.hand_over
    return replace(
        whole,
        ends_on=scope.last_day,
        helpers=tuple(replace(one, tel=None) for one in whole.helpers),
        jobs=tuple(job for job in whole.jobs if job in scope.jobs),
        ceilings=tuple(_ceiling(one) for one in whole.ceilings if one.pond in whole.ponds),
    )


def _ceiling(ceiling: Ceiling) -> Ceiling:
    return replace(ceiling, buffer_kh_dkh=None, confirmed_on=None)


def _names(plan: Plan, scope: Scope, known: Known) -> dict[str, str]:
    """Names of the helpers, and of whoever recorded what they are shown."""
    authors = {one.entry.author for one in known.facts if is_shown(one, scope)}
    helpers = {one.id: one.name for one in scope.hand_over.helpers}
    return {person: name for person, name in plan.person_names.items() if person in authors} | helpers


def _is_for(notice: Notice, scope: Scope) -> bool:
    if notice.pond is not None and notice.pond not in scope.hand_over.ponds:
        return False
    return scope.helper.id in notice.people or (not notice.people and notice.what in _TOLD)


def _once(contacts: Sequence[Contact]) -> tuple[Contact, ...]:
    found: dict[Any, Contact] = {}
    for one in contacts:
        found.setdefault((one.name, one.tel), one)
    return tuple(found.values())
