"""The air in the filter house: whether its worst surface gets wet, what heat would keep it dry, and what costs less.

Vapour comes off open water and leaves with the air; heat comes off the water and the background heater. Steady state.
The mould criterion of dwellings (80 % at the surface) cannot be met so near water; the criterion here is dew.
"""

from typing import Final, Literal

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.errors import require_between
from evenwater.domain.kit import FilterHouse
from evenwater.domain.units import ZERO_CELSIUS_K
from evenwater.domain.warmth.heat.air import (
    AIR_C,
    dew_point_of_c,
    latent_heat_kj_per_kg,
    saturation_kpa,
    vapour_kpa,
)
from evenwater.domain.warmth.heat.condensation import surface_c, surface_share
from evenwater.domain.warmth.heat.surface import WATER_C, evaporation_w_per_m2

MARGIN_K: Final = 1.0
"""How much warmer than the dew point the worst surface is kept [K]. One to two; common practice, no source."""

HOURS_PER_MONTH: Final = 730.5
"""A twelfth of 365.25 days [h]."""

_HEAT_OF_AIR_WH_PER_M3_K = 0.33
_R_VAPOUR_KJ_PER_KG_K = 0.4615
_PANE_RSI = 0.13
# All of these are our own. Air moves over covered water at 0.05 m/s; still water warms air by its film and radiation.
_DRAUGHT_M_PER_S = 0.05
_WATER_FILM_W_PER_M2_K = 7.0
_VOLUME_M3, _UA_W_PER_M3_K = 12.0, 2.1
# Hotter than this nobody heats a shed; what lids and air can do.
_HOTTEST_C = 30.0
_LIDDED, _AIRED_PER_H, _MOST_AIR_PER_H = 0.9, 2.0, 4.0
_CLOSE_K = 0.001
_NEARLY_FULL = 0.98

Remedy = Literal["lid", "air", "lid_and_air", "heat"]


class HouseNow(Struct, frozen=True, kw_only=True):
    """Water, outside air, and the air inside where it is measured. [°C, –]."""

    water_c: float
    outside_c: float
    outside_humidity_fraction: float
    inside_c: float | None = None
    inside_humidity_fraction: float | None = None


class HouseAir(Struct, frozen=True, kw_only=True):
    """How it stands, or would stand, inside.

    `humidity_fraction` over 1: more vapour than the air holds; it runs down the walls. `margin_k`: worst surface less
    dew point. `needed_c`, `heater_w`, `energy_kwh_per_month`: inside air and steady heat that keep MARGIN_K, and what
    that takes a month; None where heat alone cannot.
    """

    inside_c: float
    vapour_kpa: float
    humidity_fraction: float
    dew_point_c: float
    surface_c: float
    margin_k: float
    condenses: bool
    needed_c: float | None
    heater_w: float | None
    energy_kwh_per_month: float | None


class RemedyTried(Struct, frozen=True):
    """What could be done, the house changed so, and how it would then stand without any more heat than now."""

    kind: Remedy
    says: str
    house: FilterHouse
    air: HouseAir


class HouseAnswer(Struct, frozen=True):
    """How it stands now; remedies, the cheapest to run first; what was assumed, in sentences."""

    now: HouseAir
    remedies: tuple[RemedyTried, ...]
    assumed: tuple[str, ...]


class _Sources(Struct, frozen=True):
    """What measured air shows: how much of the balance's vapour the open water gives [–], at most all of it; what comes
    from elsewhere, as splashing does [kg/(s kPa)]; other heat [W]."""

    off_water_fraction: float = 1.0
    elsewhere: float = 0.0
    heat_w: float = 0.0


def house_answer(house: FilterHouse, now: HouseNow) -> HouseAnswer:
    """Whether the filter house sweats, and what to do about it.

    Args:
        house: As its keeper tells it; volume and UA are assumed where they are not known.
        now: Water 0 to 45 °C, outside air -40 to 50 °C, humidity 0.01 to 1. Means of the coldest week tell most.

    Returns:
        See `HouseAnswer`. Lids come before air, and air before heat, as far as each costs less to run.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Vapour balance of a room with open water at rest (evaporation: Smith, Lof & Jones 1994), heat balance with 0.33
        Wh/(m³ K) of air; surface and dew point by ISO 13788:2012. No house was measured against it.
    """
    require_between("water_c", now.water_c, *WATER_C, "°C")
    require_between("outside_c", now.outside_c, *AIR_C, "°C")
    whole, assumed = _whole(house)
    sources = _measured(whole, now)
    as_it_is = _air(whole, now, sources)
    return HouseAnswer(as_it_is, _remedies(whole, now, sources, as_it_is), assumed)


