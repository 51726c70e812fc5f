"""A job of the printable round in words: when, whose, how much, what holds it back."""

from collections.abc import Mapping
from datetime import datetime
from html import escape
from zoneinfo import ZoneInfo

from evenwater.domain.rounds.jobs import Job, PondInPlan
from evenwater.domain.rounds.today import JobNow
from evenwater.domain.rounds.walk.late import lateness_kind

_WORDS = {
    "done": "done",
    "not_done": "not done",
    "lapsed": "missed",
    "stood_down": "not needed",
    "held_back": "held back",
    "not_known": "not known",
}
_MANY_CAPFULS = 4.0
_QUARTERS = {0: "", 1: "¼", 2: "½", 3: "¾"}


def when_words(job: Job, now: JobNow, zone: ZoneInfo, at: datetime) -> str:
    """ "by 17:40", "can wait until Sat 28", "late since Mon 17:40, and it matters", or what became of it."""
    if now.state != "late":
        return _WORDS.get(now.state) or f"by {job.closes_at.astimezone(zone):%H:%M}"
    kind = lateness_kind(job, at)
    if kind == "can_wait" and job.waits_until is not None:
        waits = job.waits_until.astimezone(zone)
        return f"can wait until {waits:%a} {waits.day}"
    since = job.closes_at.astimezone(zone)
    today = since.date() == at.astimezone(zone).date()
    late = f"late since {since:%H:%M}" if today else f"late since {since:%a} {since.day} {since:%b %H:%M}"
    return f"{late}, and it matters" if kind == "matters" else late


def much_words(job: Job, now: JobNow, pond: PondInPlan) -> str:
    """How much of what; empty for a job without an amount."""
    if job.shape == "feed" and job.feed_g:
        return " · ".join(filter(None, [f"{job.feed_g:.0f} g", job.amount]))
    if now.amount_g:
        return amount_words(now.amount_g, pond.capful_g)
    return job.amount or ""


def amount_words(amount_g: float, capful_g: float | None) -> str:
    """An amount in words: capfuls and grams, grams first above four capfuls."""
    grams = f"{amount_g:.0f} g"
    if not capful_g:
        return grams
    quarters = round(amount_g / capful_g * 4)
    whole, rest = divmod(quarters, 4)
    number = f"{whole or ''}{_QUARTERS[rest]}" or "0"
    capfuls = f"{number} {'capful' if 0 < quarters <= 4 else 'capfuls'}"
    return f"{grams} · {capfuls}" if amount_g > _MANY_CAPFULS * capful_g else f"{capfuls} · {grams}"


def whose_words(job: Job, names: Mapping[str, str]) -> str:
    """For whom it is; empty for anyone."""
    known = [names[one] for one in job.who if one in names]
    return f"for {' and '.join(known)}" if known else ""


def job_section(job: Job, now: JobNow, zone: ZoneInfo, at: datetime, pond: PondInPlan, whose: str) -> str:
    """One job with its box to tick; `whose`: pond and people, where there is something to say."""
    wanted = now.state in ("upcoming", "due", "late")
    box = "☒" if now.state == "done" else "☐"
    of = f" ({escape(whose)})" if whose else ""
    parts = [f"<b>{box} {escape(job.text)}</b>{of} <span>{escape(when_words(job, now, zone, at))}</span>"]
    much = much_words(job, now, pond)
    if much and wanted:
        parts.append(f"<p class=amount>{escape(much)}</p>")
    parts.append(f"<p>{escape(now.reason)}</p>")
    if source := held_source(job, now):
        parts.append(f"<p>Source: {escape(source)}</p>")
    if wanted:
        parts += [f"<p>{escape(text)}</p>" for text in ((job.how or ""), *job.cautions) if text]
        parts.append("<p class=line>done at ________ by ________ note ________________________</p>")
    return f"<section>{''.join(parts)}</section>"


def held_source(job: Job, now: JobNow) -> str:
    """Where the rule that holds it back comes from: the plan's, or what goes on at the pond."""
    if now.state != "held_back":
        return ""
    return job.source or "" if job.state == "held_back" or now.given_g is not None else "common practice, no source"
