"""How long a repeating work held from one time to the next, out of the log.

A run is the time from one doing to the next. What ended it decides what it teaches:

- By need: it was done before it was due, by an entry of its own that no job asked for, because a condition came true,
  or with a reading at its limit just before. Then the run's length is how long the work held.
- By schedule: it was done when the job was due, or later. Then all that is known is that it held until it was due:
  whoever works to a fixed interval teaches the interval and nothing else. Such a run counts as unfinished on the day
  it was due, whether it was then done at once or late; of what came after that day nothing is used, for nobody can
  tell a work that was not yet needed from one that was put off.

Counting so asks for no guess about the keeper: works done by need and works done by schedule give the same answer.
Source: Kalbfleisch & Prentice (2002), The Statistical Analysis of Failure Time Data, 2nd ed., section 3.2: a run cut
off by a rule fixed in advance enters as its chance of having held that long.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import NotDone, Reading, Service, Tick
from evenwater.domain.fold import Seen
from evenwater.domain.pond import Pond
from evenwater.domain.standing_job import AfterDone, StandingJob, WhenTrue

TELLING: Final = frozenset({Tick, Service, NotDone, Reading})
"""Kinds of entry a work's history is read from."""
MOST_RUNS: Final = 24
LONGEST_AGO_DAYS: Final = 1100
"""Three years: a pond of before that is another pond. Common practice, no source."""
_CLOSE_TO_DUE_FRACTION: Final = 0.1
"""Done so near to being due it was done because it would be due. Our own rule of thumb: a day in nine."""
_CAUSE_DAYS: Final = 3
"""How long before the work its reading may stand. Our own rule of thumb: read, fetched, done."""


class Cause(Struct, frozen=True):
    """The reading that makes a work needed: at or over a limit, in the quantity's own unit."""

    quantity: str
    point: str
    limit: float


class Run(Struct, frozen=True, kw_only=True):
    """From one doing to the next. `days`: whole run if `needed`, else until it was due."""

    began_on: date
    ended_on: date
    days: int
    needed: bool


class Gaps(Struct, frozen=True, kw_only=True):
    """A repeating work's history: completed runs, oldest first, and the one under way.

    `open_days`: since it was last done, on `done_on`; None where it never was. `watched_days`: how much of that
    teaches, up to the day the present run is due, `asked_days` after it began; None where no calendar asks.
    """

    runs: tuple[Run, ...] = ()
    done_on: date | None = None
    open_days: int | None = None
    watched_days: int = 0
    asked_days: int | None = None

    @property
    def ended_days(self) -> tuple[int, ...]:
        """Lengths [days] of the runs that ended by need."""
        return tuple(one.days for one in self.runs if one.needed)

    @property
    def held_days(self) -> tuple[int, ...]:
        """Lengths [days] of the runs that held until they were due."""
        return tuple(one.days for one in self.runs if not one.needed)


class Done(Struct, frozen=True):
    """A day on which the work was done; `due_on` where every entry about it came of a job that asked for it."""

    on: date
    due_on: date | None


def cause_of(standing: StandingJob, pond: Pond) -> Cause | None:
    """Which reading makes this work needed at this pond; None where nothing that is measured does."""
    if standing.service in ("carbon_agitated", "carbon_changed") and pond.carbon is not None:
        return Cause("total_chlorine_ug_per_l", "after_carbon", pond.carbon.limit_ug_per_l)
    return None


