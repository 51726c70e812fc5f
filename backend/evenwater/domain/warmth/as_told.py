"""A pond's heat as its keeper tells it: the prior that its own temperatures then put right, and what was assumed."""

from collections.abc import Sequence
from math import hypot
from typing import Final

from msgspec import Struct

from evenwater.domain.fold import Seen
from evenwater.domain.kit import Cover, Shell
from evenwater.domain.pond import Pond
from evenwater.domain.units import SECONDS_PER_DAY
from evenwater.domain.warmth.heat.climate import yearly_mean_c
from evenwater.domain.warmth.heat.cover import cover_heat
from evenwater.domain.warmth.heat.heat_balance import HeatModel
from evenwater.domain.warmth.heat.shell_loss import shell_loss
from evenwater.domain.warmth.heat.stored_heat import capacity_j_per_k, heat_capacity_j_per_m3_k
from evenwater.domain.warmth.pond_air import read

# What a cover loses beside its sheet, through gaps and edges; what of the sun ends in the water. Common practice, no
# source; the pond's own temperatures put both right.
_GAPS, _SUN_TAKEN = 1.15, 0.9
_OPEN_SUN: Final = 0.88
_MOST_GROUND: Final = 0.6
_DRY_AIR_KG_PER_L: Final = 0.0012
_MEAN_C: Final = 14.0


class AsTold(Struct, frozen=True):
    """The model before any learning, the spread of the logarithm of its loss, and what was assumed, in sentences."""

    model: HeatModel
    sd_ln_ua: float
    assumed: tuple[str, ...]


def as_told(pond: Pond, facts: Sequence[Seen]) -> AsTold | None:
    """The pond's heat from what was told of it; None without a volume.

    Source:
        Walls and floor: `shell_loss`. Cover: `cover_heat`. The rest as stated above: common practice, no source.
    """
    if pond.volume_l is None:
        return None
    shell, cover = shell_loss(pond.shell or Shell(), pond.volume_l), cover_heat(pond.cover or Cover())
    # Of a surface wholly covered: what a part cover leaves bare is reckoned as open water by the balance.
    cover_w_per_k = shell.surface_m2 * cover.u_w_per_m2_k * _GAPS
    walls_w_per_k = shell.wall_ua_air_w_per_k + shell.ground_ua_w_per_k
    ua = cover_w_per_k + walls_w_per_k
    ground_c = yearly_mean_c(pond.latitude)
    model = HeatModel(
        capacity_j_per_k=capacity_j_per_k(pond.volume_l, _MEAN_C),
        surface_m2=shell.surface_m2,
        ua_w_per_k=ua,
        open_multiplier=0.9,
        sun_covered_m2=shell.surface_m2 * _SUN_TAKEN * cover.sun_fraction,
        sun_open_m2=shell.surface_m2 * _OPEN_SUN,
        ground_fraction=min(_MOST_GROUND, shell.ground_ua_w_per_k / ua),
        ground_c=ground_c,
        inflow_w_per_k=pond.inflow_l_per_day / 1000 * heat_capacity_j_per_m3_k(ground_c) / SECONDS_PER_DAY,
        inflow_c=_inflow_c(pond, facts, ground_c),
        gain_w=sum(one.power_w * one.duty_fraction * one.heats_fraction for one in pond.appliances),
        dry_air_kg_per_s=sum(one.air_l_per_min * one.duty_fraction for one in pond.appliances) / 60 * _DRY_AIR_KG_PER_L,
    )
    sd_ln_ua = hypot(cover_w_per_k * max(cover.sd_ln_u, 0.25), walls_w_per_k * shell.sd_ln_ua) / ua
    return AsTold(model, min(0.8, max(0.3, sd_ln_ua)), (*shell.assumed, *_assumed(pond, model)))


def _inflow_c(pond: Pond, facts: Sequence[Seen], ground_c: float) -> float:
    """How warm the trickle comes in: as last read, else as told, else as the ground is."""
    readings = [*read(facts, "temperature_c", "after_membrane"), *read(facts, "temperature_c", "mains")]
    if readings:
        return max(readings)[1]
    if pond.mains is not None and pond.mains.temperature_c is not None:
        return pond.mains.temperature_c
    return ground_c


def _assumed(pond: Pond, model: HeatModel) -> list[str]:
    said: list[str] = []
    if pond.cover is None:
        said.append("The cover is not told: taken as a clear multiwall sheet of 16 mm.")
    if not pond.appliances:
        said.append("Pumps are not told: none is taken to warm the water.")
    if pond.inflow_l_per_day and (pond.mains is None or pond.mains.temperature_c is None):
        said.append(f"The trickle is taken to come in at {model.inflow_c:.0f} °C.")
    return said
