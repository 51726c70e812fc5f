"""The year on one page: when each piece of seasonal work is, and when it was done this time and the time before.

A piece's own year turns in the middle of its quiet months, so that work done a little early or late falls to the season
it was meant for, over New Year too.
"""

from calendar import monthrange
from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import date, timedelta
from typing import Final

import msgspec

from evenwater.domain.book.outlook import YearLine
from evenwater.domain.calendar_rule import dates_of, read_rule
from evenwater.domain.entries import Set, Tick
from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Known
from evenwater.domain.keeper_units import level_words
from evenwater.domain.kit import SeasonSteps
from evenwater.domain.pond import Pond, setting_value
from evenwater.domain.standing_job import ByRule, Season, StandingJob
from evenwater.domain.warmth.heat_log import heater_jobs
from evenwater.domain.warmth.season.season_steps import dated_settings

Done = Mapping[str, Sequence[date]]
_MONTHLY: Final = 1
"""The number of RFC 5545's MONTHLY among frequencies; YEARLY is 0, and what is finer is no work of the year."""
_MOST_DATES: Final = 12


def jobs_of_year(jobs: Sequence[StandingJob], year: int) -> list[tuple[StandingJob, date, date]]:
    """Standing jobs that are work of the year, each with its first and last day in it."""
    found: list[tuple[StandingJob, date, date]] = []
    for job in jobs:
        if job.season is not None:
            found.append((job, *_season_in(job.season, year)))
        elif isinstance(job.recur, ByRule) and _is_of_year(job.recur.rule):
            dates = dates_of(job.recur.rule, job.starts_on, date(year, 1, 1), date(year, 12, 31))
            if dates:
                found.append((job, dates[0], dates[-1]))
    return found


def asks_for(jobs: Sequence[StandingJob], today: date) -> list[str]:
    """The standing jobs whose ticks of the last years the page needs."""
    return sorted({job.id for job, _, _ in jobs_of_year(jobs, today.year)} | {job.id for job in heater_jobs(jobs)})


def year_of(known: Known, pond: Pond, long_ago: Done, today: date) -> tuple[YearLine, ...]:
    """The pond's year, in the order in which its work begins.

    Args:
        known: All that stands in the log.
        pond: The pond as set for today.
        long_ago: Dates on which standing jobs were done, of ticks older than those in `known`.
        today: The civil date at the pond.
    """
    jobs = known.standing_jobs(pond.id, today)
    done = _all_done(known, pond, long_ago)
    lines = [_line(job, begins, ends, done, today) for job, begins, ends in jobs_of_year(jobs, today.year)]
    steps = _season_lines(known, pond, jobs, done, today)
    return tuple(sorted([*lines, *steps], key=lambda one: (one.begins, one.ends, one.standing_job)))


def _season_in(season: Season, year: int) -> tuple[date, date]:
    begins, ends = _day(year, season.begins), _day(year, season.ends)
    return begins, ends if begins <= ends else _day(year + 1, season.ends)


def _day(year: int, day_of_year: str) -> date:
    month, day = (int(part) for part in day_of_year.split("-"))
    return date(year, month, min(day, monthrange(year, month)[1]))


def _is_of_year(rule: str) -> bool:
    try:
        return read_rule(rule).frequency <= _MONTHLY
    except DomainError:
        return False


def _line(job: StandingJob, begins: date, ends: date, done: Done, today: date) -> YearLine:
    if begins > today and ends.year > begins.year and today <= _before(ends):
        begins, ends = _before(begins), _before(ends)  # the winter under way is last year's
    elif job.starts_on is not None and ends < job.starts_on and not done.get(job.id):
        begins, ends = _after(begins), _after(ends)  # over before the job began: its first time is next year's
    quiet = timedelta(days=max(0, 365 - (ends - begins).days) // 2)
    turns, earlier = begins - quiet, _before(begins) - quiet
    dates = done.get(job.id, ())
    return YearLine(
        standing_job=job.id,
        title=job.text,
        begins=begins,
        ends=ends,
        done=_few([on for on in dates if turns <= on]),
        last_year=_few([on for on in dates if earlier <= on < turns]),
    )


def _before(on: date) -> date:
    """The same day a year before; 28 February for the 29th."""
    return date(on.year - 1, on.month, min(on.day, monthrange(on.year - 1, on.month)[1]))


def _after(on: date) -> date:
    """The same day a year after; 28 February for the 29th."""
    return date(on.year + 1, on.month, min(on.day, monthrange(on.year + 1, on.month)[1]))


def _few(dates: Sequence[date]) -> tuple[date, ...]:
    """All dates; of work that is done over and over, the first and the last."""
    return tuple(dates) if len(dates) <= _MOST_DATES else (dates[0], dates[-1])


def _all_done(known: Known, pond: Pond, long_ago: Done) -> dict[str, list[date]]:
    found = {job: set(dates) for job, dates in long_ago.items()}
    for one in known.of_pond(pond.id):
        if isinstance(one.entry, Tick):
            found.setdefault(one.entry.standing_job, set()).add(one.on)
    return {job: sorted(dates) for job, dates in found.items()}


def _season_lines(known: Known, pond: Pond, jobs: Sequence[StandingJob], done: Done, today: date) -> list[YearLine]:
    """The step-down and step-up agreed to for this year, with the days on which the heater was set."""
    agreed: dict[tuple[int, bool], SeasonSteps] = {}
    for one in known.settings:
        entry = one.entry
        if isinstance(entry, Set) and (entry.pond, entry.target, entry.field) == (pond.id, "pond", "season"):
            with suppress(DomainError, msgspec.ValidationError):
                steps = setting_value(entry)
                if isinstance(steps, SeasonSteps):
                    agreed[steps.starts_on.year, steps.to_c < steps.from_c] = steps
    heaters = heater_jobs(jobs)
    job_id = heaters[0].id if heaters else "heater"
    set_on = done.get(job_id, ())
    lines: list[YearLine] = []
    for (year, down), steps in agreed.items():
        if year == today.year:
            span = _span(steps)
            last = agreed.get((year - 1, down))
            lines.append(
                YearLine(
                    standing_job=job_id,
                    title=_title(pond, steps),
                    begins=span[0],
                    ends=span[1],
                    done=_few([on for on in set_on if span[0] <= on <= span[1]]),
                    last_year=_span(last) if last else (),
                )
            )
    return lines


def _span(steps: SeasonSteps) -> tuple[date, date]:
    return steps.starts_on, dated_settings(steps)[-1].on


def _title(pond: Pond, steps: SeasonSteps) -> str:
    name = "Step-down" if steps.to_c < steps.from_c else "Step-up"
    warm, cool = (level_words(pond, "temperature_c", one) for one in (steps.from_c, steps.to_c))
    return f"{name}, {warm} to {cool}"
