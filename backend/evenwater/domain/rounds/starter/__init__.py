"""A keeper's whole year as standing jobs on offer, by group; each may be switched off or altered."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from msgspec.structs import replace

from evenwater.domain.rounds.starter.away import COMING_HOME, LEAVING
from evenwater.domain.rounds.starter.cold_half import AUTUMN, WINTER
from evenwater.domain.rounds.starter.daily import DAILY
from evenwater.domain.rounds.starter.group import ONCE_A_YEAR_DAYS, StarterGroup
from evenwater.domain.rounds.starter.monthly import MONTHLY
from evenwater.domain.rounds.starter.occasions import NEW_FISH, WEATHER
from evenwater.domain.rounds.starter.warm_half import SPRING, SUMMER
from evenwater.domain.rounds.starter.weekly import WEEKLY
from evenwater.domain.rounds.when.season_days import in_season
from evenwater.domain.standing_job import AfterDone, ByRule, OnWeekdays, Season, StandingJob

GROUPS: Final[tuple[StarterGroup, ...]] = (
    DAILY,
    WEEKLY,
    MONTHLY,
    SPRING,
    SUMMER,
    AUTUMN,
    WINTER,
    WEATHER,
    NEW_FISH,
    LEAVING,
    COMING_HOME,
)
_SPREAD_DAYS: Final = 3
_FIRST_AFTER_DAYS: Final = {
    "drum": 2,
    "skimmer": 3,
    "agitate": 4,
    "flush-membrane": 5,
    "prefilter": 8,
    "probes": 12,
    "air-pump": 16,
    "pump": 23,
    "leak-check": 27,
    "membrane-clean": 37,
}
"""How long after the beginning a repeating work is first asked for [days], so that not all of it falls on one day."""


def offered(today: date, latitude: float | None) -> tuple[StarterGroup, ...]:
    """The groups as a household that begins today is offered them; seasons turned round south of the equator.

    Args:
        today: The civil date at the pond.
        latitude: Of the pond [°], None where it is not known: taken for northern.
    """
    southern = latitude is not None and latitude < 0
    return tuple(replace(group, jobs=_spread(group.jobs, today, southern)) for group in GROUPS)


def jobs_of(groups: Sequence[StarterGroup]) -> tuple[StandingJob, ...]:
    """All jobs of the groups, in order."""
    return tuple(job for group in groups for job in group.jobs)


def _spread(jobs: Sequence[StandingJob], today: date, southern: bool) -> tuple[StandingJob, ...]:
    """The jobs from today on; of a season that runs already, its yearly work on every third day."""
    found: list[StandingJob] = []
    after_days = _SPREAD_DAYS
    for job in (_from(job, today, southern) for job in jobs):
        if _yearly(job) and _days_left(job, today) > after_days:
            job = replace(job, starts_on=today + timedelta(days=after_days))
            after_days += _SPREAD_DAYS
        found.append(job)
    return tuple(found)


def _yearly(job: StandingJob) -> bool:
    return isinstance(job.recur, AfterDone) and job.recur.days == ONCE_A_YEAR_DAYS


def _days_left(job: StandingJob, today: date) -> int:
    """Days to the end of a season that runs; 0 where it does not."""
    if job.season is None or not in_season(job.season, today):
        return 0
    ends = date.fromisoformat(f"{today.year}-{job.season.ends}")
    return (ends - today).days if ends >= today else 365 + (ends - today).days


def _from(job: StandingJob, today: date, southern: bool) -> StandingJob:
    if southern and job.season is not None:
        begins, ends = _half_a_year_on(job.season.begins), _half_a_year_on(job.season.ends)
        job = replace(job, season=Season(begins=begins, ends=ends))
    if job.id in _FIRST_AFTER_DAYS:
        return replace(job, starts_on=today + timedelta(days=_FIRST_AFTER_DAYS[job.id]))
    if isinstance(job.recur, OnWeekdays | ByRule) or (isinstance(job.recur, AfterDone) and job.season is None):
        return replace(job, starts_on=today)
    return job


def _half_a_year_on(day: str) -> str:
    """The same day six months on; what that month has not is its 30th, or the 28th of February."""
    month = (int(day[:2]) + 5) % 12 + 1
    last = 28 if month == 2 else 30
    return f"{month:02d}-{min(int(day[3:]), last):02d}"
