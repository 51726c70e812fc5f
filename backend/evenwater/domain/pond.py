"""What is known of a pond, and which settings an entry of kind `set` may change.

The fields of `Pond` and `StandingJob` are the settings: a `set` names one, and its value must be of that field's type.
A field nobody has set is None or its default; what needs it says so instead of guessing.
"""

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta, Struct

from evenwater.domain.away.hand_over import HandOver
from evenwater.domain.contact import Contact
from evenwater.domain.entries import Line, Set, Slug, Substance, Uuid, zone_named
from evenwater.domain.errors import NotOneOf
from evenwater.domain.fish.register import Fish
from evenwater.domain.job_checks import check_job_setting
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
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.heater.tariff import check_tariff


class Mains(Struct, frozen=True, forbid_unknown_fields=True):
    """What comes out of the tap, from the supplier's report or measured; None is not known."""

    disinfectant: Literal["none", "free_chlorine", "chloramine"] = "free_chlorine"
    kh_dkh: Annotated[float, Meta(ge=0, le=25)] | None = None
    gh_dgh: Annotated[float, Meta(ge=0, le=40)] | None = None
    ec25_us_per_cm: Annotated[float, Meta(ge=0, le=5000)] | None = None
    nitrate_n_mg_per_l: Annotated[float, Meta(ge=0, le=50)] | None = None
    total_chlorine_ug_per_l: Annotated[float, Meta(ge=0, le=5000)] | None = None
    temperature_c: Annotated[float, Meta(ge=0, le=35)] | None = None


class CarbonBed(Struct, frozen=True, forbid_unknown_fields=True):
    """The carbon the mains water goes through: all its cartridges together.

    `limit_ug_per_l`: total chlorine after it at which it is to be agitated or changed. `service_days`: how often
    without any reading.
    """

    bed_l: Annotated[float, Meta(ge=0.01, le=2000)] | None = None
    limit_ug_per_l: Annotated[float, Meta(ge=5, le=500)] = 20.0
    service_days: Annotated[int, Meta(ge=1, le=400)] = 14


class Membrane(Struct, frozen=True, forbid_unknown_fields=True):
    """Reverse osmosis: share of dissolved matter held back, share of the feed that becomes permeate.

    `flush_limit_us_per_cm`: permeate after a start is waste until its conductivity is below this.
    """

    rejection_fraction: Annotated[float, Meta(ge=0.5, le=0.999)] = 0.95
    recovery_fraction: Annotated[float, Meta(ge=0.05, le=0.9)] = 0.33
    flush_limit_us_per_cm: Annotated[float, Meta(gt=0, le=1000)] = 30.0


class Range(Struct, frozen=True, kw_only=True):
    """A keeper's own cut points of one quantity, in its stored unit; None keeps the default."""

    act_below: float | None = None
    drift_below: float | None = None
    drift_above: float | None = None
    act_above: float | None = None


