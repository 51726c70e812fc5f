"""The Water page of one pond, put together from what stands in the log."""

import hashlib
from datetime import date, datetime

import msgspec
from msgspec.structs import replace

from evenwater.domain.fold import Known
from evenwater.domain.pond import Pond
from evenwater.domain.water.outlook import PondWater, Trend

ShownTrends = list[tuple[datetime, Trend]]
"""Forecasts as they were shown, with the moment, oldest first."""


def water_of(known: Known, pond: Pond, today: date, now: datetime, foretold: ShownTrends) -> PondWater:
    """Everything the Water page shows of a pond.

    Args:
        known: All that stands in the log.
        pond: The pond as set for today.
        today: The civil date at the pond.
        now: The moment, aware.
        foretold: What was shown on earlier days.
    """
    page = PondWater(pond=pond.id, tag="")
    return replace(page, tag=hashlib.sha256(msgspec.json.encode(page)).hexdigest()[:12])