def _whole(house: FilterHouse) -> tuple[FilterHouse, tuple[str, ...]]:
    """The house with what is not known filled in, and said."""
    said: list[str] = []
    volume_m3 = house.volume_m3
    if volume_m3 is None:
        volume_m3 = _VOLUME_M3
        said.append(f"The filter house's volume is not known: taken as {volume_m3:g} m³.")
    ua_w_per_k = house.ua_w_per_k
    if ua_w_per_k is None:
        ua_w_per_k = _UA_W_PER_M3_K * volume_m3
        said.append(f"Its loss is not known: taken as {ua_w_per_k:.0f} W/K, thin walls for its size.")
    rsi = house.rsi_m2_k_per_w
    if house.worst_u_w_per_m2_k * rsi > 1:
        # A pane's: the wider film, meant for corners, contradicts so high a U-value.
        rsi = _PANE_RSI
    return replace(house, volume_m3=volume_m3, ua_w_per_k=ua_w_per_k, rsi_m2_k_per_w=rsi), tuple(said)


def _measured(house: FilterHouse, now: HouseNow) -> _Sources:
    """What must be so if the air is as measured."""
    if now.inside_c is None:
        return _Sources()
    heat_w = _heat_w_per_k(house) * (now.inside_c - now.outside_c) - house.heater_w
    heat_w -= _open_m2(house) * _WATER_FILM_W_PER_M2_K * (now.water_c - now.inside_c)
    if now.inside_humidity_fraction is None:
        return _Sources(heat_w=heat_w)
    at_water, outside = _water_kpa(now), _outside_kpa(now)
    # Water gives vapour up to its own saturation, and no further.
    inside = min(vapour_kpa(now.inside_c, now.inside_humidity_fraction), _NEARLY_FULL * at_water)
    given = _air_out(house, now.inside_c) * max(0.0, inside - outside) / (at_water - inside)
    off_water = _off_water(house, now)
    if given < off_water:
        return _Sources(given / off_water, 0.0, heat_w)
    return _Sources(1.0, given - off_water, heat_w)


def _air(house: FilterHouse, now: HouseNow, sources: _Sources) -> HouseAir:
    """The steady state of a house."""
    share = surface_share(house.worst_u_w_per_m2_k, house.rsi_m2_k_per_w)
    inside_c = _inside_c(house, now, sources)
    inside_kpa = _inside_kpa(house, now, sources, inside_c)
    dew_c = dew_point_of_c(inside_kpa)
    worst_c = surface_c(inside_c, now.outside_c, share)
    needed_c = _needed_c(house, now, sources, share)
    heater_w = None if needed_c is None else max(0.0, _heat_needed_w(house, now, sources, needed_c))
    return HouseAir(
        inside_c=inside_c,
        vapour_kpa=inside_kpa,
        humidity_fraction=inside_kpa / saturation_kpa(inside_c),
        dew_point_c=dew_c,
        surface_c=worst_c,
        margin_k=worst_c - dew_c,
        condenses=worst_c < dew_c,
        needed_c=needed_c,
        heater_w=heater_w,
        energy_kwh_per_month=None if heater_w is None else heater_w / 1000 * HOURS_PER_MONTH,
    )


def _needed_c(house: FilterHouse, now: HouseNow, sources: _Sources, share: float) -> float | None:
    """The least inside temperature at which the worst surface keeps its margin; None where none up to 30 °C does."""

    def dry(inside_c: float) -> bool:
        dew_c = dew_point_of_c(_inside_kpa(house, now, sources, inside_c))
        return surface_c(inside_c, now.outside_c, share) >= dew_c + MARGIN_K

    low, high = now.outside_c, max(now.outside_c, _HOTTEST_C)
    if dry(low):
        return low
    if not dry(high):
        return None
    while high - low > _CLOSE_K:
        middle = (low + high) / 2
        low, high = (low, middle) if dry(middle) else (middle, high)
    return high


