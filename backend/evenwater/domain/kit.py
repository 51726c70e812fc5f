"""What the pond is made of and what stands about it, as its keeper tells it: walls, cover, heater, pumps, tariff.

Plain settings. None is not known; what needs it says so, or begins from the physical range of such ponds.
"""

from datetime import date
from typing import Annotated, Literal

from msgspec import Meta, Struct, field

from evenwater.domain.entries import Line, Slug

Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
Clock = Annotated[str, Meta(pattern=r"^([01]\d|2[0-3]):[0-5]\d$")]
Power = Annotated[float, Meta(ge=0, le=100_000)]
Rate = Annotated[float, Meta(ge=-100, le=1000)]
CopPoint = tuple[Annotated[float, Meta(ge=-30, le=45)], Annotated[float, Meta(ge=1, le=15)]]
Material = Literal[
    "xps",
    "eps",
    "pur",
    "mineral_wool",
    "concrete",
    "block",
    "brick",
    "timber",
    "plywood",
    "fibreglass",
    "liner",
    "soil",
]


class Layer(Struct, frozen=True, forbid_unknown_fields=True):
    """One layer of a wall or floor, from the water outwards; `conductivity_w_per_m_k` where the material's is known."""

    material: Material
    thickness_m: Annotated[float, Meta(gt=0, le=2)]
    conductivity_w_per_m_k: Annotated[float, Meta(ge=0.01, le=5)] | None = None


class Shell(Struct, frozen=True, forbid_unknown_fields=True):
    """The pond's shape and walls. A round one's length is its diameter; `surface_m2` where it is none of these.

    `below_ground_fraction`: how much of the walls stands in soil; the floor always does.
    """

    shape: Literal["rectangle", "round", "other"] = "rectangle"
    length_m: Annotated[float, Meta(gt=0, le=100)] | None = None
    width_m: Annotated[float, Meta(gt=0, le=100)] | None = None
    depth_m: Annotated[float, Meta(gt=0, le=10)] | None = None
    surface_m2: Annotated[float, Meta(gt=0, le=5000)] | None = None
    below_ground_fraction: Annotated[float, Meta(ge=0, le=1)] = 0.5
    walls: Annotated[tuple[Layer, ...], Meta(max_length=8)] = ()
    floor: Annotated[tuple[Layer, ...], Meta(max_length=8)] = ()


class Cover(Struct, frozen=True, forbid_unknown_fields=True):
    """The cover: a clear multiwall sheet by its thickness, or an opaque one; `u_w_per_m2_k` where its maker tells it.

    `covered_fraction`: how much of the surface lies under it when it is on.
    """

    kind: Literal["multiwall", "opaque"] = "multiwall"
    thickness_mm: Annotated[float, Meta(ge=4, le=200)] = 16.0
    u_w_per_m2_k: Annotated[float, Meta(ge=0.1, le=10)] | None = None
    covered_fraction: Annotated[float, Meta(ge=0.1, le=1)] = 1.0


class Heater(Struct, frozen=True, forbid_unknown_fields=True):
    """What warms the water. `power_w` is heat given; a heat pump draws less by its COP at an air temperature [°C].

    The thermostat moves by `step_c` and lets the water fall `differential_c` below its setting before it heats.
    `time_switch`: heats only in the tariff's cheapest windows by itself; without, settings are made by hand.
    """

    kind: Literal["electric", "heat_pump"] = "electric"
    power_w: Annotated[float, Meta(gt=0, le=100_000)] = 3000.0
    step_c: Annotated[float, Meta(ge=0.1, le=2)] = 0.5
    differential_c: Annotated[float, Meta(ge=0, le=3)] = 0.3
    time_switch: bool = True
    cop: Annotated[tuple[CopPoint, ...], Meta(max_length=8)] = ()
    min_run_min: Annotated[float, Meta(ge=0, le=240)] = 0.0


class Appliance(Struct, frozen=True, forbid_unknown_fields=True):
    """Another thing that draws current: a pump, an air pump, a lamp. `heats_fraction`: how much of it warms water."""

    name: Line
    power_w: Power
    duty_fraction: Annotated[float, Meta(ge=0, le=1)] = 1.0
    heats_fraction: Annotated[float, Meta(ge=0, le=1)] = 0.0
    air_l_per_min: Annotated[float, Meta(ge=0, le=5000)] = 0.0


