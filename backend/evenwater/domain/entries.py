"""The facts that travel: what somebody did, measured, saw or decided, once written never changed.

Rules of this file:

- One envelope, one tagged union. `kind` is the tag; a kind's own fields stand beside the envelope's.
- An entry is append-only. A mistake is mended by a later entry (`take_back`), and both stay.
- `happened_at` is what the person meant, with the offset they lived in. Order never rests on it alone: the server
  places an entry by the phone's clock corrected for its skew (`placing.py`), and marks what cannot be true.
- `read_entries.py` reads and checks what a device sends; what passed is true to its docstring everywhere else.
"""

from datetime import date, datetime
from functools import lru_cache
from typing import Annotated, Literal, get_args
from zoneinfo import ZoneInfo

import msgspec
from msgspec import Meta, Struct

from evenwater.domain.errors import DomainError
from evenwater.domain.quantities import Point, WaterPoint

Uuid = Annotated[str, Meta(pattern=r"^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}\Z")]
Slug = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,39}\Z")]
Version = Annotated[int, Meta(ge=1, le=1_000_000)]
Words = Annotated[str, Meta(min_length=1, max_length=2000)]
Line = Annotated[str, Meta(min_length=1, max_length=200)]
Target = Annotated[
    str, Meta(pattern=r"^(pond|(job|hand-over|kit|fish)/[a-z0-9][a-z0-9-]{0,39}|range/[a-z0-9_]{1,40})\Z")
]
Sha256 = Annotated[str, Meta(pattern=r"^[0-9a-f]{64}\Z")]
Moment = Annotated[datetime, Meta(tz=True)]
Amount = Annotated[float, Meta(ge=0, le=100_000)]
Substance = Literal["sodium_bicarbonate", "potassium_bicarbonate"]
Part = Literal["flow", "air", "level", "fish"]
KitService = Literal[
    "carbon_agitated",
    "carbon_changed",
    "membrane_flushed",
    "membrane_cleaned",
    "membrane_changed",
    "prefilter_changed",
    "drum_rinsed",
    "filter_rinsed",
    "pump_serviced",
    "air_pump_serviced",
    "lamp_changed",
    "probe_calibrated",
    "kit_serviced",
]
FishPart = Literal["body", "fins", "eyes", "gills", "mouth"]
LengthIs = Literal["standard", "total"]
Sign = Literal[
    "flashing",
    "gasping",
    "isolating",
    "not_eating",
    "clamped_fins",
    "listless",
    "jumping",
    "spots",
    "wound",
    "swollen",
    "other",
]
Appetite = Literal["all", "some_left", "most_left"]
StartUpStep = tuple[Annotated[float, Meta(ge=0, le=1440)], Annotated[float, Meta(ge=0, le=60_000)]]


class Envelope(Struct, frozen=True, kw_only=True, tag_field="kind"):
    """What every entry says: which pond, when it happened, on which device, by whom; `photos` that go with it."""

    id: Uuid
    v: Version
    pond: Slug
    happened_at: Moment
    local_date: date
    zone: Annotated[str, Meta(max_length=64)]
    recorded_at: Moment
    device: Uuid
    author: Uuid
    photos: Annotated[tuple[Sha256, ...], Meta(max_length=6)] = ()


class Reading(Envelope, frozen=True, kw_only=True, tag="reading", forbid_unknown_fields=True):
    """A measured value of one quantity, in the unit of QUANTITIES; `step` is the kit's."""

    quantity: str
    value: float
    point: Point = "pond"
    step: Annotated[float, Meta(ge=1e-18, le=100_000)] | None = None


class Tick(Envelope, frozen=True, kw_only=True, tag="tick", forbid_unknown_fields=True):
    """A job done: `amount_g` [g] makes it the dose itself, `setting_c` [°C] the setting made, `feed_g` [g] the food.

    `appetite`: how much of the food was eaten.
    """

    standing_job: Slug
    due_on: date
    slot: Slug
    amount_g: Amount | None = None
    substance: Substance | None = None
    setting_c: Annotated[float, Meta(ge=0, le=40)] | None = None
    feed_g: Amount | None = None
    appetite: Appetite | None = None
    override_reason: Words | None = None


