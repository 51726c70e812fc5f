"""Two weeks of rounds from all that is known: plan = f(entries, now)."""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import msgspec
from msgspec.structs import replace

from evenwater.domain.entries import NotDone, Tick, zone_named
from evenwater.domain.fold import Known, Seen
from evenwater.domain.keeper_units import level_words
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.rounds.dose_chart import Ask, plan_doses
from evenwater.domain.rounds.jobs import Day, Job, Plan, PlanNews, PondInPlan
from evenwater.domain.rounds.recurrence import Sun, dates_between, exists, last_before, moment, window_on
from evenwater.domain.rounds.standing_jobs import STARTER, as_settings
from evenwater.domain.rounds.starter import offered
from evenwater.domain.rounds.today import rounded_g
from evenwater.domain.rounds.troubles import TROUBLES
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.standing_job import AfterDone, OnWeekdays, StandingJob
from evenwater.domain.warmth.heat_log import cover_jobs
from evenwater.domain.warmth.page import Warm, WarmthAdvice
from evenwater.domain.warmth.pond_air import Samples
from evenwater.domain.warmth.sun import dawn_and_dusk
from evenwater.domain.water.buffer import rise_dkh
from evenwater.domain.water.outlook import PondWater
from evenwater.domain.water.page import ShownTrends, water_of

MODEL_VERSION = "kh-filter-1"
DAYS_AHEAD = 14
AMOUNTS_FOR_DAYS = 7
_CARBON_SERVICES = ("carbon_agitated", "carbon_changed")
_PARTS = ("morning", "midday", "dusk", "bedtime")


