"""Whether a standing job's conditions hold on a day, each in plain words both ways.

- What is not measured is not known: that is an answer of its own, never "no".
- Readings and the log are taken as they stand today for days to come, and the words say so; a forecast is asked for
  the day itself, and beyond its end is not known.
- Numbers in words are in the keeper's units.
"""

from collections.abc import Sequence
from datetime import date

from evenwater.domain.rounds.wanted.conditions_ahead import foretold
from evenwater.domain.rounds.wanted.conditions_log import cover_stands, happened
from evenwater.domain.rounds.wanted.conditions_pages import worked_out
from evenwater.domain.rounds.wanted.conditions_read import measured
from evenwater.domain.rounds.wanted.told import Answered, Told
from evenwater.domain.standing_job import Condition, CoverStands, Foretold, Happened, Measured


def evaluate(condition: Condition, told: Told, on: date) -> Answered:
    """One condition on a date: today or a day to come."""
    if isinstance(condition, Measured):
        return measured(condition, told, on)
    if isinstance(condition, Happened):
        return happened(condition, told, on)
    if isinstance(condition, Foretold):
        return foretold(condition, told, on)
    if isinstance(condition, CoverStands):
        return cover_stands(condition, told, on)
    return worked_out(condition, told, on)


def evaluate_all(conditions: Sequence[Condition], told: Told, on: date) -> Answered:
    """All of them together: one that does not hold decides, then one that is not known."""
    if not conditions:
        return Answered(True, "no condition is set for it")
    answers = [evaluate(condition, told, on) for condition in conditions]
    for holds in (False, None):
        for one in answers:
            if one.holds is holds:
                return one
    return Answered(True, "; ".join(one.words for one in answers))
