"""What a pond's warmth means for its jobs: settings asked for as they change, covers moved when it is worth it."""

from collections.abc import Mapping, Sequence
from datetime import date

from msgspec.structs import replace

from evenwater.domain.entries import Tick, zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import level_words
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.done import Done
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.rounds.wanted.told import short_date
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.heat_log import cover_jobs
from evenwater.domain.warmth.page import WarmthAdvice


def with_cover(job: Job, standing: StandingJob, advice: WarmthAdvice) -> Job:
    """Covers are moved only when it is worth it; a night's own figures say why."""
    told = advice.covers.get((job.due_on, job.slot)) if cover_jobs([standing]) else None
    if told is None:
        return job
    return replace(job, state="stood_down" if told.stood_down else job.state, reason=told.reason)


def with_setting(
    job: Job, standing: StandingJob, advice: WarmthAdvice, pond: Pond, done: Done, before: Mapping[date, Sequence[Job]]
) -> Job:
    """A setting is asked for on the day it changes, and until it has been made; `before`: jobs of earlier days."""
    morning = job.opens_at.astimezone(zone_named(pond.zone)).hour < 12
    planned = advice.settings.get((job.due_on, "morning" if morning else "evening"))
    wanted = planned.setting_c if planned else standing.setting_c
    if wanted is None:
        return replace(job, state="stood_down", reason="No setting is planned.")
    job = replace(job, setting_c=wanted, text=f"{job.name} to {_warmth(pond, wanted)}")
    if planned:
        job = replace(job, reason=planned.reason)
    made = _made(done.answers(standing.id, job.slot), job)
    if made and made[1] == wanted:
        said = f"Set to {_warmth(pond, wanted)} on {short_date(made[0])}."
        return replace(job, state="stood_down", reason=f"{said} {planned.reason}" if planned else said)
    asked = [
        earlier.setting_c
        for on in sorted(before)
        if on < job.due_on
        for earlier in before[on]
        if (earlier.standing_job, earlier.slot) == (job.standing_job, job.slot)
    ]
    if asked and asked[-1] == wanted:
        return replace(job, state="stood_down", reason=f"Only if {_warmth(pond, wanted)} was not set before.")
    if made and not planned:
        return replace(job, reason=f"It stands at {_warmth(pond, made[1])} since {short_date(made[0])}.")
    return job


def _made(answers: Sequence[Seen], job: Job) -> tuple[date, float] | None:
    """When it was last set, and to what [°C], by another tick than this job's own."""
    for one in reversed(answers):
        entry = one.entry
        if isinstance(entry, Tick) and entry.setting_c is not None and entry.due_on != job.due_on:
            return one.on, entry.setting_c
    return None


def _warmth(pond: Pond, setting_c: float) -> str:
    return level_words(pond, "temperature_c", setting_c)
