"""Two weeks of rounds from all that is known: plan = f(entries, now)."""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

import msgspec

from evenwater.domain.away.hand_over import HandOver
from evenwater.domain.fish.outlook import PondFish
from evenwater.domain.fold import Known
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.rounds.amounts.pond_doses import AMOUNTS_FOR_DAYS
from evenwater.domain.rounds.heard.double_dose import double_doses
from evenwater.domain.rounds.jobs import Day, Plan, PlanNews, PondInPlan
from evenwater.domain.rounds.pond_round import PondRound
from evenwater.domain.rounds.standing_jobs import STARTER, as_settings
from evenwater.domain.rounds.starter import offered
from evenwater.domain.rounds.troubles import TROUBLES
from evenwater.domain.rounds.walk.load import load_of
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.rounds.when.civil_time import moment
from evenwater.domain.warmth.page import Warm
from evenwater.domain.warmth.pond_air import Samples
from evenwater.domain.water.outlook import PondWater
from evenwater.domain.water.page import ShownTrends, water_of

DAYS_AHEAD = 14
_TOLD_AFTER = timedelta(days=60)
_PARTS = ("morning", "midday", "dusk", "bedtime")


def make_plan(
    known: Known,
    log_seq: int,
    person_names: dict[str, str],
    now: datetime,
    forecasts: Mapping[str, ShownTrends] | None = None,
    water: Sequence[PondWater] | None = None,
    warm: Mapping[str, Warm] | None = None,
    fish: Sequence[PondFish] = (),
) -> Plan:
    """The round of today and of thirteen days more, for every pond.

    Args:
        known: All that stands in the log.
        log_seq: The last entry counted.
        person_names: Names by id, for "done by".
        now: The moment, aware.
        forecasts: What was foretold on earlier days, by pond.
        water: What was worked out of the same log within the hour: a good part of the work, and the same again.
        warm: The same of the warmth, by pond.
        fish: The same of the fish, whose mass their food rests on; none is as set.
    """
    today, zone = known.civil_date(now)
    ponds = known.ponds(today)
    dates = [today + timedelta(days=ahead) for ahead in range(DAYS_AHEAD)]
    warm = warm or {pond.id: warmth_now(known, pond, Samples(), now) for pond in ponds}
    rounds = [PondRound(known, pond, dates, now, warm[pond.id]) for pond in ponds]
    if water is None:
        foretold = forecasts or {}
        water = [water_of(known, one.pond, today, now, foretold.get(one.pond.id, []), one.rises) for one in rounds]
    stocks = {page.pond: page.stock for page in fish}
    for one, its_water in zip(rounds, water, strict=True):
        one.finish(its_water, stocks.get(one.pond.id))
    return Plan(
        made_at=now,
        log_seq=log_seq,
        good_until=moment(today + timedelta(days=AMOUNTS_FOR_DAYS), time(0), zone),
        zone=zone.key,
        person_names=person_names,
        quantities=tuple(QUANTITIES.values()),
        ponds=tuple(_in_plan(pond, known, today) for pond in ponds),
        ring=tuple(contact for pond in ponds for contact in pond.ring),
        troubles=TROUBLES,
        starter_groups=offered(today, ponds[0].latitude if ponds else None),
        starter=() if ponds else tuple(setting for job in STARTER for setting in as_settings(job)),
        water=tuple(water),
        warmth=tuple(warm[pond.id].page for pond in ponds),
        fish=tuple(fish),
        days=tuple(_day(on, rounds) for on in dates),
        hand_overs=tuple(one for one in known.hand_overs(today) if _still_told(one, today)),
        notices=tuple(double_doses(known, now, person_names)),
    )


def _still_told(hand_over: HandOver, today: date) -> bool:
    """Those to come, those that run, and for some weeks those that are over."""
    return hand_over.ends_on is None or hand_over.ends_on + _TOLD_AFTER >= today


def _in_plan(pond: Pond, known: Known, today: date) -> PondInPlan:
    fields = {name: getattr(pond, name) for name in PondInPlan.__struct_fields__ if name != "ranges"}
    return PondInPlan(**fields, ranges=known.ranges(pond.id, today))


def news_since(plan: Plan, tags: dict[str, str]) -> PlanNews:
    """The plan as it is sent to a device that has parts with these tags.

    Days stand by date, pages of ponds as "water/ID", "warmth/ID", "book/ID", "fish/ID", days gone by as "back/DATE",
    the year on offer as "starter".
    """
    starter_tag = _tag(plan.starter_groups)
    changed: dict[str, Any] = {
        "starter_groups": () if tags.get("starter") == starter_tag else plan.starter_groups,
        "days": tuple(day for day in plan.days if tags.get(day.date.isoformat()) != day.tag),
        "water": tuple(one for one in plan.water if tags.get(f"water/{one.pond}") != one.tag),
        "warmth": tuple(one for one in plan.warmth if tags.get(f"warmth/{one.pond}") != one.tag),
        "book": tuple(one for one in plan.book if tags.get(f"book/{one.pond}") != one.tag),
        "fish": tuple(one for one in plan.fish if tags.get(f"fish/{one.pond}") != one.tag),
        "back": tuple(day for day in plan.back if tags.get(f"back/{day.date.isoformat()}") != day.tag),
    }
    parts = {name: getattr(plan, name) for name in plan.__struct_fields__} | changed
    return PlanNews(**parts, dates=tuple(day.date for day in plan.days), starter_tag=starter_tag)


def _tag(what: object) -> str:
    return hashlib.sha256(msgspec.json.encode(what)).hexdigest()[:12]


def _day(on: date, rounds: Sequence[PondRound]) -> Day:
    jobs = tuple(
        sorted((job for one in rounds for job in one.jobs.get(on, ())), key=lambda job: _PARTS.index(job.part))
    )
    says = tuple(said for one in rounds for said in one.said.get(on, ()))
    sun = rounds[0].sun(on) if rounds else None
    dawn_at, dusk_at = sun or (None, None)
    tag = _tag((jobs, says, dawn_at, dusk_at))
    minutes, load = load_of(jobs)
    return Day(on, tag, dawn_at, dusk_at, jobs, minutes, load, says)
