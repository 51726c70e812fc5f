"""What is wrong at the ponds this minute, from the plan and from what was recorded, as people are to hear of it."""

from collections.abc import Mapping, Sequence
from datetime import datetime, time, timedelta
from typing import Final

from evenwater.domain.away.hand_over import HandOver
from evenwater.domain.entries import Look, Power, zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.rounds.heard.alarms import Concern
from evenwater.domain.rounds.held.events import power_out, water_running
from evenwater.domain.rounds.jobs import Plan, PondInPlan
from evenwater.domain.rounds.today import job_now, jobs_on
from evenwater.domain.rounds.troubles import TROUBLES

GRACE: Final = timedelta(minutes=10)
"""After a job's hour: a phone that was at the pond, without signal, gets home first. Our own rule of thumb."""
_TOLD_FOR: Final = timedelta(hours=24)
"""What is older than a day was heard of, or is past hearing of."""
_CRIES: Final = 6
_CRIES_WITHIN: Final = timedelta(hours=1)
"""So many of one person in that time are told past anybody's sleep; the app has the rest. Our own rule of thumb."""
_SILENT_AT: Final = time(20, 0)
_TITLES: Final = {one.id: one.title for one in TROUBLES}
_STEPS: Final = {one.id: one.steps for one in TROUBLES}


def concerns(plan: Plan, facts: Sequence[Seen], names: Mapping[str, str], now: datetime) -> list[Concern]:
    """All that is so now and that somebody must hear of.

    Args:
        plan: The plan as it stands.
        facts: The standing facts it was made of, oldest first.
        names: Keepers' and helpers' names by id.
        now: The moment.
    """
    recent = [one for one in facts if now - one.at <= _TOLD_FOR]
    return [
        *_jobs_not_done(plan, facts, now),
        *_something_wrong(recent, names, plan, now),
        *(found for pond in plan.ponds if (found := _water_running(plan, pond, facts, now))),
        *_power_out(plan, facts, names, now),
        *_warnings(plan, now),
        *(found for one in plan.hand_overs if (found := _silence(plan, one, facts, now))),
    ]


def _of(plan: Plan, pond: str) -> str:
    """Which pond, where there is more than one."""
    return next((f" ({one.name})" for one in plan.ponds if one.id == pond and len(plan.ponds) > 1), "")


def _clock(at: datetime, plan: Plan, now: datetime) -> str:
    zone = zone_named(plan.zone)
    local = at.astimezone(zone)
    return f"{local:%H:%M}" if local.date() == now.astimezone(zone).date() else f"{local:%a} {local.day} {local:%H:%M}"


def _jobs_not_done(plan: Plan, facts: Sequence[Seen], now: datetime) -> list[Concern]:
    on = now.astimezone(zone_named(plan.zone)).date()
    found: list[Concern] = []
    for job in jobs_on(plan.days, facts, plan.log_seq, on):
        if job.serious_at is None or not GRACE <= now - job.serious_at <= _TOLD_FOR:
            continue
        state = job_now(job, facts, plan.log_seq, now, True)
        if state.state == "late":
            due = f"It was due by {_clock(job.closes_at, plan, now)}."
            found.append(
                Concern(
                    about=f"job/{job.pond}/{job.id}",
                    what="job",
                    pond=job.pond,
                    at=job.serious_at,
                    title=f"Not done: {job.text}{_of(plan, job.pond)}",
                    says=f"{due} {state.reason}".strip(),
                    whose=job.who,
                )
            )
    return found


