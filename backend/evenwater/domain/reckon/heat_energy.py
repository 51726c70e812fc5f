"""How much heat takes this water from one temperature to another."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.units import J_PER_KWH
from evenwater.domain.warmth.heat.stored_heat import WATER_C, heat_capacity_j_per_m3_k, heat_kwh
from evenwater.domain.water.buffer import VOLUME_L
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Heat for a change of temperature"
SOURCE: Final = "Density times specific heat of fresh water (IAPWS-95, a cubic through it), summed over the change."
DAILY_CHANGE_C: Final = 1.0
"""A change of temperature in a day that passes without remark [K]. Common practice, no source."""

Water = Annotated[float, Meta(ge=WATER_C[0], le=WATER_C[1])]


class HeatEnergyInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The water and its two temperatures."""

    volume_l: Annotated[float, Meta(ge=VOLUME_L[0], le=VOLUME_L[1], description="Water volume [L].")]
    from_c: Annotated[Water, Meta(description="Water temperature now [°C].")]
    to_c: Annotated[Water, Meta(description="Water temperature then [°C].")]


class HeatEnergyOutput(Struct, frozen=True, kw_only=True):
    """The heat, losses apart."""

    energy_kwh: Annotated[float, Meta(description="Heat the water takes up [kWh]; below 0 what it gives off.")]


def reckon(given: HeatEnergyInput) -> tuple[HeatEnergyOutput, Workings]:
    """The heat alone: what is lost meanwhile comes on top, and a heat pump draws less by its COP."""
    output = HeatEnergyOutput(energy_kwh=heat_kwh(given.volume_l, given.from_c, given.to_c))
    return output, _workings(given, output)


def _workings(given: HeatEnergyInput, output: HeatEnergyOutput) -> Workings:
    middle_c, change_k = (given.from_c + given.to_c) / 2, given.to_c - given.from_c
    per_m3 = heat_capacity_j_per_m3_k(middle_c) / J_PER_KWH
    fast = abs(change_k) > DAILY_CHANGE_C
    warning = (
        f"Change the water by at most {DAILY_CHANGE_C:g} °C a day (common practice, no source): "
        f"this is {abs(change_k):.3g} °C."
    )
    return Workings(
        title=TITLE,
        inputs=(
            Given("volume_l", given.volume_l, "L"),
            Given("from_c", given.from_c, "°C"),
            Given("to_c", given.to_c, "°C"),
        ),
        steps=(
            Step("change = to - from", f"{change_k:.4g} K"),
            Step(f"heat of a cubic metre at {middle_c:.3g} °C, in between", f"{per_m3:.4f} kWh per K"),
            Step("energy = volume / 1000 × that × change, summed along the way", f"{output.energy_kwh:.4g} kWh"),
        ),
        result=f"{output.energy_kwh:.4g} kWh of heat, losses apart",
        source=SOURCE,
        warnings=(warning,) if fast else (),
    )


CALCULATOR: Final = Calculator(
    name="heat-energy",
    title=TITLE,
    source=SOURCE,
    example=HeatEnergyInput(volume_l=17_400.0, from_c=14.0, to_c=15.0),
    output=HeatEnergyOutput,
    reckon=reckon,
)
