"""The plan: what the server works out and a device carries about, two weeks ahead.

Plain records; JSON keys are these names. A device does seven things with them and no other arithmetic (`today.py`).
"""

from datetime import date, datetime
from typing import Any, Literal

from msgspec import Struct

from evenwater.domain.away.hand_over import HandOver
from evenwater.domain.book.outlook import PondBook
from evenwater.domain.contact import Contact
from evenwater.domain.fish.outlook import PondFish
from evenwater.domain.kit import (
    Appliance,
    Cover,
    FeedSteps,
    FilterHouse,
    FoodStock,
    Heater,
    KitItem,
    SeasonSteps,
    Shell,
    Tariff,
)
from evenwater.domain.pond import CarbonBed, Mains, Membrane, Range
from evenwater.domain.quantities import Quantity
from evenwater.domain.rounds.starter.group import StarterGroup
from evenwater.domain.standing_job import Asks, DayPart, Shape
from evenwater.domain.warmth.outlook import PondWarmth
from evenwater.domain.water.outlook import PondWater
from evenwater.domain.workings import Workings

State = Literal["open", "stood_down", "held_back", "not_known"]
Load = Literal["light", "usual", "heavy"]
Holds = Literal["power_out", "water_running"]


class HoldBelow(Struct, frozen=True):
    """Readings under this are not dosed from at all, and why."""

    reading: float
    reason: str


class Chart(Struct, frozen=True):
    """Turns a reading into an amount where there is no signal.

    `rows`: (reading, grams, lowest and highest reading expected tomorrow after that amount), ascending by reading;
    straight lines between rows, flat outside. `equal_g`: grams of this chart's substance that one gram of another is
    worth. A reading counts for `good_for_h` hours. `no_reading_reason`: why nothing is given without a new reading.
    """

    quantity: str
    substance: str
    capful_g: float | None
    step: float
    good_for_h: float
    rows: tuple[tuple[float, float, float, float], ...]
    equal_g: dict[str, float]
    hold_below: HoldBelow | None
    no_reading_reason: str | None
    limit_reason: str
    enough_reason: str


class Job(Struct, frozen=True, kw_only=True):
    """One thing to do, once, in a window. `name` is what it is called whatever it asks today, `text` what it asks.

    `state` is what the plan knows: whether it is done, due or late is for whoever looks (`today.py`); `not_known`: what
    would tell has not been measured. `reason` says why it is wanted, not needed or held back, `source` where a rule
    that holds it back comes from. `waits_until`: a missed one may wait till then without harm; `serious_at`: from then
    on it matters. `held_while`: what holds it back while it lasts, whatever the plan knew. `fixed` jobs stand even when
    the plan is past its end. `unrounded_g` is the amount before it became capfuls. `next_windows`: for a job that comes
    so many days after it was done, the windows it would have on each date. `bag`: a helper's; the number of the bag
    that is given whole or not at all, and `limit_g_24h` is then the most for its date.
    """

    id: str
    standing_job: str
    due_on: date
    slot: str
    pond: str
    place: str
    part: DayPart
    name: str
    text: str
    opens_at: datetime
    closes_at: datetime
    lapses_at: datetime | None = None
    state: State = "open"
    reason: str = ""
    source: str | None = None
    serious: bool = False
    waits_until: datetime | None = None
    serious_at: datetime | None = None
    held_while: tuple[Holds, ...] = ()
    who: tuple[str, ...] = ()
    fixed: bool = True
    cautions: tuple[str, ...] = ()
    how: str | None = None
    shape: Shape = "plain"
    minutes: int = 0
    amount: str | None = None
    asks: tuple[Asks, ...] = ()
    picture: str | None = None
    kit: str | None = None
    bag: int | None = None
    feed_g: float | None = None
    amount_g: float | None = None
    unrounded_g: float | None = None
    tomorrow: tuple[float, float] | None = None
    setting_c: float | None = None
    limit_g_24h: float | None = None
    chart: Chart | None = None
    after_done_days: int | None = None
    next_windows: dict[date, tuple[datetime, datetime]] | None = None
    workings: Workings | None = None