class Dose(Envelope, frozen=True, kw_only=True, tag="dose", forbid_unknown_fields=True):
    """Buffer given though no job asked for it [g]."""

    substance: Substance
    amount_g: Amount


class WaterChange(Envelope, frozen=True, kw_only=True, tag="water_change", forbid_unknown_fields=True):
    """Water let out and as much put in [L], of the kind that is found at `point`; "pond" is another pond's water."""

    volume_l: Annotated[float, Meta(gt=0, le=1_000_000)]
    point: WaterPoint = "mains"


class Feed(Envelope, frozen=True, kw_only=True, tag="feed", forbid_unknown_fields=True):
    """Food given [g]; without a protein share the pond's usual food."""

    feed_g: Amount
    protein_fraction: Annotated[float, Meta(ge=0, le=0.7)] | None = None


class Salt(Envelope, frozen=True, kw_only=True, tag="salt", forbid_unknown_fields=True):
    """Sodium chloride put into the water [g]."""

    salt_g: Annotated[float, Meta(ge=0, le=10_000_000)]
    purity_fraction: Annotated[float, Meta(gt=0.5, le=1)] = 1.0


class Service(Envelope, frozen=True, kw_only=True, tag="service", forbid_unknown_fields=True):
    """Work on the kit that no job asked for; a tick of a standing job with that `service` says the same.

    `text`: what was found and done, in the keeper's words.
    """

    service: KitService
    kit: Slug | None = None
    text: Words | None = None


class Meter(Envelope, frozen=True, kw_only=True, tag="meter", forbid_unknown_fields=True):
    """What a kit item's own counter shows: hours run [h], litres let through [L]."""

    kit: Slug
    hours: Annotated[float, Meta(ge=0, le=10_000_000)] | None = None
    volume_l: Annotated[float, Meta(ge=0, le=10_000_000_000)] | None = None


class Change(Envelope, frozen=True, kw_only=True, tag="change", forbid_unknown_fields=True):
    """Something altered about the pond or the kit, worth judging later.

    `jobs`: standing jobs whose intervals should tell; `quantities`: readings that should.
    """

    text: Words
    kit: Slug | None = None
    jobs: Annotated[tuple[Slug, ...], Meta(max_length=6)] = ()
    quantities: Annotated[tuple[Annotated[str, Meta(max_length=40)], ...], Meta(max_length=6)] = ()


class WaterRunning(Envelope, frozen=True, kw_only=True, tag="water_running", forbid_unknown_fields=True):
    """Water was opened into the pond (a hose, a refill), or shut again; serious after `limit_min` minutes."""

    running: bool
    dechlorinated: bool | None = None
    limit_min: Annotated[float, Meta(ge=1, le=1440)] | None = None


class Power(Envelope, frozen=True, kw_only=True, tag="power", forbid_unknown_fields=True):
    """The mains went out, or came back."""

    on: bool


class FishMove(Envelope, frozen=True, kw_only=True, tag="fish_move", forbid_unknown_fields=True):
    """Fish that went from one pond to another; from nowhere they are new, to nowhere they have left.

    `quarantine`: new fish kept apart, by themselves, in `to_pond`. `fish`: those of the register among them, each in
    `count`; of a group alone `count` may be fewer than it holds.
    """

    from_pond: Slug | None = None
    to_pond: Slug | None = None
    count: Annotated[int, Meta(ge=1, le=10_000)]
    mass_g: Annotated[float, Meta(gt=0, le=10_000_000)] | None = None
    quarantine: bool = False
    fish: Annotated[tuple[Slug, ...], Meta(max_length=200)] = ()
    how: Literal["moved", "new", "sold", "given", "died"] | None = None


class Mark(Struct, frozen=True, forbid_unknown_fields=True):
    """Something found on a fish that was lifted, and where."""

    where: FishPart
    text: Line


