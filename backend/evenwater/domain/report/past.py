"""All that a report is made of, of one pond: the log over its span and the year before, and what was shown then."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from functools import cached_property

from msgspec import Struct

from evenwater.domain.book.outlook import PondBook
from evenwater.domain.book.shown_records import Shown
from evenwater.domain.fold import Facts, Known
from evenwater.domain.pond import Pond
from evenwater.domain.report.held import Held
from evenwater.domain.report.span import Span
from evenwater.domain.rounds.jobs import Day


class Past(Struct, frozen=True, kw_only=True, dict=True):
    """What is known.

    Attributes:
        known: Settings however old, moves, measures and changes however old, and all facts of both spans.
        pond: The pond as set today.
        span: The dates told of.
        water: Its mean temperature by date [°C].
        counter: What the heater's counter showed and when [kWh], oldest first.
        shown: The rounds of both spans as people saw them; some dates may be missing.
        foretold: Forecasts as they were shown, and what months of heat came to as it was worked out then.
        hours: What its probe sent of the water, by the hour [°C].
        book: The pond's book as it stands.
        names: Of keepers and helpers, by id.
        now: The moment, aware.
    """

    known: Known
    pond: Pond
    span: Span
    water: Mapping[date, float]
    counter: Sequence[tuple[datetime, float]]
    shown: Sequence[Day]
    foretold: Shown
    hours: Sequence[tuple[datetime, float]]
    book: PondBook
    names: Mapping[str, str]
    now: datetime

    @cached_property
    def facts(self) -> Facts:
        """Every fact of the pond up to now, oldest first."""
        return Facts(one for one in self.known.of_pond(self.pond.id) if one.at <= self.now)

    def facts_in(self, span: Span) -> Facts:
        """Those of a span."""
        return Facts(one for one in self.facts if span.holds(one.on))

    @cached_property
    def here(self) -> Facts:
        """Those of the span told of."""
        return self.facts_in(self.span)

    @cached_property
    def before(self) -> Facts:
        """Those of the same dates a year before."""
        return self.facts_in(self.span.before)

    @cached_property
    def told_since(self) -> date:
        """When its keeper first told anything of the pond: what ran by itself before then is not known."""
        first = (one.on for one in self.known.settings if one.entry.pond == self.pond.id)
        return min(first, default=self.span.last)

    def told_of(self, span: Span) -> Span | None:
        """The part of a span since the pond was told of; None where all of it lies before."""
        return Span(max(span.first, self.told_since), span.last) if span.last >= self.told_since else None

    @cached_property
    def held(self) -> Held:
        """The pond as it was set on any date."""
        return Held(self.known, self.pond)