class Day(Struct, frozen=True):
    """One date's jobs in walking order; `says`: what the order could not keep. `tag` changes when anything does."""

    date: date
    tag: str
    dawn_at: datetime | None
    dusk_at: datetime | None
    jobs: tuple[Job, ...]
    minutes: int = 0
    load: Load = "usual"
    says: tuple[str, ...] = ()


class PondInPlan(Struct, frozen=True):
    """What a device needs to know of a pond, and the settings its forms begin with; `ranges`: the keeper's own."""

    id: str
    name: str
    zone: str
    volume_l: float | None
    capful_g: float | None
    substance: str
    units: dict[str, str] = {}
    inflow_l_per_day: float = 0.0
    mains: Mains | None = None
    carbon: CarbonBed | None = None
    membrane: Membrane | None = None
    bypass_fraction: float = 0.0
    blend_for: str | None = None
    blend_target: float | None = None
    ranges: dict[str, Range] = {}
    latitude: float | None = None
    longitude: float | None = None
    shell: Shell | None = None
    cover: Cover | None = None
    heater: Heater | None = None
    appliances: tuple[Appliance, ...] = ()
    tariff: Tariff | None = None
    filter_house: FilterHouse | None = None
    weather_service: bool = False
    warm_low_c: float | None = None
    warm_high_c: float | None = None
    change_limit_c_per_day: float = 1.0
    season_floor_c: float = 12.0
    worth_per_day: float | None = None
    season: SeasonSteps | None = None
    places: tuple[str, ...] = ()
    kit: tuple[KitItem, ...] = ()
    feed_g_per_day: float | None = None
    feed_steps: FeedSteps | None = None
    feed_floor_c: float = 8.0
    food: FoodStock | None = None
    fish_count: int | None = None
    fish_mass_g: float | None = None
    quarantine_days: int = 28
    water_running_limit_min: float = 30.0
    on_duty: tuple[str, ...] = ()
    source_kh_dkh: float | None = None
    kh_target_dkh: float = 5.0
    kh_kit_step_dkh: float = 0.5
    ring: tuple[Contact, ...] = ()
    left_untold: tuple[str, ...] = ()


class Trouble(Struct, frozen=True):
    """Something is wrong: three first steps, then whom to ring."""

    id: str
    title: str
    steps: tuple[str, str, str]


class Setting(Struct, frozen=True):
    """One `set` to begin with, offered to a household that has none yet."""

    target: str
    field: str
    value: Any


class Notice(Struct, frozen=True, kw_only=True):
    """Something people must be told that is no job: a double dose, a message that did not go out, who is on it.

    `people`: whom it concerns; none is everybody. `answers`: the entries it is about. `alarm`: the one a keeper may
    still say to be on.
    """

    id: str
    what: Literal["double_dose", "not_sent", "not_taken", "restored", "no_backup", "alarm", "silence", "helper"]
    at: datetime
    text: str
    pond: str | None = None
    people: tuple[str, ...] = ()
    answers: tuple[str, ...] = ()
    alarm: str | None = None


class Plan(Struct, frozen=True, kw_only=True):
    """Two weeks of rounds. Amounts are good until `good_until`; after it only fixed jobs stand.

    `starter_groups`: a keeper's year on offer. `back`: the two weeks before today as they were shown.
    """

    made_at: datetime
    log_seq: int
    good_until: datetime
    zone: str
    person_names: dict[str, str]
    quantities: tuple[Quantity, ...]
    ponds: tuple[PondInPlan, ...]
    ring: tuple[Contact, ...]
    troubles: tuple[Trouble, ...]
    starter: tuple[Setting, ...]
    starter_groups: tuple[StarterGroup, ...] = ()
    water: tuple[PondWater, ...]
    warmth: tuple[PondWarmth, ...] = ()
    book: tuple[PondBook, ...] = ()
    fish: tuple[PondFish, ...] = ()
    back: tuple[Day, ...] = ()
    days: tuple[Day, ...]
    hand_overs: tuple[HandOver, ...] = ()
    notices: tuple[Notice, ...] = ()


class PlanNews(Plan, frozen=True, kw_only=True):
    """A plan as it is sent: `days` and pages of ponds are only those that changed, `dates` are all of the days.

    `starter_groups` are left out where their tag is known. `follows`: pages that rest on the newest entries are still
    being worked out; ask again in a moment.
    """

    dates: tuple[date, ...]
    starter_tag: str = ""
    follows: bool = False