class TariffWindow(Struct, frozen=True, forbid_unknown_fields=True):
    """When in the day another rate holds, over midnight too; on days of its beginning, all when none are named."""

    begins: Clock = field(name="from")
    ends: Clock = field(name="to")
    rate_per_kwh: Rate
    days: Annotated[tuple[Weekday, ...], Meta(max_length=7)] = ()


class Tariff(Struct, frozen=True, forbid_unknown_fields=True):
    """What a kWh costs when, by which clock. `currency` is a word or sign put before amounts."""

    clock: Literal["local", "standard", "utc"] = "local"
    windows: Annotated[tuple[TariffWindow, ...], Meta(max_length=48)] = ()
    otherwise_rate_per_kwh: Rate = 0.3
    standing_per_day: Annotated[float, Meta(ge=0, le=1000)] = 0.0
    currency: Annotated[str, Meta(min_length=1, max_length=4)] = "€"


class FilterHouse(Struct, frozen=True, forbid_unknown_fields=True):
    """The shed with the filters: its air, its envelope, its worst surface, the open water in it."""

    volume_m3: Annotated[float, Meta(gt=0, le=1000)] | None = None
    ua_w_per_k: Annotated[float, Meta(gt=0, le=1000)] | None = None
    worst_u_w_per_m2_k: Annotated[float, Meta(gt=0, le=7)] = 3.0
    rsi_m2_k_per_w: Annotated[float, Meta(gt=0, le=1)] = 0.25
    open_water_m2: Annotated[float, Meta(ge=0, le=200)] = 0.0
    lidded_fraction: Annotated[float, Meta(ge=0, le=1)] = 0.0
    air_changes_per_h: Annotated[float, Meta(ge=0.05, le=20)] = 0.5
    heater_w: Power = 0.0


class SparePart(Struct, frozen=True, forbid_unknown_fields=True):
    """A part kept for a piece of kit, and how many of it are in the cupboard."""

    name: Line
    held: Annotated[int, Meta(ge=0, le=1000)] = 0


class KitItem(Struct, frozen=True, forbid_unknown_fields=True):
    """A pump, a filter, a cartridge … with what is needed to reckon its hours and litres where it has no counter.

    Each is set by itself, target `kit/ID`, so that what two keepers tell of two of them without signal both stands.
    `spares`: whole ones in the cupboard; `parts`: those kept for it, such as seals.
    """

    id: Slug
    name: Line
    kind: Literal[
        "pump", "air_pump", "filter", "drum", "prefilter", "cartridge", "membrane", "heater", "lamp", "probe", "other"
    ] = "other"
    place: Line | None = None
    fitted_on: date | None = None
    hours_per_day: Annotated[float, Meta(ge=0, le=24)] = 24.0
    flow_l_per_day: Annotated[float, Meta(ge=0, le=10_000_000)] | None = None
    spares: Annotated[int, Meta(ge=0, le=1000)] = 0
    parts: Annotated[tuple[SparePart, ...], Meta(max_length=12)] = ()
    removed: bool = False


class FeedSteps(Struct, frozen=True, forbid_unknown_fields=True):
    """Feeding begun again in spring: a share of the usual food from `starts_on`, a step more every so many days."""

    starts_on: date
    first_fraction: Annotated[float, Meta(gt=0, le=1)] = 0.25
    step_fraction: Annotated[float, Meta(gt=0, le=1)] = 0.25
    days_per_step: Annotated[int, Meta(ge=1, le=30)] = 5


class FoodStock(Struct, frozen=True, forbid_unknown_fields=True):
    """What food there was when it was counted [g], and its price per kilogram where the keeper tells it.

    Counted anew with every bag; what was fed since is taken off.
    """

    stock_g: Annotated[float, Meta(ge=0, le=10_000_000)]
    counted_on: date
    name: Line | None = None
    price_per_kg: Annotated[float, Meta(ge=0, le=10_000)] | None = None


class SeasonSteps(Struct, frozen=True, forbid_unknown_fields=True):
    """A step-down or step-up the keeper has agreed to: settings from `from_c` to `to_c`, a step every so many days."""

    from_c: Annotated[float, Meta(ge=1, le=32)]
    to_c: Annotated[float, Meta(ge=1, le=32)]
    starts_on: date
    degrees_per_step: Annotated[float, Meta(ge=0.1, le=3)] = 1.0
    days_per_step: Annotated[float, Meta(ge=1, le=30)] = 3.0
