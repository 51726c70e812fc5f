"""Where the histories on either side of a change begin and end, and whether it was noted in time to be judged."""

from datetime import date, timedelta
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import Change, zone_named
from evenwater.domain.fold import Seen

NOTED_AT_ONCE: Final = timedelta(days=1)
"""Noted within this, a change is taken as noted when it was made. Our own rule of thumb."""


class Span(Struct, frozen=True, kw_only=True):
    """One change among others: made `on`, noted `noted_on`; histories from `first` to `last`, other changes' dates.

    `seen_on`: the last day anything was written down; what comes after it was not watched. `noted_late`: by so much
    that it may have been noted because of what came of it.
    """

    on: date
    noted_on: date
    first: date
    last: date | None
    seen_on: date
    noted_late: bool

    @property
    def fresh_on(self) -> date:
        """From when what happens is evidence: nothing did that made somebody write the change down."""
        return self.noted_on if self.noted_late else self.on

    @property
    def end(self) -> date:
        """The last day that belongs to this change."""
        return self.seen_on if self.last is None else min(self.last, self.seen_on)


def span_of(change: Seen, earlier: date | None, later: date | None, seen_on: date) -> Span:
    """The span of a change between others that name the same history.

    Args:
        change: An entry of kind `change`.
        earlier: When the one before it was made, None where there is none.
        later: When the one after it was made.
        seen_on: The last day anything was written down.
    """
    entry = change.entry
    assert isinstance(entry, Change)
    # Both by the phone's own clock, so how wrong it was cancels.
    late = entry.recorded_at - entry.happened_at
    return Span(
        on=change.on,
        noted_on=max(change.on, (change.at + late).astimezone(zone_named(entry.zone)).date()),
        first=earlier or date.min,
        last=later,
        seen_on=seen_on,
        noted_late=late > NOTED_AT_ONCE,
    )