class Pond(Struct, frozen=True, kw_only=True):
    """A body of water and what its keeper has told of it.

    The trickle [L/day] is mains water through carbon, then membrane, where there are any; `bypass_fraction` of it goes
    round the membrane. `blend_for` and `blend_target`: what the trickle is wanted to be. `warm_low_c` to `warm_high_c`:
    the keeper's band of water temperature; `worth_per_day`: what holding it may cost in a day. `units`: quantity -> the
    unit it is shown in, where that is not the stored one; also "volume", "mass". `places`: in walking order.
    `fish_count` and `fish_mass_g`: what was in it when they were set; moves since then are entries. `feed_floor_c`:
    no food below it. `on_duty`: who hears first when something serious was not done, then the next. `left_untold`:
    which questions about the pond its keeper leaves unanswered, by name; nobody asks them again.
    """

    id: str
    name: Line = "Pond"
    zone: Annotated[str, Meta(min_length=1, max_length=64)] = "UTC"
    latitude: Annotated[float, Meta(ge=-66, le=66)] | None = None
    longitude: Annotated[float, Meta(ge=-180, le=180)] | None = None
    volume_l: Annotated[float, Meta(ge=100, le=1_000_000)] | None = None
    inflow_l_per_day: Annotated[float, Meta(ge=0, le=100_000)] = 0.0
    source_kh_dkh: Annotated[float, Meta(ge=0, le=25)] | None = None
    kh_target_dkh: Annotated[float, Meta(ge=3, le=10)] = 5.0
    kh_rise_limit_dkh: Annotated[float, Meta(gt=0, le=1)] = 1.0
    kh_kit_step_dkh: Annotated[float, Meta(ge=0.1, le=2)] = 0.5
    kh_stale_after_days: Annotated[float, Meta(ge=1, le=14)] = 7.0
    capful_g: Annotated[float, Meta(gt=0.5, le=2000)] | None = None
    substance: Substance = "sodium_bicarbonate"
    purity_fraction: Annotated[float, Meta(gt=0.5, le=1)] = 0.99
    altitude_m: Annotated[float, Meta(ge=-400, le=4000)] = 0.0
    evaporation_l_per_day: Annotated[float, Meta(ge=0, le=10_000)] = 0.0
    feed_g_per_day: Annotated[float, Meta(ge=0, le=100_000)] | None = None
    protein_fraction: Annotated[float, Meta(ge=0, le=0.7)] = 0.4
    mains: Mains | None = None
    carbon: CarbonBed | None = None
    membrane: Membrane | None = None
    bypass_fraction: Annotated[float, Meta(ge=0, le=1)] = 0.0
    blend_for: Literal["kh_dkh", "gh_dgh", "ec25_us_per_cm"] | None = None
    blend_target: Annotated[float, Meta(ge=0, le=5000)] | None = None
    shell: Shell | None = None
    cover: Cover | None = None
    heater: Heater | None = None
    appliances: Annotated[tuple[Appliance, ...], Meta(max_length=20)] = ()
    tariff: Tariff | None = None
    filter_house: FilterHouse | None = None
    weather_service: bool = False
    warm_low_c: Annotated[float, Meta(ge=2, le=32)] | None = None
    warm_high_c: Annotated[float, Meta(ge=2, le=34)] | None = None
    change_limit_c_per_day: Annotated[float, Meta(ge=0.2, le=3)] = 1.0
    season_floor_c: Annotated[float, Meta(ge=4, le=25)] = 12.0
    worth_per_day: Annotated[float, Meta(ge=0, le=10_000)] | None = None
    season: SeasonSteps | None = None
    places: Annotated[tuple[Line, ...], Meta(max_length=12)] = ()
    kit: Annotated[tuple[KitItem, ...], Meta(max_length=60)] = ()
    feed_steps: FeedSteps | None = None
    feed_floor_c: Annotated[float, Meta(ge=4, le=20)] = 8.0
    food: FoodStock | None = None
    fish_count: Annotated[int, Meta(ge=0, le=100_000)] | None = None
    fish_mass_g: Annotated[float, Meta(ge=0, le=100_000_000)] | None = None
    quarantine_days: Annotated[int, Meta(ge=7, le=120)] = 28
    water_running_limit_min: Annotated[float, Meta(ge=1, le=1440)] = 30.0
    units: Annotated[dict[str, Annotated[str, Meta(max_length=30)]], Meta(max_length=40)] = {}
    ring: tuple[Contact, ...] = ()
    on_duty: Annotated[tuple[Uuid, ...], Meta(max_length=8)] = ()
    left_untold: Annotated[tuple[Slug, ...], Meta(max_length=40)] = ()
    closed: bool = False


def _types(struct: type[Struct], fixed: set[str]) -> dict[str, Any]:
    return {one.encode_name: one.type for one in msgspec.structs.fields(struct) if one.encode_name not in fixed}


SETTINGS: dict[str, dict[str, Any]] = {
    "pond": _types(Pond, {"id"}),
    "job": _types(StandingJob, {"id", "pond"}),
    "kit": _types(KitItem, {"id"}),
    "fish": _types(Fish, {"id", "pond"}),
    "range": _types(Range, set()),
    "hand-over": _types(HandOver, {"id", "pond"}),
}


def setting_value(entry: Set) -> Any:
    """The value a `set` carries, as the type its field has.

    Raises:
        NotOneOf: no such field.
        DomainError: windows of a tariff overlap, or a job's rule, season or condition can never come true.
        msgspec.ValidationError: not a value of that field.
    """
    known = SETTINGS[entry.target.partition("/")[0]]
    if entry.field not in known:
        raise NotOneOf("field", entry.field, known)
    value = msgspec.json.decode(entry.value, type=known[entry.field])
    if entry.field == "zone":
        zone_named(value)
    if isinstance(value, Tariff):
        check_tariff(value)
    check_job_setting(entry.target.partition("/")[2], entry.field, value)
    return value
