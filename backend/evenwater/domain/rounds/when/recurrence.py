"""On which dates a standing job is due, as far as the calendar and what was done say; conditions come after.

- A rule by the calendar: on its dates. What was missed waits, once, with its own date, until its next date comes;
  a daily one never does.
- A rule by what was done or used: from when it was last done, or left out with a reason. What is overdue keeps its own
  date and is there once; each later one supposes that the one before is done on its day.
- A date that was answered is not asked for again, whenever the answer came: done early counts.
"""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from evenwater.domain.calendar_rule import EARLIEST_START, dates_of
from evenwater.domain.rounds.done import History
from evenwater.domain.rounds.when.season_days import in_season, into_season, season_begin
from evenwater.domain.standing_job import ByRule, EveryDay, OnWeekdays, Recurrence, StandingJob

DAY = timedelta(days=1)
_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_MISSED_FOR = timedelta(days=400)
"""For so long what was missed waits: a yearly job until its next year."""


def by_calendar(recur: Recurrence) -> bool:
    """Whether a recurrence goes by the calendar alone."""
    return isinstance(recur, EveryDay | OnWeekdays | ByRule)


def calendar_dates(standing: StandingJob, first: date, last: date) -> Iterator[date]:
    """The dates between two on which a job that goes by the calendar falls, ascending."""
    recur, starts_on, season = standing.recur, standing.starts_on, standing.season
    begin = max(first, starts_on) if starts_on else first
    if isinstance(recur, ByRule):
        dates: Iterable[date] = dates_of(recur.rule, starts_on, begin, last)
    else:
        days = recur.days if isinstance(recur, OnWeekdays) else _WEEKDAYS
        dates = (begin + n * DAY for n in range((last - begin).days + 1))
        dates = (on for on in dates if _WEEKDAYS[on.weekday()] in days)
    return (on for on in dates if in_season(season, on))


def missed_date(standing: StandingJob, history: History, today: date) -> date | None:
    """The last date before today of a calendar's rule, where it still waits to be done; None on its next date."""
    if not isinstance(standing.recur, OnWeekdays | ByRule) or any(True for _ in calendar_dates(standing, today, today)):
        return None
    first = today - (7 * DAY if isinstance(standing.recur, OnWeekdays) else _MISSED_FOR)
    if standing.season is not None:
        if not in_season(standing.season, today):
            return None
        first = max(first, season_begin(standing.season, today))
    missed = max(calendar_dates(standing, first, today - DAY), default=None)
    return None if missed is None or history.settled(missed, today) else missed


def repeated_dates(
    standing: StandingJob, history: History, days: int, first_due: date | None, today: date, last: date
) -> list[date]:
    """The dates up to `last` of a job that is due so many days after it was done.

    Args:
        standing: The job.
        history: Its answers.
        days: From one doing to the next [days], 1 or more.
        first_due: When the next is due by what was done or used; None where it never was.
        today: The civil date.
        last: The last date looked at.
    """
    # Whatever was set: a clock time cannot be told of at either end of the calendar.
    due = max(first_due or standing.starts_on or today, standing.starts_on or EARLIEST_START, EARLIEST_START)
    answered = history.answered
    found: list[date] = []
    due = into_season(standing.season, due, today) if due <= last else due
    while due <= last:
        done = due in answered
        if due >= today or not done:
            found.append(due)
        # What was answered before its day counts for that day; what is overdue is supposed to be done today.
        due = into_season(standing.season, (due if done else max(due, today)) + days * DAY, today)
    return found
