"""What the Water page shows of one pond, worked out by the server: plain records, JSON keys are these names.

A device draws them and does no arithmetic but its own comparisons with `cuts` and `expected`, so that a reading typed
without signal is answered too.
"""

from datetime import date, datetime
from typing import Literal

from msgspec import Struct

from evenwater.domain.quantities import Point
from evenwater.domain.workings import Workings

Answer = Literal["in_range", "drifting", "act_now", "not_known"]
Section = Literal["water", "source", "carbon", "membrane"]


class Judged(Struct, frozen=True, kw_only=True):
    """The answer to the latest reading of a quantity, or to a number worked out from several.

    `entry`: the reading's id, None when worked out. From `stale_at` on it is not known: old. `why` is one line: the
    range and what it rests on. `first`: what to do first, for act now. `emergency`: at once.
    """

    quantity: str
    point: Point
    label: str
    unit: str
    value: float
    at: datetime
    stale_at: datetime
    answer: Answer
    emergency: bool = False
    entry: str | None = None
    why: str = ""
    first: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    workings: Workings | None = None


class Cuts(Struct, frozen=True, kw_only=True):
    """Where the answer to a reading changes: below `act_below` act now, below `drift_below` drifting, and so on up.

    A value on a cut has the worse answer. None: there is no such answer. Where an answer needs more than the value
    itself (ammonia), there are no cuts and the server answers.
    """

    quantity: str
    point: Point
    act_below: float | None = None
    drift_below: float | None = None
    drift_above: float | None = None
    act_above: float | None = None


class Expected(Struct, frozen=True, kw_only=True):
    """What a reading would be, nearly surely, if nothing is wrong: outside it the device asks before it saves."""

    quantity: str
    point: Point
    low: float
    high: float


class Trend(Struct, frozen=True, kw_only=True):
    """A quantity over time: `past` (at, middle), `forecast` (at, low, middle, high; 90 % of the time between).

    Each evening's level is what a test before that day's dose would read. `wanted`: the good band. `says` is one line:
    the loss or rise a day, and how sure.
    """

    quantity: str
    point: Point
    label: str
    unit: str
    past: tuple[tuple[datetime, float], ...]
    forecast: tuple[tuple[datetime, float, float, float], ...]
    wanted: tuple[float | None, float | None]
    says: str
    workings: Workings | None = None


class Finding(Struct, frozen=True, kw_only=True):
    """Something worked out: a line for the eye, a sentence, a table where there is one.

    `big` is the number in words ("9 days", "±0.2"), `answer` where it can be judged.
    """

    id: str
    section: Section
    title: str
    big: str
    says: str
    answer: Answer | None = None
    first: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    workings: Workings | None = None


class ChlorineDay(Struct, frozen=True, kw_only=True):
    """The day on which chlorine after the carbon is to reach the keeper's limit; 90 % of the time low to high.

    `limit_ug_per_l`: the limit as it was then.
    """

    serviced_on: date
    low: date
    middle: date
    high: date
    limit_ug_per_l: float


class TrackRow(Struct, frozen=True):
    """A day's forecast, made the day before, and what the kit then read."""

    on: date
    low: float
    middle: float
    high: float
    measured: float


class TrackRecord(Struct, frozen=True, kw_only=True):
    """How the forecasts of a quantity did: mean error and how many lay inside the band."""

    quantity: str
    rows: tuple[TrackRow, ...]
    mean_error: float
    inside: int
    says: str


class PondWater(Struct, frozen=True, kw_only=True):
    """The Water page of one pond; `tag` changes when anything in it does.

    `carbon_due`: when the carbon is next to be seen to, and why; None where a fixed interval has to do. `chlorine_day`:
    when it is to reach its limit; None where that is not known, or it has.
    """

    pond: str
    tag: str
    carbon_due: tuple[date, str] | None = None
    chlorine_day: ChlorineDay | None = None
    judged: tuple[Judged, ...] = ()
    cuts: tuple[Cuts, ...] = ()
    expected: tuple[Expected, ...] = ()
    trends: tuple[Trend, ...] = ()
    findings: tuple[Finding, ...] = ()
    track: tuple[TrackRecord, ...] = ()
