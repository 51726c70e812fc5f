"""What the Warmth page shows of one pond, worked out by the server: plain records, JSON keys are these names.

Temperatures in charts are °C and are shown in the keeper's unit; sentences are in the keeper's unit already.
"""

from datetime import date, datetime
from typing import Literal

from msgspec import Struct

from evenwater.domain.kit import SeasonSteps
from evenwater.domain.water.outlook import Answer
from evenwater.domain.workings import Workings

Section = Literal["warning", "heater", "season", "care", "cost", "house", "loss"]
Fan = tuple[tuple[datetime, float, float, float], ...]
"""(at, low, middle, high) [°C], 90 % of the time between."""


class WarmthFinding(Struct, frozen=True, kw_only=True):
    """Something worked out: a line for the eye, a sentence, a table where there is one."""

    id: str
    section: Section
    title: str
    big: str = ""
    says: str = ""
    answer: Answer | None = None
    first: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    workings: Workings | None = None


class Tonight(Struct, frozen=True, kw_only=True):
    """The water until past the next dawn, covered and open, without and with the heater as planned.

    `air`: (at, °C). `measured`: readings of the last day (at, °C). `planned`: (at, °C) with covers and heater as
    advised. `cheap`: windows of the cheapest rate (from, to). `says`: the air in words; `source`: where it comes from
    and how old it is; `track`: how far dawns were off.
    """

    dawn_at: datetime
    covered: Fan
    bare: Fan
    covered_dawn: tuple[float, float, float]
    bare_dawn: tuple[float, float, float]
    air: tuple[tuple[datetime, float], ...] = ()
    measured: tuple[tuple[datetime, float], ...] = ()
    planned: tuple[tuple[datetime, float], ...] = ()
    cheap: tuple[tuple[datetime, datetime], ...] = ()
    says: str = ""
    source: str = ""
    advice: str = ""
    track: str = ""
    workings: Workings | None = None


class Proposal(Struct, frozen=True, kw_only=True):
    """A step-down or step-up the keeper may agree to: agreeing is a `set` of the pond's `season`."""

    season: SeasonSteps
    title: str
    says: str
    settings: tuple[tuple[date, float], ...]


class MonthCost(Struct, frozen=True, kw_only=True):
    """What a month's heat is to come to [currency], and what the month before came to; `month` is its first day.

    `band`: (low, middle, high), 90 % of the time between. `before`: None while that is not known whole.
    """

    month: date
    currency: str
    so_far: float
    band: tuple[float, float, float]
    before: float | None
    metered: bool


class PondWarmth(Struct, frozen=True, kw_only=True):
    """The Warmth page of one pond; `tag` changes when anything in it does.

    `water_c`: the latest water temperature, read or from a probe. `lacking`: what to tell, to be told more. `month`:
    what its heat is to cost.
    """

    pond: str
    tag: str
    water_c: float | None = None
    water_at: datetime | None = None
    says: str = ""
    tonight: Tonight | None = None
    proposal: Proposal | None = None
    settings: tuple[tuple[date, float], ...] = ()
    findings: tuple[WarmthFinding, ...] = ()
    lacking: tuple[str, ...] = ()
    month: MonthCost | None = None
