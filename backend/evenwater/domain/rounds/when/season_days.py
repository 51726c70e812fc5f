"""The days of the year on which a standing job is wanted at all."""

from calendar import monthrange
from datetime import date, timedelta

from evenwater.domain.standing_job import Season


def in_season(season: Season | None, on: date) -> bool:
    """Whether a date lies in the season, both ends counted; over New Year where it ends before it begins."""
    if season is None:
        return True
    day, begins, ends = (on.month, on.day), _month_day(season.begins), _month_day(season.ends)
    return begins <= day <= ends if begins <= ends else day >= begins or day <= ends


def season_begin(season: Season, on: date) -> date:
    """The last date up to `on` on which the season began."""
    begins = _begin_in(season, on.year)
    return begins if begins <= on else _begin_in(season, on.year - 1)


def into_season(season: Season | None, due_on: date, today: date) -> date:
    """The first date from `due_on` on that is wanted, where what a past season left undone is left with it.

    Args:
        season: The season, or None for the whole year.
        due_on: When the job would be due without one.
        today: The civil date; while it is out of season, the next one counts.
    """
    if season is None:
        return due_on
    begins = season_begin(season, today)
    if not in_season(season, today):
        begins = _begin_in(season, begins.year + 1)
    due_on = max(due_on, begins)
    return due_on if in_season(season, due_on) else _begin_in(season, season_begin(season, due_on).year + 1)


def _month_day(day: str) -> tuple[int, int]:
    return int(day[:2]), int(day[3:])


def _begin_in(season: Season, year: int) -> date:
    """29 February begins on 1 March where there is none."""
    month, day = _month_day(season.begins)
    last = monthrange(year, month)[1]
    return date(year, month, day) if day <= last else date(year, month, last) + timedelta(days=1)
