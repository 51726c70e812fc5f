"""Answers that do not flicker: the one before is remembered by reading the log again, in order, never by storing it."""

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import Literal

from evenwater.domain.water.outlook import Answer
from evenwater.domain.water.ranges import WORSE, better
from evenwater.domain.water.recent import Read

AnswerAt = Callable[[Read, float], Answer]
"""The answer to a reading, were its step so wide."""
Hold = Literal["never", "both", "not_falling"]
"""Whether a probe's new answer must stand a while before it counts: never; always; always, save a fall to a worse."""

PROBE_HOLD = timedelta(hours=2)
"""How long a probe's new answer must stand. Common practice, no source."""
_PROBE_READINGS = 3


def settled(
    series: Sequence[Read], answer_at: AnswerAt, stale: timedelta, hold: Hold = "both", *, whole_step: bool = True
) -> Answer:
    """The answer to the last reading of a series, oldest first, with those before it in mind.

    A worse answer counts at once. A better one only when the reading is past the cut by half a kit step more, or is 0.
    After a gap of `stale`, or where the answer before was not known, nothing is remembered. Where readings come as
    only a probe's do (three more in the two hours before), a new answer must have stood for two hours, by `hold`.

    Args:
        series: At least one reading.
        answer_at: The answer to a reading with a step of so much.
        stale: How long a reading is good for.
        hold: Which of a probe's answers must stand.
        whole_step: Whether the kit's step counts in the answer itself; for differences between readings it does not.
    """
    base = 1.0 if whole_step else 0.0
    standing: Answer = "not_known"
    pending_since: datetime | None = None
    for i, one in enumerate(series):
        wanted = answer_at(one, base * one.step)
        if i > 0 and one.at - series[i - 1].at >= stale:
            standing = "not_known"
        # At nothing a kit is at its end: no reading could be further past the cut.
        if WORSE[wanted] < WORSE[standing] and one.value > 0:
            wanted = better(standing, answer_at(one, (base + 1.0) * one.step))
        unknown = "not_known" in (standing, wanted)
        if wanted == standing or unknown or not _must_stand(series, i, hold, WORSE[wanted] > WORSE[standing]):
            standing, pending_since = wanted, None
            continue
        pending_since = pending_since or one.at
        if one.at - pending_since >= PROBE_HOLD:
            standing, pending_since = wanted, None
    return standing


def _must_stand(series: Sequence[Read], i: int, hold: Hold, is_worse: bool) -> bool:
    if hold == "never":
        return False
    if hold == "not_falling" and is_worse and i > 0 and series[i].value < series[i - 1].value:
        return False
    before = series[max(0, i - _PROBE_READINGS) : i]
    return len(before) == _PROBE_READINGS and series[i].at - before[0].at <= PROBE_HOLD
