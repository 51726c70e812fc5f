"""Why a job that goes by the calendar is there, in a line."""

from datetime import date
from typing import Final

from evenwater.domain.rounds.when.clock_windows import ClockWindows
from evenwater.domain.rounds.when.rule_words import rule_words
from evenwater.domain.standing_job import ByRule, OnWeekdays, StandingJob

EVERY_DAY: Final = "Every day."


def calendar_words(standing: StandingJob, slot: str, due_on: date, clock: ClockWindows) -> str:
    """The sun's edge it hangs on, or its days."""
    sun = clock.sun(due_on)
    edge = standing.windows[slot].opens + standing.windows[slot].closes
    for name, at in (("dawn", sun and sun[0]), ("dusk", sun and sun[1])):
        if name in edge and at is not None:
            return f"{name.capitalize()} at the pond is {at.astimezone(clock.zone):%H:%M}."
    if isinstance(standing.recur, OnWeekdays):
        return f"On {' and '.join(name.capitalize() for name in standing.recur.days)}."
    return rule_words(standing.recur.rule) if isinstance(standing.recur, ByRule) else EVERY_DAY


def with_why(standing: StandingJob, says: str) -> str:
    """The keeper's own reason first, where there is one."""
    if standing.why is None:
        return says
    why = standing.why if standing.why[-1] in ".!?" else f"{standing.why}."
    return f"{why} {says}" if says != EVERY_DAY else why
