"""What can be measured: one name, unit and possible range each.

The range is what a kit or probe can show at all, not what is good for fish. Outside it a value is a slip of the
thumb and is refused. `step` is the finest step of a common kit; - and + on the screen move by it.
"""

from typing import Literal

import msgspec


class Quantity(msgspec.Struct, frozen=True):
    """A measured quantity. `low` to `high` in `unit`, both ends allowed."""

    quantity: str
    label: str
    unit: str
    low: float
    high: float
    step: float
    decimals: int


QUANTITIES: dict[str, Quantity] = {
    one.quantity: one
    for one in (
        Quantity("kh_dkh", "KH", "°dKH", 0, 25, 0.5, 1),
        Quantity("gh_dgh", "GH", "°dGH", 0, 40, 0.5, 1),
        Quantity("ph", "pH", "", 3, 11, 0.1, 1),
        Quantity("temperature_c", "Water temperature", "°C", -1, 40, 0.1, 1),
        Quantity("tan_mg_n_per_l", "Ammonia (TAN)", "mg/L as N", 0, 20, 0.25, 2),
        Quantity("nitrite_n_mg_per_l", "Nitrite", "mg/L as N", 0, 20, 0.01, 3),
        Quantity("nitrate_n_mg_per_l", "Nitrate", "mg/L as N", 0, 300, 1, 1),
        Quantity("total_chlorine_ug_per_l", "Total chlorine", "µg/L", 0, 10_000, 10, 0),
        Quantity("ec25_us_per_cm", "Conductivity at 25 °C", "µS/cm", 0, 60_000, 1, 0),
        Quantity("oxygen_mg_per_l", "Oxygen", "mg/L", 0, 30, 0.1, 1),
    )
}

Point = Literal["pond", "mains", "after_carbon", "after_membrane"]
