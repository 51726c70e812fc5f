"""The daily list: today's round as it stands in the app, the same jobs, amounts and reasons, in walking order."""

from collections.abc import Sequence
from datetime import date, datetime
from html import escape
from itertools import groupby
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.delivery.render.job_lines import much_words, when_words, whose_words
from evenwater.delivery.render.written import Written, numbered, one_line, paragraphs
from evenwater.domain.rounds.jobs import Job, Plan
from evenwater.domain.rounds.today import JobNow

_PARTS = {"morning": "Morning", "midday": "Midday", "dusk": "Dusk", "bedtime": "Bedtime"}
_WANTED = ("upcoming", "due", "late")


class _Line(Struct, frozen=True):
    """One job in words."""

    heading: str
    what: str
    when: str
    much: str
    lines: tuple[str, ...]


def daily_list(
    plan: Plan, jobs: Sequence[Job], now: Sequence[JobNow], on: date, at: datetime, told: Sequence[str] = ()
) -> Written:
    """The list of a date as it stands at a moment.

    Args:
        plan: What the jobs come from.
        jobs: The date's jobs in walking order.
        now: How each stands, in the same order.
        on: The date.
        at: The moment.
        told: What else there is to know, a sentence each.
    """
    stands = list(zip(jobs, now, strict=True))
    wanted = [_line(plan, job, state, at) for job, state in stands if state.state in _WANTED]
    others = [_other(plan, job, state, at) for job, state in stands if state.state not in _WANTED]
    minutes = sum(job.minutes for job, state in stands if state.state in _WANTED)
    title = f"{on:%A} {on.day} {on:%B}"
    ask = _ask(len(wanted), minutes)
    says = [*told, *(said for day in plan.days if day.date == on for said in day.says)]
    return Written(
        one_line(f"{on:%A}'s round: {ask}"),
        _text(title, ask, says, wanted, others),
        _html(title, ask, says, wanted, others),
    )


def _ask(count: int, minutes: int) -> str:
    if count == 0:
        return "nothing to do"
    jobs = "1 job" if count == 1 else f"{count} jobs"
    return f"{jobs}, {minutes} min" if minutes else jobs


def _line(plan: Plan, job: Job, state: JobNow, at: datetime) -> _Line:
    pond = next(one for one in plan.ponds if one.id == job.pond)
    whose = ", ".join(filter(None, [_pond(plan, job), whose_words(job, plan.person_names)]))
    return _Line(
        heading=one_line(f"{_PARTS[job.part]} · {job.place}"),
        what=one_line(f"{job.text} ({whose})" if whose else job.text),
        when=when_words(job, state, ZoneInfo(plan.zone), at),
        much=one_line(much_words(job, state, pond)),
        lines=tuple(one_line(one, 500) for one in (state.reason, *job.cautions) if one),
    )


def _pond(plan: Plan, job: Job) -> str:
    return next(one.name for one in plan.ponds if one.id == job.pond) if len(plan.ponds) > 1 else ""


def _other(plan: Plan, job: Job, state: JobNow, at: datetime) -> str:
    what = f"{job.text} ({pond})" if (pond := _pond(plan, job)) else job.text
    became = when_words(job, state, ZoneInfo(plan.zone), at)
    return one_line(
        f"{what}: {became}. {state.reason}" if state.reason and state.state != "done" else f"{what}: {became}"
    )


def _text(title: str, ask: str, says: Sequence[str], wanted: Sequence[_Line], others: Sequence[str]) -> str:
    blocks = [f"{title}: {ask}."]
    blocks += [one_line(one, 500) for one in says]
    for heading, lines in groupby(wanted, lambda one: one.heading):
        rows = [heading.upper()]
        for one in lines:
            rows.append(f"- {one.what}, {one.when}")
            rows += [f"  {more}" for more in (one.much, *one.lines) if more]
        blocks.append("\n".join(rows))
    if others:
        blocks.append("\n".join(["NOT NOW", *(f"- {one}" for one in others)]))
    return "\n\n".join(blocks) + "\n"


def _html(title: str, ask: str, says: Sequence[str], wanted: Sequence[_Line], others: Sequence[str]) -> str:
    parts = [f"<h1>{escape(title)}</h1><p>{escape(ask[0].upper() + ask[1:])}.</p>", paragraphs(says)]
    for heading, lines in groupby(wanted, lambda one: one.heading):
        parts.append(f"<h2>{escape(heading)}</h2>")
        for one in lines:
            much = f"<p><strong>{escape(one.much)}</strong></p>" if one.much else ""
            parts.append(f"<h3>{escape(one.what)}, {escape(one.when)}</h3>{much}{paragraphs(one.lines)}")
    if others:
        parts.append(f"<h2>Not now</h2>{numbered(others).replace('ol>', 'ul>')}")
    return "".join(parts)