class FishMeasure(Envelope, frozen=True, kw_only=True, tag="fish_measure", forbid_unknown_fields=True):
    """A fish lifted and looked at: its length [cm], without (standard) or with the tail fin (total), its weight [g].

    Of a group it is one of them. `checked`: where it was looked at; `found`: what was found there. `bowl_s`: how long
    it was out of the pond [s], `water_c` the water in the bowl [°C]. `session`: the bowling session it belongs to.
    """

    fish: Slug
    length_cm: Annotated[float, Meta(ge=1, le=130)] | None = None
    length_is: LengthIs | None = None
    weight_g: Annotated[float, Meta(ge=0.1, le=60_000)] | None = None
    checked: Annotated[tuple[FishPart, ...], Meta(max_length=5)] = ()
    found: Annotated[tuple[Mark, ...], Meta(max_length=20)] = ()
    water_c: Annotated[float, Meta(ge=-1, le=40)] | None = None
    bowl_s: Annotated[float, Meta(ge=0, le=86_400)] | None = None
    session: Uuid | None = None
    text: Words | None = None


class FishSeen(Envelope, frozen=True, kw_only=True, tag="fish_seen", forbid_unknown_fields=True):
    """What somebody saw on fish that swim; without `fish` it was somewhere in the pond."""

    fish: Annotated[tuple[Slug, ...], Meta(max_length=40)] = ()
    signs: Annotated[tuple[Sign, ...], Meta(max_length=11)] = ()
    text: Words | None = None


class StartUp(Envelope, frozen=True, kw_only=True, tag="start_up", forbid_unknown_fields=True):
    """Permeate after the membrane began to run: (minutes since, conductivity at 25 °C [µS/cm]), and its flow."""

    steps: Annotated[tuple[StartUpStep, ...], Meta(min_length=1, max_length=60)]
    flow_l_per_min: Annotated[float, Meta(gt=0, le=1000)] | None = None


class CoverMove(Envelope, frozen=True, kw_only=True, tag="cover", forbid_unknown_fields=True):
    """The cover moved though no job asked for it: how much of the surface lies under it now [0 to 1]."""

    covered_fraction: Annotated[float, Meta(ge=0, le=1)]


class AirForecast(Envelope, frozen=True, kw_only=True, tag="air_forecast", forbid_unknown_fields=True):
    """What the forecast says, as somebody read it: the low of the night that follows `on`, the next day's high [°C]."""

    on: date
    low_c: Annotated[float, Meta(ge=-40, le=40)]
    high_c: Annotated[float, Meta(ge=-40, le=50)] | None = None


class NotDone(Envelope, frozen=True, kw_only=True, tag="not_done", forbid_unknown_fields=True):
    """A job was not done, and why."""

    standing_job: Slug
    due_on: date
    slot: Slug
    reason: Words


class Look(Envelope, frozen=True, kw_only=True, tag="look", forbid_unknown_fields=True):
    """All well at a glance, or what was not."""

    all_well: bool
    wrong: tuple[Part, ...] = ()
    trouble: Slug | None = None
    text: Words | None = None


class Note(Envelope, frozen=True, kw_only=True, tag="note", forbid_unknown_fields=True):
    """Free words."""

    text: Words


class Set(Envelope, frozen=True, kw_only=True, tag="set", forbid_unknown_fields=True):
    """A setting of a pond, standing job, kit, fish, range or hand-over, from a date on (None: it was always so)."""

    target: Target
    field: Slug | Annotated[str, Meta(pattern=r"^[a-z0-9_]{1,40}\Z")]
    value: msgspec.Raw
    effective_from: date | None = None


class TakeBack(Envelope, frozen=True, kw_only=True, tag="take_back", forbid_unknown_fields=True):
    """Withdraws an earlier entry; both stay in the log."""

    entry: Uuid


Entry = (
    Reading
    | Tick
    | Dose
    | NotDone
    | Look
    | Note
    | Set
    | TakeBack
    | WaterChange
    | Feed
    | Salt
    | Service
    | StartUp
    | CoverMove
    | AirForecast
    | Meter
    | Change
    | WaterRunning
    | Power
    | FishMove
    | FishMeasure
    | FishSeen
)
KINDS = frozenset(str(kind.__struct_config__.tag) for kind in get_args(Entry))


@lru_cache(maxsize=700)
def zone_named(name: str) -> ZoneInfo:
    """The IANA time zone of that name.

    Raises:
        DomainError: no such zone.
    """
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise DomainError(
            f"{name!r} is no time zone", where="zone", right="an IANA name, such as Europe/Berlin"
        ) from None
