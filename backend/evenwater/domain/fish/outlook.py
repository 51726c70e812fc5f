"""What the Fish page shows of one pond, worked out by the server: plain records, JSON keys are these names.

Lengths in cm, masses in g. A band holds what is estimated nine times in ten.
"""

from datetime import date, datetime
from typing import Literal

from msgspec import Struct

from evenwater.domain.entries import Appetite, LengthIs, Sign
from evenwater.domain.water.label_dose import KnownVolume
from evenwater.domain.workings import Workings

Gone = Literal["sold", "given", "died", "left"]


class Band(Struct, frozen=True):
    """An estimate: what is thought most likely, between its 5th and 95th percentile."""

    low: float
    middle: float
    high: float

    def shown(self) -> "Band":
        """In four figures: nobody reads a hundredth of a gram, and every digit is sent."""
        return Band(float(f"{self.low:.4g}"), float(f"{self.middle:.4g}"), float(f"{self.high:.4g}"))


class MeasureLine(Struct, frozen=True, kw_only=True):
    """One time a fish was measured; `entry` is its id.

    `length_total_cm`: its length with the tail fin, turned from standard where that was measured. `condition`: weight
    against what is usual for its length (Fulton's K), only where it was weighed. `doubts`: what is odd about it, in
    sentences; it is kept all the same. `counts`: whether growth is reckoned from it.
    """

    entry: str
    on: date
    session: str | None
    length_cm: float | None
    length_is: LengthIs | None
    length_total_cm: float | None
    weight_g: Band | None
    weighed: bool
    condition: float | None
    doubts: tuple[str, ...]
    counts: bool


class GrowthLine(Struct, frozen=True, kw_only=True):
    """From one session to the next: per day and per degree-day of the water; `degree_days` None is not known.

    `per_month_cm`: growth of the total length in 30 days [cm]. `gain_percent_per_day`: specific growth of the weight.
    """

    since: date
    on: date
    grown_cm: Band
    per_month_cm: Band
    gain_percent_per_day: Band
    degree_days: float | None
    per_1000_degree_days_cm: float | None


class Curve(Struct, frozen=True, kw_only=True):
    """A von Bertalanffy curve of the total length; `points`: (date, low, middle, high), for drawing."""

    l_inf_cm: Band
    k_per_year: Band
    says: str
    points: tuple[tuple[date, float, float, float], ...]


class AgainstPast(Struct, frozen=True, kw_only=True):
    """What a fish's own earlier lengths foretold of its last total length; `says` how it turned out."""

    on: date
    total_cm: Band
    says: str


class PhotoLine(Struct, frozen=True):
    """A photo of a fish by its sum, and the date it was taken on."""

    sum: str
    on: date


class SeenLine(Struct, frozen=True):
    """What was seen on a fish, or in the pond; `entry` is its id."""

    entry: str
    at: datetime
    on: date
    fish: tuple[str, ...]
    signs: tuple[Sign, ...]
    text: str | None


class FishState(Struct, frozen=True, kw_only=True):
    """A fish of the register, or a group, as it stands.

    `set_at`: the pond its settings are written at. `here`: how many of it are in this pond; 0: it was last here, and is
    `gone` since `gone_on`. `weight_g`: of one of them, today. `expect_*`: what its next length (as last named) and
    weight would nearly always lie between; outside it the device asks before it saves. `stands_out`: one sentence, or
    None. `says`: growth in a sentence.
    """

    id: str
    set_at: str
    name: str
    variety: str | None
    born_year: int | None
    sex: str | None
    origin: str | None
    marks: str | None
    picture: str | None
    count: int
    came_on: date | None
    here: int
    gone: Gone | None = None
    gone_on: date | None = None
    quarantine: bool = False
    measures: tuple[MeasureLine, ...] = ()
    weight_g: Band | None = None
    length_total_cm: float | None = None
    condition: float | None = None
    condition_says: str | None = None
    growth: tuple[GrowthLine, ...] = ()
    curve: Curve | None = None
    against_past: AgainstPast | None = None
    photos: tuple[PhotoLine, ...] = ()
    says: str = ""
    stands_out: str | None = None
    seen: tuple[SeenLine, ...] = ()
    expect_length_cm: tuple[float, float] | None = None
    expect_length_is: LengthIs | None = None
    expect_weight_g: tuple[float, float] | None = None
    workings: Workings | None = None


class ClosedFish(Struct, frozen=True):
    """A fish that was set up by mistake: off the list, and still known by name to whatever was recorded of it."""

    id: str
    name: str


class FishStock(Struct, frozen=True, kw_only=True):
    """All fish of a pond: number and mass; `says` what they rest on, or what is missing.

    `by_register`: worked out of the lengths of every fish there. `mass_then_g`: theirs when the usual food was set.
    """

    count: int | None
    mass_g: Band | None
    says: str
    by_register: bool = False
    mass_then_g: float | None = None
    workings: Workings | None = None


class FeedToday(Struct, frozen=True, kw_only=True):
    """Today's food [g]: `day_g` of the whole day, `left_g` of it still to give in `meals`, `fed_g` given.

    `state` and `reason` as of a job; nothing when it should be nothing. `kind`: which food, in words.
    """

    state: Literal["open", "stood_down", "held_back", "not_known"]
    day_g: float | None
    fed_g: float
    left_g: float | None
    meals: int
    kind: str
    reason: str
    appetite_says: str | None = None
    last_appetite: Appetite | None = None
    source: str | None = None
    workings: Workings | None = None


class FoodLeft(Struct, frozen=True, kw_only=True):
    """The food that is left [g], for how many days as it is fed now, and what a month of it costs."""

    left_g: float
    days_left: float | None
    cost_per_month: float | None
    currency: str
    low: bool
    says: str
    workings: Workings | None = None


class SignPattern(Struct, frozen=True, kw_only=True):
    """What several sightings have in common; never a diagnosis. `steps`: first aid that is safe for all."""

    title: str
    says: str
    steps: tuple[str, ...]
    entries: tuple[str, ...]


class PondFish(Struct, frozen=True, kw_only=True):
    """The fish of one pond; `tag` changes when anything in it does. `seen`: of the last weeks, newest first.

    `volume`: the water of the pond, from which a device reckons a product by its label.
    """

    pond: str
    tag: str
    fish: tuple[FishState, ...] = ()
    stock: FishStock | None = None
    feed: FeedToday | None = None
    food: FoodLeft | None = None
    seen: tuple[SeenLine, ...] = ()
    patterns: tuple[SignPattern, ...] = ()
    volume: KnownVolume | None = None
    closed: tuple[ClosedFish, ...] = ()
    says: tuple[str, ...] = ()