def _remedies(house: FilterHouse, now: HouseNow, sources: _Sources, as_it_is: HouseAir) -> tuple[RemedyTried, ...]:
    """Those that keep it dry with the least heat first; the rest by how little they sweat."""
    if as_it_is.margin_k >= MARGIN_K:
        return ()
    aired_per_h = min(_MOST_AIR_PER_H, max(_AIRED_PER_H, 2 * house.air_changes_per_h))
    lid, air = {"lidded_fraction": _LIDDED}, {"air_changes_per_h": aired_per_h}
    can_lid = house.open_water_m2 > 0 and house.lidded_fraction < _LIDDED
    can_air = house.air_changes_per_h < aired_per_h
    lids = f"lids on {100 * _LIDDED:.0f} % of the open water"
    airs = f"{aired_per_h:g} air changes an hour instead of {house.air_changes_per_h:g}"
    tried: list[RemedyTried] = []

    def attempt(kind: Remedy, says: str, changed: FilterHouse) -> None:
        tried.append(RemedyTried(kind, says, changed, _air(changed, now, sources)))

    if can_lid:
        attempt("lid", lids, replace(house, **lid))
    if can_air:
        attempt("air", airs, replace(house, **air))
    if can_lid and can_air:
        attempt("lid_and_air", f"{lids}, and {airs}", replace(house, **lid, **air))
    if as_it_is.heater_w is not None:
        says = f"a background heater of {as_it_is.heater_w:.0f} W, air at {as_it_is.needed_c:.0f} °C"
        attempt("heat", says, replace(house, heater_w=as_it_is.heater_w))
    return tuple(sorted(tried, key=_running_cost))


def _running_cost(one: RemedyTried) -> tuple[bool, float, int]:
    """Heat [W] a remedy still needs beside it; equal ones in the order of what they cost to make."""
    order = ("lid", "air", "lid_and_air", "heat").index(one.kind)
    return one.air.heater_w is None, round(one.air.heater_w or 0.0, 1), order


def _inside_c(house: FilterHouse, now: HouseNow, sources: _Sources) -> float:
    """Where heat in and out are equal."""
    loss, film = _heat_w_per_k(house), _open_m2(house) * _WATER_FILM_W_PER_M2_K
    warmed = loss * now.outside_c + film * now.water_c + house.heater_w + sources.heat_w
    return max(AIR_C[0], min(AIR_C[1], warmed / (loss + film)))


def _inside_kpa(house: FilterHouse, now: HouseNow, sources: _Sources, inside_c: float) -> float:
    """Where vapour in and out are equal."""
    given = sources.off_water_fraction * _off_water(house, now) + sources.elsewhere
    out = _air_out(house, inside_c)
    return (given * _water_kpa(now) + out * _outside_kpa(now)) / (given + out)


def _heat_needed_w(house: FilterHouse, now: HouseNow, sources: _Sources, inside_c: float) -> float:
    from_water_w = _open_m2(house) * _WATER_FILM_W_PER_M2_K * (now.water_c - inside_c)
    return _heat_w_per_k(house) * (inside_c - now.outside_c) - from_water_w - sources.heat_w


def _heat_w_per_k(house: FilterHouse) -> float:
    """Through the walls and with the air."""
    return (house.ua_w_per_k or 0.0) + _HEAT_OF_AIR_WH_PER_M3_K * house.air_changes_per_h * (house.volume_m3 or 0.0)


def _air_out(house: FilterHouse, inside_c: float) -> float:
    """Vapour that leaves with the air [kg/(s kPa)]."""
    air_m3_per_s = house.air_changes_per_h * (house.volume_m3 or 0.0) / 3600
    return air_m3_per_s / (_R_VAPOUR_KJ_PER_KG_K * (inside_c + ZERO_CELSIUS_K))


def _off_water(house: FilterHouse, now: HouseNow) -> float:
    """Vapour that comes off the open water [kg/(s kPa)]."""
    dry_kpa = 0.5 * _water_kpa(now)
    w_per_m2_kpa = evaporation_w_per_m2(now.water_c, dry_kpa, _DRAUGHT_M_PER_S) / (_water_kpa(now) - dry_kpa)
    return _open_m2(house) * w_per_m2_kpa / 1000 / latent_heat_kj_per_kg(now.water_c)


def _open_m2(house: FilterHouse) -> float:
    return house.open_water_m2 * (1 - house.lidded_fraction)


def _water_kpa(now: HouseNow) -> float:
    return saturation_kpa(now.water_c)


def _outside_kpa(now: HouseNow) -> float:
    return vapour_kpa(now.outside_c, now.outside_humidity_fraction)
