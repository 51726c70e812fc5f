"""What can be measured: one name, unit and possible range each, and the other units people read it in.

The range is what a kit or probe can show at all, not what is good for fish. Outside it a value is a slip of the
thumb and is refused. `step` is the finest step of a common kit; - and + on the screen move by it. `usual` is what a
pond and its source water nearly always show (common practice, no source): outside it another unit is asked about.
`points` are where it can be measured; `shown_in` is the unit it is read in where nobody chose one.
"""

from typing import Final, Literal

import msgspec

from evenwater.domain.units import (
    MEQ_PER_L_PER_DKH,
    MG_CACO3_PER_L_PER_DKH,
    NH4_PER_NH4_N,
    NO2_PER_NO2_N,
    NO3_PER_NO3_N,
)


class OtherUnit(msgspec.Struct, frozen=True):
    """Another unit for the same: value in it = value × `per` + `offset`."""

    unit: str
    per: float
    offset: float = 0.0


Point = Literal["pond", "mains", "after_carbon", "after_membrane", "outside", "filter_house", "heater"]
WaterPoint = Literal["pond", "mains", "after_carbon", "after_membrane"]
WATER_POINTS: Final[tuple[WaterPoint, ...]] = ("pond", "mains", "after_carbon", "after_membrane")
AIR_POINTS: Final[tuple[Point, ...]] = ("outside", "filter_house")


class Quantity(msgspec.Struct, frozen=True):
    """A measured quantity. `low` to `high` in `unit`, and `usual` inside them, both ends allowed."""

    quantity: str
    label: str
    unit: str
    low: float
    high: float
    step: float
    decimals: int
    usual: tuple[float, float]
    others: tuple[OtherUnit, ...] = ()
    points: tuple[Point, ...] = WATER_POINTS
    shown_in: str | None = None


_CHLORINE_MG = (OtherUnit("mg/L", 0.001),)
_FAHRENHEIT = (OtherUnit("°F", 1.8, 32.0),)
_DEGREES = (OtherUnit("mg/L as CaCO₃", MG_CACO3_PER_L_PER_DKH),)

QUANTITIES: dict[str, Quantity] = {
    one.quantity: one
    for one in (
        Quantity("kh_dkh", "KH", "°dKH", 0, 25, 0.5, 1, (0.5, 15), (*_DEGREES, OtherUnit("meq/L", MEQ_PER_L_PER_DKH))),
        Quantity(
            "gh_dgh", "GH", "°dGH", 0, 40, 0.5, 1, (0.5, 25), (*_DEGREES, OtherUnit("mmol/L", MEQ_PER_L_PER_DKH / 2))
        ),
        Quantity("ph", "pH", "", 3, 11, 0.1, 1, (6, 9.5)),
        Quantity("temperature_c", "Water temperature", "°C", -1, 40, 0.1, 1, (1, 33), _FAHRENHEIT),
        Quantity(
            "tan_mg_n_per_l",
            "Ammonia (TAN)",
            "mg/L as N",
            0,
            20,
            0.25,
            2,
            (0, 5),
            (OtherUnit("mg/L as NH₄", NH4_PER_NH4_N),),
        ),
        Quantity(
            "nitrite_n_mg_per_l",
            "Nitrite",
            "mg/L as N",
            0,
            20,
            0.01,
            3,
            (0, 3),
            (OtherUnit("mg/L as NO₂", NO2_PER_NO2_N),),
        ),
        Quantity(
            "nitrate_n_mg_per_l",
            "Nitrate",
            "mg/L as N",
            0,
            300,
            1,
            1,
            (0, 100),
            (OtherUnit("mg/L as NO₃", NO3_PER_NO3_N),),
        ),
        Quantity("total_chlorine_ug_per_l", "Total chlorine", "µg/L", 0, 10_000, 10, 0, (3, 2000), _CHLORINE_MG),
        Quantity("free_chlorine_ug_per_l", "Free chlorine", "µg/L", 0, 10_000, 10, 0, (3, 2000), _CHLORINE_MG),
        Quantity(
            "ec25_us_per_cm",
            "Conductivity at 25 °C",
            "µS/cm",
            0,
            60_000,
            1,
            0,
            (2, 20_000),
            (OtherUnit("mS/cm", 0.001),),
        ),
        Quantity("oxygen_mg_per_l", "Oxygen", "mg/L", 0, 30, 0.1, 1, (0.5, 20)),
        Quantity("chloride_mg_per_l", "Chloride", "mg/L", 0, 20_000, 5, 0, (0, 3000)),
        Quantity("calcium_mg_per_l", "Calcium", "mg/L", 0, 1000, 5, 0, (0, 300)),
        Quantity("salinity_g_per_l", "Salt", "g/L", 0, 40, 0.1, 2, (0, 10), (OtherUnit("%", 0.1),)),
        Quantity("air_temperature_c", "Air temperature", "°C", -40, 50, 0.1, 1, (-20, 38), _FAHRENHEIT, AIR_POINTS),
        Quantity(
            "relative_humidity_fraction",
            "Air humidity",
            "",
            0,
            1,
            0.01,
            2,
            (0.2, 1),
            (OtherUnit("%", 100.0),),
            AIR_POINTS,
            "%",
        ),
        Quantity(
            "level_below_mark_mm",
            "Level below its mark",
            "mm",
            -500,
            2000,
            1,
            0,
            (-100, 400),
            (OtherUnit("cm", 0.1), OtherUnit("in", 1 / 25.4)),
            ("pond",),
        ),
        Quantity("heater_meter_kwh", "Heater meter", "kWh", 0, 10_000_000, 1, 1, (0, 10_000_000), (), ("heater",)),
    )
}
