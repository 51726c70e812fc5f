"""The calculators: each answers one question from its inputs alone, and shows its workings.

A new one is a module here that ends in `CALCULATOR = Calculator(...)`, and a line below.
"""

from typing import Any, Final

from evenwater.domain.reckon import (
    ammonia_limit,
    basin_volume,
    blend,
    buffer_dose,
    carbon_contact,
    carbonate_balance,
    condensation,
    conductivity_25,
    dew_point,
    flow_through,
    heat_energy,
    label_dose,
    nitrification_demand,
    nitrite_chloride,
    overnight_drop,
    oxygen_saturation,
    running_cost,
    salt_for_salinity,
    season_step,
    surface_loss,
    unionised_ammonia,
    volume_by_salt,
    wall_u_value,
)
from evenwater.domain.reckon.calculator import Calculator

CALCULATORS: Final[dict[str, Calculator[Any, Any]]] = {
    one.name: one
    for one in (
        buffer_dose.CALCULATOR,
        unionised_ammonia.CALCULATOR,
        oxygen_saturation.CALCULATOR,
        blend.CALCULATOR,
        flow_through.CALCULATOR,
        conductivity_25.CALCULATOR,
        carbon_contact.CALCULATOR,
        carbonate_balance.CALCULATOR,
        ammonia_limit.CALCULATOR,
        nitrification_demand.CALCULATOR,
        salt_for_salinity.CALCULATOR,
        label_dose.CALCULATOR,
        volume_by_salt.CALCULATOR,
        basin_volume.CALCULATOR,
        nitrite_chloride.CALCULATOR,
        heat_energy.CALCULATOR,
        wall_u_value.CALCULATOR,
        overnight_drop.CALCULATOR,
        surface_loss.CALCULATOR,
        running_cost.CALCULATOR,
        dew_point.CALCULATOR,
        condensation.CALCULATOR,
        season_step.CALCULATOR,
    )
}
