"""Feeding begun again in spring, step by step: each waits until ammonia and nitrite have been in range for three days.

The biofilter starved with the fish; it must grow into each step. Common practice, no source.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from math import ceil
from typing import Final, Literal

from msgspec import Struct

from evenwater.domain.kit import FeedSteps

LOOKS_BACK_DAYS: Final = 3
"""How many days of tests a step rests on. Common practice, no source."""
_SLACK: Final = 1e-9
_MOST_STEPS: Final = 10_000
"""So small a share a step is no step any more; without an end the division has none."""
_NAMES: Final = {"tan": "TAN", "nitrite": "nitrite"}


class WaterTest(Struct, frozen=True):
    """A test of ammonia or nitrite on a date; `fine` None: it cannot be judged (no pH or temperature beside it)."""

    on: date
    of: Literal["tan", "nitrite"]
    fine: bool | None


class FeedStep(Struct, frozen=True):
    """Which step holds on a date: its share of the usual food, and what the next one waits for.

    `number` of `steps`; `next_on` is the earliest date of the next, None on the last; `waits_for` says why not yet.
    """

    fraction: float
    number: int
    steps: int
    next_on: date | None
    waits_for: str | None


def step_on(steps: FeedSteps, tests: Sequence[WaterTest], on: date) -> FeedStep | None:
    """The step that holds on a date; None before the first.

    Args:
        steps: As the keeper set them.
        tests: Tests of ammonia and nitrite, in any order.
        on: The date; later tests are left out.
    """
    if on < steps.starts_on:
        return None
    of = 1 + ceil(min(_MOST_STEPS, (1.0 - steps.first_fraction) / steps.step_fraction - _SLACK))
    number, due = 1, steps.starts_on + timedelta(days=steps.days_per_step)
    looked = due
    while number < of and looked <= on:
        if why_not(tests, looked) is None:
            number, due = number + 1, looked + timedelta(days=steps.days_per_step)
            looked = due
        else:
            looked += timedelta(days=1)
    fraction = min(1.0, steps.first_fraction + (number - 1) * steps.step_fraction)
    if number == of:
        return FeedStep(1.0, number, of, None, None)
    return FeedStep(fraction, number, of, due, why_not(tests, on) if due <= on else None)


def why_not(tests: Sequence[WaterTest], on: date) -> str | None:
    """Why no step may be taken on a date, in words; None when one may."""
    since = on - timedelta(days=LOOKS_BACK_DAYS)
    lately = [one for one in tests if since < one.on <= on]
    for of, name in _NAMES.items():
        mine = [one.fine for one in lately if one.of == of]
        if any(fine is False for fine in mine):
            return f"{name} was not in range within three days"
        if not any(mine):
            beside = ": pH and temperature belong beside it" if mine else ""
            return f"{name} cannot be judged{beside}" if mine else f"{name} was not tested within three days"
    return None
