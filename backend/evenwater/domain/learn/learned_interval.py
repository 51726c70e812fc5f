"""When a repeating work is next needed, by this pond's own runs; the interval the keeper set remains the ceiling."""

from math import floor
from typing import Final

from msgspec import Struct

from evenwater.domain.learn.gap_grid import Held, next_run
from evenwater.domain.learn.gaps import Gaps

FEWEST_RUNS: Final = 3
"""Runs that must have ended by need. Our own rule of thumb: two make no range."""


class LearnedInterval(Struct, frozen=True, kw_only=True):
    """Days from one doing to the next [days]. `days`: when it is due, at the low end of the range and never past the
    ceiling; `low_days` to `high_days`: the middle half of this pond's runs, `middle_days` half of them.

    `says` is for the keeper: "usually 8 to 12 days here (9 runs); this one is on day 6".
    """

    days: int
    low_days: int
    middle_days: int
    high_days: int
    runs: int
    says: str


def learned_interval(gaps: Gaps, ceiling_days: int) -> LearnedInterval | None:
    """When the present run should be ended.

    Args:
        gaps: The work's history, from `gaps_of`.
        ceiling_days: The fixed interval [days], 1 or more.

    Returns:
        The interval; None with fewer than FEWEST_RUNS runs that ended by need: then `too_little` says why, and the
        fixed interval is all there is. The present run counts as unfinished, so a long one lengthens the range.
    """
    if len(gaps.ended_days) < FEWEST_RUNS:
        return None
    low, middle, high = next_run(held_of(gaps), (0.25, 0.5, 0.75))
    low_days, middle_days, high_days = max(1, floor(low)), max(1, round(middle)), max(1, round(high))
    return LearnedInterval(
        days=min(ceiling_days, low_days),
        low_days=low_days,
        middle_days=middle_days,
        high_days=high_days,
        runs=len(gaps.runs),
        says=f"usually {range_words(low_days, high_days)} here ({count_words(len(gaps.runs))}){_present(gaps)}",
    )


def too_little(gaps: Gaps) -> str:
    """Why nothing is learned from this history, in words."""
    held, ended = len(gaps.held_days), len(gaps.ended_days)
    if not gaps.runs:
        return "not learned yet: it has not been done twice"
    if held > ended:
        return f"not learned: {held} of {count_words(len(gaps.runs))} ended because it was due"
    return f"not learned yet: {count_words(ended)} ended by need, {FEWEST_RUNS} are needed"


def held_of(gaps: Gaps) -> Held:
    """The history as the grid takes it; days of nothing tell nothing and are left out."""
    held = (*gaps.held_days, gaps.watched_days)
    return Held(tuple(float(days) for days in gaps.ended_days), tuple(float(days) for days in held if days > 0))


def count_words(runs: int) -> str:
    """ "1 run", "9 runs"."""
    return f"{runs} run" if runs == 1 else f"{runs} runs"


def range_words(low_days: int, high_days: int) -> str:
    """ "8 to 12 days", or "9 days" where both ends are one."""
    if low_days >= high_days:
        return f"{high_days} day" if high_days == 1 else f"{high_days} days"
    return f"{low_days} to {high_days} days"


def _present(gaps: Gaps) -> str:
    return "" if gaps.open_days is None else f"; this one is on day {gaps.open_days}"