def _something_wrong(recent: Sequence[Seen], names: Mapping[str, str], plan: Plan, now: datetime) -> list[Concern]:
    found: list[Concern] = []
    heard: dict[str, list[datetime]] = {}
    for one in recent:
        look = one.entry
        if not isinstance(look, Look) or look.all_well or one.at > now:
            continue
        cries = heard.setdefault(look.author, [])
        if len(cries) >= _CRIES and one.at - cries[-_CRIES] < _CRIES_WITHIN:
            continue
        cries.append(one.at)
        who = names.get(look.author, "Somebody")
        title = _TITLES.get(look.trouble or "", "Something is wrong")
        not_well = f"Not well: {', '.join(look.wrong)}. " if look.wrong else ""
        found.append(
            Concern(
                about=f"trouble/{look.id}",
                what="trouble",
                pond=look.pond,
                at=one.at,
                title=f"{title}{_of(plan, look.pond)}",
                says=f"{who} says so, at {_clock(one.at, plan, now)}. {not_well}{look.text or ''}".strip(),
                first=_STEPS.get(look.trouble or "", ()),
                act_now=True,
                not_to=look.author,
            )
        )
    return found


def _water_running(plan: Plan, pond: PondInPlan, facts: Sequence[Seen], now: datetime) -> Concern | None:
    running = water_running(facts, now, pond.id, pond.water_running_limit_min)
    if running is None or not running.serious or now - running.since > _TOLD_FOR:
        return None
    return Concern(
        about=f"water-running/{pond.id}/{running.since.isoformat()}",
        what="water_running",
        pond=pond.id,
        at=running.serious_at,
        title=f"Water is still running{_of(plan, pond.id)}",
        says=f"Opened at {_clock(running.since, plan, now)}, to be shut after {running.limit_min:.0f} minutes.",
        first=_STEPS["water-running"],
        act_now=True,
    )


def _power_out(plan: Plan, facts: Sequence[Seen], names: Mapping[str, str], now: datetime) -> list[Concern]:
    out = power_out(facts, now)
    if out is None or now - out.since > _TOLD_FOR:
        return []
    entry = next(one.entry for one in facts if isinstance(one.entry, Power) and one.at == out.since)
    return [
        Concern(
            about=f"power-out/{out.since.isoformat()}",
            what="power_out",
            pond=entry.pond,
            at=out.since,
            title="The power is out",
            says=f"{names.get(entry.author, 'Somebody')} says so, since {_clock(out.since, plan, now)}.",
            first=_STEPS["power-out"],
            act_now=True,
            not_to=entry.author,
        )
    ]


def _warnings(plan: Plan, now: datetime) -> list[Concern]:
    """The Warmth page's; only what asks to act goes past the first to hear."""
    return [
        Concern(
            about=f"warning/{page.pond}/{finding.id}",
            what="warning",
            pond=page.pond,
            at=now,
            title=f"{finding.title}{_of(plan, page.pond)}",
            says=finding.says,
            first=(*finding.first, *finding.cautions),
            next_too=finding.answer == "act_now",
        )
        for page in plan.warmth
        for finding in page.findings
        if finding.section == "warning"
    ]


def _silence(plan: Plan, hand_over: HandOver, facts: Sequence[Seen], now: datetime) -> Concern | None:
    """Nobody recorded anything on a day of a hand-over that had jobs to be done by eight in the evening."""
    zone = zone_named(plan.zone)
    on = now.astimezone(zone).date()
    if not hand_over.runs_on(on) or any(one.on == on and one.entry.pond in hand_over.ponds for one in facts):
        return None
    evening = datetime.combine(on, _SILENT_AT, zone)
    closed = [
        job.closes_at
        for job in jobs_on(plan.days, facts, plan.log_seq, on)
        if f"{job.pond}/{job.standing_job}" in hand_over.jobs and job.state == "open" and job.closes_at <= evening
    ]
    if not closed or now < max(closed) + GRACE:
        return None
    helpers = " and ".join(one.name for one in hand_over.helpers) or "Nobody"
    return Concern(
        about=f"silence/{hand_over.id}/{on.isoformat()}",
        what="silence",
        pond=hand_over.pond,
        at=max(closed),
        title="Nothing recorded today",
        says=f"{hand_over.name}: {helpers} had jobs today, and nothing has come. A phone without signal is silent too.",
        first=tuple(f"Ring {one.name}: {one.tel}" for one in hand_over.helpers if one.tel),
    )
