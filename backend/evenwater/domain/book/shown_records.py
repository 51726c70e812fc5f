"""Forecasts as they were shown, in the shape in which they are kept: small, and never worked out anew.

Subjects in the log of what was shown: "trend/POND/QUANTITY", "dawn/POND", "chlorine_day/POND", "month_cost/POND", and
what a month came to, "month_spent/POND".
"""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Generic, TypeVar

from msgspec import Struct

from evenwater.domain.water.outlook import ChlorineDay, Trend

Of = TypeVar("Of")
Band = tuple[float, float, float]
"""(low, middle, high), 90 % of the time between."""


class Kept(Struct, Generic[Of], frozen=True):
    """Something as it was shown: when, by which model, what."""

    shown_at: datetime
    model_version: str
    what: Of


class ShownDawn(Struct, frozen=True, kw_only=True):
    """The water at a coming dawn [°C]: under covers, and open. None: that was not foretold."""

    dawn_at: datetime
    covered: Band | None = None
    bare: Band | None = None


class ShownMonth(Struct, frozen=True, kw_only=True):
    """What a month's heat is to cost [currency]; `month` is its first day."""

    month: date
    band: Band
    currency: str


class MonthSpent(Struct, frozen=True, kw_only=True):
    """What a month's heat came to once it was over [currency]; `metered`: by the heater's own counter."""

    month: date
    cost: float
    metered: bool


class Shown(Struct, frozen=True, kw_only=True):
    """All that was foretold of one pond and is still to be scored, each oldest first; trends by quantity."""

    trends: Mapping[str, Sequence[Kept[Trend]]] = {}
    dawns: Sequence[Kept[ShownDawn]] = ()
    chlorine: Sequence[Kept[ChlorineDay]] = ()
    months: Sequence[Kept[ShownMonth]] = ()
    spent: Sequence[Kept[MonthSpent]] = ()
