"""How often a standing job comes back, by what was done, learned or used, and the line that says so."""

from datetime import date, timedelta
from functools import lru_cache

from msgspec import Struct

from evenwater.domain.fold import Facts
from evenwater.domain.learn.gaps import Gaps, cause_of, gaps_of
from evenwater.domain.learn.learned_interval import LearnedInterval, learned_interval, too_little
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.done import Done, History
from evenwater.domain.rounds.wanted.told import short_date
from evenwater.domain.rounds.when.uses import use_of
from evenwater.domain.standing_job import AfterDone, ByUse, StandingJob


class Cadence(Struct, frozen=True, kw_only=True):
    """When the next is due (`first_due`, None: never done yet), how many days there are to the one after, and why.

    `known` is False where what it goes by is not: then nothing can be said of when.
    """

    says: str
    days: int | None = None
    first_due: date | None = None
    known: bool = True


def cadence_of(standing: StandingJob, history: History, done: Done, pond: Pond, facts: Facts, today: date) -> Cadence:
    """Of a job that comes back after it was done or after so much use."""
    if isinstance(standing.recur, AfterDone):
        return _after_done(standing, standing.recur, history, done, pond, today)
    assert isinstance(standing.recur, ByUse)
    since = history.counts_from
    told = facts if standing.recur.of == "readings" else done.meters
    use = use_of(standing.recur, pond, told, since, today)
    if not use.known:
        return Cadence(says=use.words, known=False)
    says = f"{use.words[:1].upper()}{use.words[1:]}{_put_off_words(history)}."
    if standing.recur.of == "readings" and use.due_on is None:
        return Cadence(says=says)
    return Cadence(says=says, days=use.days or _NO_PACE_DAYS, first_due=use.due_on)


_HALF_A_YEAR = 180
_NO_PACE_DAYS = 4000
"""Where nothing foretells the one after: further than any plan."""


def _after_done(
    standing: StandingJob, recur: AfterDone, history: History, done: Done, pond: Pond, today: date
) -> Cadence:
    days, every = recur.days, _every_words(standing, recur.days)
    if recur.learned:
        cause = cause_of(standing, pond)
        gaps = gaps_of(done.telling(standing, cause), standing, today, cause)
        learned = _learned(gaps, recur.days)
        if learned is None:
            every = f"{every}, {too_little(gaps)}"
        else:
            days = learned.days
            every = f"{learned.says[:1].upper()}{learned.says[1:]}, at most every {recur.days} days"
    since = history.counts_from
    last = f"last done {short_date(history.done_on)}" if history.done_on else "not done yet in this log"
    says = f"{every}; {last}{_put_off_words(history)}."
    return Cadence(says=says, days=days, first_due=since + timedelta(days=days) if since else None)


def _every_words(standing: StandingJob, days: int) -> str:
    if standing.season is not None and days > _HALF_A_YEAR:
        return "Once a year"
    return f"Every {days} days" if days > 1 else "Every day"


@lru_cache(maxsize=500)
def _learned(gaps: Gaps, ceiling_days: int) -> LearnedInterval | None:
    return learned_interval(gaps, ceiling_days)


def _put_off_words(history: History) -> str:
    return f"; left out {short_date(history.put_off.on)}" if history.put_off is not None else ""
