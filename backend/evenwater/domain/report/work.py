"""The work of the span: what was done, what was missed, what was said not to be done.

Done is what was ticked. Missed is what a round showed as wanted and nobody answered: of dates whose round nobody
looked at that is not known.
"""

from collections.abc import Iterable, Mapping

from msgspec import Struct

from evenwater.domain.entries import NotDone, Tick
from evenwater.domain.fold import Facts, job_key
from evenwater.domain.report.outlook import Section
from evenwater.domain.report.past import Past
from evenwater.domain.report.span import Span, short_day
from evenwater.domain.report.words import NONE, counted, told_apart, year_name


class _Work(Struct, frozen=True):
    """By standing job: how often it was done, missed, and said not to be done; over how many rounds that were seen."""

    done: dict[str, int]
    missed: dict[str, int]
    refused: dict[str, int]
    rounds: int

    def sum_words(self) -> str:
        """All of it in a line."""
        parts = [f"{counted(sum(self.done.values()), 'job')} done"]
        if self.rounds:
            parts.append(f"{sum(self.missed.values()):,} missed")
        if refused := sum(self.refused.values()):
            parts.append(f"{refused:,} said not to be done")
        return ", ".join(parts)


def work_part(past: Past, *, people: bool, notes: bool) -> Section:
    """A row for each standing job; by whom, and with which reasons, only where that was chosen."""
    now, before = (
        _work(past, span, facts) for span, facts in ((past.span, past.here), (past.span.before, past.before))
    )
    names = _names(past)
    jobs = [one for one in names if any(one in of for of in (now.done, now.missed, before.done))]
    nothing = not (now.done or now.missed or now.refused)
    last = f"A year before: {before.sum_words()}." if before.done else "Nothing was ticked a year before."
    said = [] if nothing else [f"{now.sum_words()}. {last}"]
    if people and not nothing:
        said.append(_by(past))
    if notes:
        said += _reasons(past.here, names)
    heads = ("", f"done {year_name(past.span)}", "missed", f"done {year_name(past.span.before)}")
    columns, told_rows = told_apart(heads, [_row(names[one], one, now, before) for one in jobs])
    return Section(
        id="work",
        title="Work",
        says=tuple(one for one in said if one),
        columns=columns,
        rows=told_rows,
        unknown=_unknown(past.span, now, nothing),
    )


def _work(past: Past, span: Span, facts: Facts) -> _Work:
    answered: set[str] = set()
    done: dict[str, int] = {}
    refused: dict[str, int] = {}
    # A job may be answered on a day after the span; that too is an answer.
    for one in past.facts.of_kinds(Tick, NotDone):
        if isinstance(one.entry, Tick | NotDone) and one.on >= span.first:
            answered.add(job_key(one.entry))
    for one in facts.of_kinds(Tick, NotDone):
        if isinstance(one.entry, Tick):
            done[one.entry.standing_job] = done.get(one.entry.standing_job, 0) + 1
        elif isinstance(one.entry, NotDone):
            refused[one.entry.standing_job] = refused.get(one.entry.standing_job, 0) + 1
    days = [day for day in past.shown if span.holds(day.date)]
    wanted = {
        f"{job.standing_job}/{job.due_on.isoformat()}/{job.slot}": job.standing_job
        for day in days
        for job in day.jobs
        if job.pond == past.pond.id and job.state == "open" and job.closes_at < past.now
    }
    missed: dict[str, int] = {}
    for key, job in wanted.items():
        if key not in answered:
            missed[job] = missed.get(job, 0) + 1
    return _Work(done, missed, refused, len(days))


def _names(past: Past) -> dict[str, str]:
    """What each standing job is called, in walking order; those no longer set up as they were last shown."""
    now = {job.id: job.text for job in past.known.standing_jobs(past.pond.id, past.span.last)}
    shown = {job.standing_job: job.name for day in past.shown for job in day.jobs if job.pond == past.pond.id}
    ticks = [one.entry for one in past.here if isinstance(one.entry, Tick)]
    ticked = {one.standing_job: _as_name(one.standing_job) for one in ticks}
    return now | {one: name for one, name in (ticked | shown).items() if one not in now}


def _as_name(job: str) -> str:
    return job.replace("-", " ").capitalize()


def _row(name: str, job: str, now: _Work, before: _Work) -> tuple[str, ...]:
    missed = f"{now.missed.get(job, 0)}" if now.rounds else NONE
    done_before = f"{before.done.get(job, 0):,}" if before.done else NONE
    return name, f"{now.done.get(job, 0):,}", missed, done_before


def _by(past: Past) -> str:
    """Who did how much, the most first."""
    done: dict[str, int] = {}
    for one in past.here.of_kinds(Tick):
        name = past.names.get(one.entry.author, "somebody")
        done[name] = done.get(name, 0) + 1
    most = sorted(done.items(), key=lambda item: (-item[1], item[0]))
    return "Done by " + ", ".join(f"{name} ({count:,})" for name, count in most) + "." if most else ""


def _reasons(facts: Facts, names: Mapping[str, str]) -> Iterable[str]:
    for one in facts.of_kinds(NotDone):
        if isinstance(one.entry, NotDone):
            name = names.get(one.entry.standing_job, _as_name(one.entry.standing_job))
            yield f"{short_day(one.on)}, {name}: {one.entry.reason}"


def _unknown(span: Span, now: _Work, nothing: bool) -> tuple[str, ...]:
    if nothing:
        return ("No work was ticked in this time.",)
    lacking = span.days - now.rounds
    if not now.rounds:
        return ("What was missed is not known: nobody looked at a round of this time in the app.",)
    if lacking > 0:
        return (f"What was missed on {counted(lacking, 'day')} is not known: nobody looked at the round then.",)
    return ()