def make_plan(
    known: Known,
    log_seq: int,
    person_names: dict[str, str],
    now: datetime,
    forecasts: Mapping[str, ShownTrends] | None = None,
    water: Sequence[PondWater] | None = None,
    warm: Mapping[str, Warm] | None = None,
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
    """
    ponds = known.ponds(now.date())
    zone = zone_named(ponds[0].zone if ponds else "UTC")
    today = now.astimezone(zone).date()
    ponds = known.ponds(today)
    dates = [today + timedelta(days=ahead) for ahead in range(DAYS_AHEAD)]
    warm = warm or {pond.id: warmth_now(known, pond, Samples(), now) for pond in ponds}
    rounds = [_PondRound(known, pond, dates, now, warm[pond.id].advice) for pond in ponds]
    if water is None:
        foretold = forecasts or {}
        water = [
            water_of(known, one.pond, today, now, foretold.get(one.pond.id, []), one.planned_rises()) for one in rounds
        ]
    for one, its_water in zip(rounds, water, strict=True):
        if its_water.carbon_due is not None:
            one.see_to_carbon(known.standing_jobs(one.pond.id, today), *its_water.carbon_due)
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
        days=tuple(_day(on, rounds) for on in dates),
    )


def _in_plan(pond: Pond, known: Known, today: date) -> PondInPlan:
    fields = {name: getattr(pond, name) for name in PondInPlan.__struct_fields__ if name != "ranges"}
    return PondInPlan(**fields, ranges=known.ranges(pond.id, today))


def news_since(plan: Plan, tags: dict[str, str]) -> PlanNews:
    """The plan as it is sent to a device that has days, and the water of ponds ("water/ID"), with these tags."""
    parts = {name: getattr(plan, name) for name in plan.__struct_fields__ if name not in {"days", "water", "warmth"}}
    water = tuple(one for one in plan.water if tags.get(f"water/{one.pond}") != one.tag)
    warmth = tuple(one for one in plan.warmth if tags.get(f"warmth/{one.pond}") != one.tag)
    changed = tuple(day for day in plan.days if tags.get(day.date.isoformat()) != day.tag)
    return PlanNews(**parts, water=water, warmth=warmth, days=changed, dates=tuple(day.date for day in plan.days))


def _day(on: date, rounds: "Sequence[_PondRound]") -> Day:
    jobs = [job for one in rounds for job in one.jobs.get(on, ())]
    jobs.sort(key=lambda job: _PARTS.index(job.part))
    sun = rounds[0].sun(on) if rounds else None
    dawn_at, dusk_at = sun or (None, None)
    tag = hashlib.sha256(msgspec.json.encode((jobs, dawn_at, dusk_at))).hexdigest()[:12]
    return Day(on, tag, dawn_at, dusk_at, tuple(jobs))


class _PondRound:
    """The jobs of one pond by date, in walking order."""

    def __init__(self, known: Known, pond: Pond, dates: Sequence[date], now: datetime, warmth: WarmthAdvice) -> None:
        self.pond = pond
        self.zone: ZoneInfo = zone_named(pond.zone)
        self.dates = [on for on in dates if exists(on, self.zone)]
        self.now = now
        self.warmth = warmth
        self.facts = known.of_pond(pond.id)
        self.answers = [one for one in self.facts if isinstance(one.entry, Tick | NotDone)]
        self._suns: dict[date, Sun] = {}
        self.jobs: dict[date, list[Job]] = {on: [] for on in self.dates}
        self._place(known)
        self._dose()

    def sun(self, on: date) -> Sun:
        """Dawn and dusk at the pond, None where the place is not known."""
        if on not in self._suns:
            latitude, longitude = self.pond.latitude, self.pond.longitude
            known_place = latitude is not None and longitude is not None
            self._suns[on] = dawn_and_dusk(on, latitude, longitude) if known_place else None  # type: ignore[arg-type]
        return self._suns[on]

    def _place(self, known: Known) -> None:
        by_date = {on: {job.id: job for job in known.standing_jobs(self.pond.id, on)} for on in self.dates}
        today = self.dates[0]
        walking = sorted(by_date[today].values(), key=lambda job: (job.order, job.id))
        later = [job for jobs in by_date.values() for job in jobs.values() if job.id not in by_date[today]]
        for standing in [*walking, *{job.id: job for job in later}.values()]:
            for slot in standing.windows:
                for due_on in self._due_dates(standing, slot):
                    shown_on = max(due_on, today)
                    as_it_holds = by_date[shown_on].get(standing.id)
                    if as_it_holds is not None and slot in as_it_holds.windows:
                        self.jobs[shown_on].append(self._job(as_it_holds, slot, due_on))

    def _due_dates(self, standing: StandingJob, slot: str) -> list[date]:
        """Dates on which this job is shown: those to come, what is left from before, and what was answered today."""
        today, last = self.dates[0], self.dates[-1]
        mine = [one for one in self.answers if _about(one, standing, slot)]
        ticked = [one.on for one in mine if isinstance(one.entry, Tick)]
        done_on = max(ticked, default=None)
        due = set(dates_between(standing.recur, today, last, standing.starts_on, done_on))
        due |= {_due_on(one) for one in mine if one.on == today and _due_on(one) <= today}
        missed = last_before(standing.recur, today, standing.starts_on)
        if missed is not None and not any(_due_on(one) == missed for one in mine):
            due.add(missed)
        yesterday = today - timedelta(days=1)
        if not isinstance(standing.recur, AfterDone) and exists(yesterday, self.zone):
            window = window_on(standing.windows[slot], yesterday, self.zone, self.sun(yesterday))
            if self.now <= window[1] and yesterday in set(
                dates_between(standing.recur, yesterday, yesterday, standing.starts_on, None)
            ):
                due.add(yesterday)
        return sorted(due & {on for on in due if on < today} | (due & set(self.dates)))

    def _job(self, standing: StandingJob, slot: str, due_on: date) -> Job:
        window = standing.windows[slot]
        opens_at, closes_at = window_on(window, due_on, self.zone, self.sun(due_on))
        after = standing.recur.days if isinstance(standing.recur, AfterDone) else None
        name = standing.texts.get(slot, standing.text)
        job = Job(
            id=f"{standing.id}/{due_on.isoformat()}/{slot}",
            standing_job=standing.id,
            due_on=due_on,
            slot=slot,
            pond=self.pond.id,
            place=standing.place,
            part=window.part,
            name=name,
            text=name,
            opens_at=opens_at,
            closes_at=closes_at,
            lapses_at=self._lapses_at(standing, due_on, opens_at),
            reason=self._why(standing, slot, due_on),
            serious=standing.serious,
            fixed=after is None and standing.shape == "plain",
            cautions=standing.cautions,
            how=standing.how,
            shape=standing.shape,
            minutes=standing.minutes,
            after_done_days=after,
            next_windows={on: window_on(window, on, self.zone, self.sun(on)) for on in self.dates} if after else None,
        )
        if standing.shape == "setting":
            return self._with_setting(job, standing, slot)
        return self._with_cover(job, standing)

    def _with_cover(self, job: Job, standing: StandingJob) -> Job:
        """Covers are moved only when it is worth it; a night's own figures say why."""
        advice = self.warmth.covers.get((job.due_on, job.slot)) if cover_jobs([standing]) else None
        if advice is None or job.id in {_key(one) for one in self.answers}:
            return job
        return replace(job, state="stood_down" if advice.stood_down else job.state, reason=advice.reason)

    def _lapses_at(self, standing: StandingJob, due_on: date, opens_at: datetime) -> datetime | None:
        """When the next slot of the same standing job opens on that date, if there is one."""
        others = [window_on(window, due_on, self.zone, self.sun(due_on))[0] for window in standing.windows.values()]
        return min((at for at in others if at > opens_at), default=None)

    def _why(self, standing: StandingJob, slot: str, due_on: date) -> str:
        if isinstance(standing.recur, AfterDone):
            ticked = [one.on for one in self.answers if _about(one, standing, slot) and isinstance(one.entry, Tick)]
            last = f"last done {_short(max(ticked))}" if ticked else "not done yet in this log"
            return f"Every {standing.recur.days} days; {last}."
        sun = self.sun(due_on)
        edge = standing.windows[slot].opens + standing.windows[slot].closes
        for name, at in (("dawn", sun and sun[0]), ("dusk", sun and sun[1])):
            if name in edge and at is not None:
                return f"{name.capitalize()} at the pond is {at.astimezone(self.zone):%H:%M}."
        return f"On {_weekdays(standing.recur)}." if isinstance(standing.recur, OnWeekdays) else "Every day."

    def _with_setting(self, job: Job, standing: StandingJob, slot: str) -> Job:
        """A setting is asked for on the day it changes, and until it has been made."""
        morning = job.opens_at.astimezone(self.zone).hour < 12
        planned = self.warmth.settings.get((job.due_on, "morning" if morning else "evening"))
        wanted = planned.setting_c if planned else standing.setting_c
        if wanted is None:
            return replace(job, state="stood_down", reason="No setting is planned.")
        job = replace(job, setting_c=wanted, text=f"{job.name} to {self._warmth(wanted)}")
        if planned:
            job = replace(job, reason=planned.reason)
        made = [
            (one.on, one.entry.setting_c)
            for one in self.answers
            if isinstance(one.entry, Tick) and _about(one, standing, slot) and _key(one) != job.id
        ]
        made = [(on, setting_c) for on, setting_c in made if setting_c is not None]
        if made and made[-1][1] == wanted:
            done = f"Set to {self._warmth(wanted)} on {_short(made[-1][0])}."
            return replace(job, state="stood_down", reason=f"{done} {planned.reason}" if planned else done)
        asked_before = [earlier.setting_c for on in self.dates if on < job.due_on for earlier in self._of(job, on)]
        if asked_before and asked_before[-1] == wanted:
            return replace(job, state="stood_down", reason=f"Only if {self._warmth(wanted)} was not set before.")
        if made and not planned:
            return replace(job, reason=f"It stands at {self._warmth(made[-1][1])} since {_short(made[-1][0])}.")
        return job

    def _warmth(self, setting_c: float) -> str:
        return level_words(self.pond, "temperature_c", setting_c)

    def _of(self, job: Job, on: date) -> list[Job]:
        """The jobs placed on a date already that ask for the same thing as this one."""
        return [one for one in self.jobs[on] if (one.standing_job, one.slot) == (job.standing_job, job.slot)]

    def _dose(self) -> None:
        """Give every dose job its amount, in the order of time."""
        spots = [
            (on, place)
            for on in self.dates
            for place, job in enumerate(self.jobs[on])
            if job.shape == "dose" and on < self.dates[0] + timedelta(days=AMOUNTS_FOR_DAYS)
        ]
        spots.sort(key=lambda spot: self.jobs[spot[0]][spot[1]].opens_at)
        jobs = [self.jobs[on][place] for on, place in spots]
        ids = {f"{_key(one)}" for one in self.answers}
        asks = [Ask(job.opens_at, _days_until_next(jobs, nth), job.id in ids) for nth, job in enumerate(jobs)]
        for (on, place), job, plan in zip(spots, jobs, plan_doses(self.pond, self.facts, asks, self.now), strict=True):
            self.jobs[on][place] = replace(
                job,
                state="held_back" if plan.held else "open",
                reason=plan.reason,
                unrounded_g=plan.unrounded_g,
                amount_g=rounded_g(plan.unrounded_g, plan.limit_g, self.pond.capful_g),
                limit_g_24h=plan.limit_g,
                chart=plan.chart,
                tomorrow=plan.tomorrow,
                workings=plan.workings,
            )

    def see_to_carbon(self, standing_jobs: Sequence[StandingJob], due_on: date, reason: str) -> None:
        """The carbon's own readings say when it is due; the interval of the standing job was only the fall-back."""
        answered = {_key(one) for one in self.answers}
        first = max(due_on, self.dates[0])
        for standing in (one for one in standing_jobs if one.service in _CARBON_SERVICES):
            for slot in standing.windows:
                for on, jobs in self.jobs.items():
                    self.jobs[on] = [
                        _with_carbon(job, on < first, reason)
                        if (job.standing_job, job.slot) == (standing.id, slot) and job.id not in answered
                        else job
                        for job in jobs
                    ]
                if first in self.jobs and not any(
                    (job.standing_job, job.slot) == (standing.id, slot) for job in self.jobs[first]
                ):
                    self.jobs[first].append(_with_carbon(self._job(standing, slot, first), False, reason))

    def planned_rises(self) -> list[tuple[datetime, float]]:
        """Doses still to be given: when their window opens, and by how much each lifts KH [°dKH]."""
        volume_l, answered = self.pond.volume_l, {_key(one) for one in self.answers}
        if volume_l is None:
            return []
        doses = [
            (job.opens_at, rise_dkh(volume_l, job.amount_g, self.pond.substance, self.pond.purity_fraction))
            for jobs in self.jobs.values()
            for job in jobs
            if job.shape == "dose" and job.amount_g and job.id not in answered
        ]
        return sorted(doses)


def _with_carbon(job: Job, too_early: bool, reason: str) -> Job:
    words = reason[:1].upper() + reason[1:] + "."
    return replace(job, state="stood_down" if too_early else job.state, reason=words)


def _about(one: Seen, standing: StandingJob, slot: str) -> bool:
    entry = one.entry
    return isinstance(entry, Tick | NotDone) and entry.standing_job == standing.id and entry.slot == slot


def _due_on(one: Seen) -> date:
    assert isinstance(one.entry, Tick | NotDone)
    return one.entry.due_on


def _key(one: Seen) -> str:
    assert isinstance(one.entry, Tick | NotDone)
    return f"{one.entry.standing_job}/{one.entry.due_on.isoformat()}/{one.entry.slot}"


def _days_until_next(jobs: Sequence[Job], nth: int) -> float:
    """How long a dose must last [days]: whole civil days until the next one, at most a week."""
    here = jobs[nth]
    if nth + 1 < len(jobs):
        return float(min(7, max(1, (jobs[nth + 1].due_on - here.due_on).days)))
    return float(min(7, max(1, (here.due_on - jobs[nth - 1].due_on).days))) if nth else 1.0


def _weekdays(recur: OnWeekdays) -> str:
    return " and ".join(name.capitalize() for name in recur.days)


def _short(on: date) -> str:
    return f"{on:%a} {on.day} {on:%b}"
