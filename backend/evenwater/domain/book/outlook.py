"""What the Pond book shows of one pond, worked out by the server: plain records, JSON keys are these names."""

from datetime import date
from typing import Literal

from msgspec import Struct

from evenwater.domain.workings import Workings

Found = Literal["longer", "shorter", "higher", "lower", "no_difference", "too_early", "described"]


class EffectLine(Struct, frozen=True, kw_only=True):
    """What one history says of a change: `of` is "job/ID" or "reading/QUANTITY"; `says` is one honest sentence.

    `described`: noted after the fact, so no claim is made of it.
    """

    of: str
    title: str
    found: Found
    says: str
    workings: Workings | None = None


class Effect(Struct, frozen=True, kw_only=True):
    """A recorded change and whether it helped; `entry` is its id."""

    entry: str
    on: date
    text: str
    kit: str | None
    lines: tuple[EffectLine, ...]


class KitState(Struct, frozen=True, kw_only=True):
    """A kit item as it stands: hours run [h] and litres [L] since it was fitted and since its last service.

    `told`: by its own counter; else reckoned from hours a day. `services`: (on, what, by whose entry), newest first.
    """

    id: str
    name: str
    says: str
    hours: float | None
    volume_l: float | None
    hours_since_service: float | None
    volume_since_service_l: float | None
    told: bool
    services: tuple[tuple[date, str, str], ...]


class ScoreRow(Struct, frozen=True):
    """A forecast as it was shown before the day, and what was then measured, in the shown unit."""

    on: date
    low: float
    middle: float
    high: float
    measured: float


class Score(Struct, frozen=True, kw_only=True):
    """How one kind of forecast did. `subject`: "trend/kh_dkh", "dawn", "chlorine_day", "month_cost".

    `bias`: mean of measured less foretold; `typical_error`: median of its size; `inside` of `rows` lay in the band.
    `model_versions`: those whose forecasts stand in the rows.
    """

    subject: str
    title: str
    unit: str
    rows: tuple[ScoreRow, ...]
    bias: float
    typical_error: float
    inside: int
    model_versions: tuple[str, ...]
    says: str


class YearLine(Struct, frozen=True, kw_only=True):
    """A piece of the year: when this job's season is, and on which dates it was done in this year and the last."""

    standing_job: str
    title: str
    begins: date
    ends: date
    done: tuple[date, ...]
    last_year: tuple[date, ...]


class PondBook(Struct, frozen=True, kw_only=True):
    """The computed part of one pond's book; `tag` changes when anything in it does."""

    pond: str
    tag: str
    effects: tuple[Effect, ...] = ()
    kit: tuple[KitState, ...] = ()
    scores: tuple[Score, ...] = ()
    year: tuple[YearLine, ...] = ()