def gaps_of(
    facts: Sequence[Seen],
    standing: StandingJob,
    today: date,
    cause: Cause | None = None,
    *,
    most_runs: int = MOST_RUNS,
    longest_ago_days: int = LONGEST_AGO_DAYS,
) -> Gaps:
    """The history of a standing job's work.

    Args:
        facts: The pond's standing facts, oldest first; what was taken back is not among them. Of other kinds than
            `TELLING` none need be there.
        standing: The job; entries of its `service` (on its `kit`, where both name one) say the same as its ticks.
        today: The civil date at the pond; facts of later days are left out.
        cause: The reading that makes the work needed, from `cause_of`.
        most_runs: Earlier completed runs than so many are left out.
        longest_ago_days: So are facts of more than so many days ago [days].

    Returns:
        The latest completed runs and the one under way. Several doings on one day are one.
    """
    recent = _back_from(facts, today, today - timedelta(days=longest_ago_days))
    days, reached, put_off = _looked_through(recent, standing, cause, most_runs + 1)
    if not days:
        return Gaps()
    runs = tuple(_run(before, after, standing, reached) for before, after in pairwise(days))
    open_days = (today - days[-1].on).days
    asked_days = _asked(days[-1].on, runs, standing, put_off)
    watched_days = open_days if asked_days is None else min(open_days, asked_days)
    return Gaps(runs=runs, done_on=days[-1].on, open_days=open_days, watched_days=watched_days, asked_days=asked_days)


def _run(before: Done, after: Done, standing: StandingJob, reached: frozenset[date]) -> Run:
    whole = (after.on - before.on).days
    if after.due_on is None or isinstance(standing.recur, WhenTrue) or _had_cause(after.on, whole, reached):
        return Run(began_on=before.on, ended_on=after.on, days=whole, needed=True)
    asked = (after.due_on - before.on).days
    if whole < asked - round(asked * _CLOSE_TO_DUE_FRACTION):
        return Run(began_on=before.on, ended_on=after.on, days=whole, needed=True)
    return Run(began_on=before.on, ended_on=after.on, days=max(0, min(whole, asked)), needed=False)


def _had_cause(on: date, whole_days: int, reached: frozenset[date]) -> bool:
    return bool(reached) and any(on - timedelta(days=back) in reached for back in range(min(_CAUSE_DAYS, whole_days)))


def _asked(done_on: date, runs: Sequence[Run], standing: StandingJob, put_off: date | None) -> int | None:
    """Days from the last doing until it is due: counted anew from the day it was put off with a reason.

    None where no calendar asks. By a calendar's rule the longest run that was ended by it stands for the present one.
    """
    if isinstance(standing.recur, WhenTrue):
        return None
    if isinstance(standing.recur, AfterDone):
        since = put_off if put_off is not None and put_off > done_on else done_on
        return (since - done_on).days + standing.recur.days
    return max((one.days for one in runs if not one.needed), default=None)


def _looked_through(
    facts: Iterator[Seen], standing: StandingJob, cause: Cause | None, most_days: int
) -> tuple[list[Done], frozenset[date], date | None]:
    """Days it was done, oldest first; days its reading was at the limit; the last day it was put off with a reason."""
    days: list[Done] = []
    reached: set[date] = set()
    put_off: date | None = None
    for one in facts:
        entry = one.entry
        if isinstance(entry, Reading):
            if cause is not None and _reaches(entry, cause):
                reached.add(one.on)
        elif isinstance(entry, NotDone):
            if entry.standing_job == standing.id:
                put_off = put_off or one.on
        elif isinstance(entry, Tick | Service) and _is_this(entry, standing):
            _add(days, Done(one.on, entry.due_on if isinstance(entry, Tick) else None))
            if len(days) > most_days:
                break
    return days[:most_days][::-1], frozenset(reached), put_off


def _back_from(facts: Sequence[Seen], today: date, oldest: date) -> Iterator[Seen]:
    for one in reversed(facts):
        if one.on < oldest:
            return
        if one.on <= today and type(one.entry) in TELLING:
            yield one


def _add(days: list[Done], one: Done) -> None:
    """Latest first; a second doing on a day says only whether a job asked for it."""
    if days and days[-1].on <= one.on:
        asked = days[-1].due_on if one.due_on is None else one.due_on
        days[-1] = Done(days[-1].on, asked)
    else:
        days.append(one)


def _is_this(entry: Tick | Service, standing: StandingJob) -> bool:
    if isinstance(entry, Tick):
        return entry.standing_job == standing.id
    same_kit = standing.kit is None or entry.kit is None or entry.kit == standing.kit
    return standing.service is not None and entry.service == standing.service and same_kit


def _reaches(entry: Reading, cause: Cause) -> bool:
    return entry.quantity == cause.quantity and entry.point == cause.point and entry.value >= cause.limit
