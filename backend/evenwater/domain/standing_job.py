"""Standing jobs as a keeper sets them: what, where, when, how much, for whom, and how serious when missed.

Records only. `rounds/` makes jobs of them: recurrence says on which dates, conditions whether, order in which place.
"""

import datetime
from typing import Annotated, Literal

from msgspec import Meta, Struct, field

from evenwater.domain.entries import KitService, Line, Sha256, Slug, Uuid, Words
from evenwater.domain.kit import Weekday
from evenwater.domain.quantities import Point

DayPart = Literal["morning", "midday", "dusk", "bedtime"]
Shape = Literal["plain", "dose", "setting", "feed"]
# "17:30", or from dawn or dusk at the pond: "dusk-01:00".
ClockOrSun = Annotated[str, Meta(pattern=r"^(([01]\d|2[0-3]):[0-5]\d|(dawn|dusk)[+-]0\d:[0-5]\d)$")]
DayOfYear = Annotated[str, Meta(pattern=r"^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])\Z")]
Side = Literal["above", "below"]
Bound = Annotated[float, Meta(ge=-1_000_000, le=10_000_000)]


class EveryDay(Struct, frozen=True, tag_field="every", tag="day", forbid_unknown_fields=True):
    """Each day."""


class AfterDone(Struct, frozen=True, tag_field="every", tag="after_done", forbid_unknown_fields=True):
    """So many days after it was last done; `learned`: sooner where this pond's own history says so."""

    days: Annotated[int, Meta(ge=1, le=400)]
    learned: bool = False


class OnWeekdays(Struct, frozen=True, tag_field="every", tag="weekdays", forbid_unknown_fields=True):
    """On chosen days of the week."""

    days: Annotated[tuple[Weekday, ...], Meta(min_length=1, max_length=7)]


class ByRule(Struct, frozen=True, tag_field="every", tag="rule", forbid_unknown_fields=True):
    """By a recurrence rule of RFC 5545 in civil dates from the job's `starts_on`: "FREQ=MONTHLY;BYDAY=1SA"."""

    rule: Annotated[str, Meta(min_length=6, max_length=200)]


class ByUse(Struct, frozen=True, tag_field="every", tag="use", forbid_unknown_fields=True):
    """After so much use since it was last done: litres of trickle, hours a kit item ran, readings of a quantity."""

    of: Literal["volume_l", "hours", "readings"]
    amount: Annotated[float, Meta(gt=0, le=100_000_000)]
    kit: Slug | None = None
    quantity: Annotated[str, Meta(max_length=40)] | None = None


class WhenTrue(Struct, frozen=True, tag_field="every", tag="when", forbid_unknown_fields=True):
    """From the day all of `only_if` holds until it is done, and not again for so many days."""

    rest_days: Annotated[int, Meta(ge=0, le=400)] = 1


Recurrence = EveryDay | AfterDone | OnWeekdays | ByRule | ByUse | WhenTrue


class Season(Struct, frozen=True, forbid_unknown_fields=True):
    """Days of the year, both ends counted; over New Year too: "11-15" to "03-01"."""

    begins: DayOfYear = field(name="from")
    ends: DayOfYear = field(name="to")


class Measured(Struct, frozen=True, tag_field="what", tag="reading", forbid_unknown_fields=True):
    """A quantity read above or below a value in its stored unit; `for_days`: at every reading of so many days."""

    quantity: Annotated[str, Meta(max_length=40)]
    side: Side
    value: Bound
    point: Point = "pond"
    for_days: Annotated[int, Meta(ge=0, le=60)] = 0


class Happened(Struct, frozen=True, tag_field="what", tag="happened", forbid_unknown_fields=True):
    """Something is in the log within so many days, or (`negated`) is not.

    `subject`: "job/ID" (a tick of it), "service/NAME" or the kind of an entry: "start_up", "water_change", "fish_move".
    """

    subject: Annotated[str, Meta(pattern=r"^[a-z0-9_]{1,40}(/[a-z0-9_-]{1,40})?\Z")]
    within_days: Annotated[int, Meta(ge=1, le=400)]
    negated: bool = False


class Foretold(Struct, frozen=True, tag_field="what", tag="forecast", forbid_unknown_fields=True):
    """The weather ahead reaches a value within so many hours."""

    of: Literal["gust_m_per_s", "snow_cm", "rain_mm", "sun_w_per_m2", "air_low_c", "air_high_c"]
    side: Side
    value: Bound
    within_h: Annotated[int, Meta(ge=1, le=120)] = 24


class WorkedOut(Struct, frozen=True, tag_field="what", tag="worked_out", forbid_unknown_fields=True):
    """A number the pond's pages work out."""

    of: Literal["nh3_mg_per_l", "kh_tomorrow_dkh", "water_dawn_c", "level_fall_mm_per_day", "carbon_days_left"]
    side: Side
    value: Bound


class CoverStands(Struct, frozen=True, tag_field="what", tag="cover", forbid_unknown_fields=True):
    """The cover lies on the pond, or does not."""

    on: bool


class Asks(Struct, frozen=True, forbid_unknown_fields=True):
    """A reading the job is there for: its field stands on the card."""

    quantity: Annotated[str, Meta(max_length=40)]
    point: Point = "pond"


Condition = Measured | Happened | Foretold | WorkedOut | CoverStands


class Window(Struct, frozen=True, forbid_unknown_fields=True):
    """When in the day a job may be done. A close before its open is past midnight."""

    part: DayPart
    opens: ClockOrSun
    closes: ClockOrSun


def _all_day() -> dict[str, Window]:
    return {"day": Window("midday", "08:00", "20:00")}


class StandingJob(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The rule that makes jobs.

    `only_if`: all of these must hold on the day. `after`: standing jobs that come first on the same day. `waits_days`:
    for how long a missed one may wait without harm. `amount`: fixed, in the keeper's words. `who`: none is anyone.
    `asks`: what is measured by doing it.
    """

    id: str
    pond: str
    text: Line = "A job"
    texts: dict[Slug, Line] = {}
    place: Line = "At the water"
    recur: Recurrence = EveryDay()
    windows: Annotated[dict[Slug, Window], Meta(min_length=1, max_length=6)] = field(default_factory=_all_day)
    season: Season | None = None
    only_if: Annotated[tuple[Condition, ...], Meta(max_length=4)] = ()
    after: Annotated[tuple[Slug, ...], Meta(max_length=8)] = ()
    shape: Shape = "plain"
    amount: Line | None = None
    asks: Annotated[tuple[Asks, ...], Meta(max_length=8)] = ()
    starts_on: datetime.date | None = None
    serious: bool = False
    waits_days: Annotated[int, Meta(ge=0, le=90)] = 0
    why: Line | None = None
    who: Annotated[tuple[Uuid, ...], Meta(max_length=8)] = ()
    cautions: Annotated[tuple[Words, ...], Meta(max_length=4)] = ()
    how: Words | None = None
    minutes: Annotated[int, Meta(ge=0, le=600)] = 2
    order: Annotated[int, Meta(ge=0, le=10_000)] = 100
    setting_c: Annotated[float, Meta(ge=0, le=32)] | None = None
    service: KitService | None = None
    kit: Slug | None = None
    picture: Sha256 | None = None
    active: bool = True
