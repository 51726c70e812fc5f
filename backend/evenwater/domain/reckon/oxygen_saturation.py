"""How much oxygen this water can hold here."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.errors import Contradiction, Missing
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.units import HPA_PER_ATM
from evenwater.domain.water.oxygen import (
    ALTITUDE_M,
    PRESSURE_HPA,
    SALINITY_G_PER_L,
    TEMPERATURE_C,
    saturation_mg_per_l,
    standard_pressure_hpa,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Oxygen saturation"
SOURCE: Final = (
    "Benson & Krause (1984), Limnol. Oceanogr. 29, 620-632, as in APHA Standard Methods 4500-O; "
    "pressure at a height from the standard atmosphere."
)


class OxygenSaturationInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The water, and either its height above the sea or the air pressure there."""

    temperature_c: Annotated[
        float,
        Meta(ge=TEMPERATURE_C[0], le=TEMPERATURE_C[1], description="Water temperature [°C]."),
    ]
    salinity_g_per_l: Annotated[
        float,
        Meta(
            ge=SALINITY_G_PER_L[0],
            le=SALINITY_G_PER_L[1],
            description="Salts in the water [g/L]; 0 for fresh water.",
        ),
    ]
    altitude_m: Annotated[
        Annotated[float, Meta(ge=ALTITUDE_M[0], le=ALTITUDE_M[1])] | None,
        Meta(description="Height above the sea [m]. Give this or pressure_hpa."),
    ] = None
    pressure_hpa: Annotated[
        Annotated[float, Meta(ge=PRESSURE_HPA[0], le=PRESSURE_HPA[1])] | None,
        Meta(
            description="Air pressure at the pond [hPa], not reduced to sea level. Give this or altitude_m.",
        ),
    ] = None


class OxygenSaturationOutput(Struct, frozen=True, kw_only=True):
    """What the water holds in balance with the air."""

    oxygen_mg_per_l: Annotated[float, Meta(ge=0, description="Dissolved oxygen at saturation [mg/L].")]


def reckon(given: OxygenSaturationInput) -> tuple[OxygenSaturationOutput, Workings]:
    """Saturation under the pressure given, or the mean one at the height given."""
    pressure_hpa = _pressure_hpa(given)
    output = OxygenSaturationOutput(
        oxygen_mg_per_l=saturation_mg_per_l(given.temperature_c, given.salinity_g_per_l, pressure_hpa)
    )
    return output, _workings(given, pressure_hpa, output)


def _pressure_hpa(given: OxygenSaturationInput) -> float:
    if given.altitude_m is not None and given.pressure_hpa is not None:
        raise Contradiction(
            "altitude_m and pressure_hpa are both given",
            where="pressure_hpa",
            right="one of the two; the pressure, if it was measured at the pond",
        )
    if given.pressure_hpa is not None:
        return given.pressure_hpa
    if given.altitude_m is not None:
        return standard_pressure_hpa(given.altitude_m)
    raise Missing(
        "neither altitude_m nor pressure_hpa is given", where="altitude_m", right="one of the two; 0 m at the sea"
    )


def _workings(given: OxygenSaturationInput, pressure_hpa: float, output: OxygenSaturationOutput) -> Workings:
    at_sea_mg_per_l = saturation_mg_per_l(given.temperature_c, given.salinity_g_per_l, HPA_PER_ATM)
    if given.altitude_m is None:
        height_or_pressure = Given("pressure_hpa", pressure_hpa, "hPa")
        pressure_step = Step("air pressure, as given", f"{pressure_hpa:.1f} hPa")
    else:
        height_or_pressure = Given("altitude_m", given.altitude_m, "m")
        pressure_step = Step("mean air pressure at this height (standard atmosphere)", f"{pressure_hpa:.1f} hPa")
    return Workings(
        title=TITLE,
        inputs=(
            Given("temperature_c", given.temperature_c, "°C"),
            Given("salinity_g_per_l", given.salinity_g_per_l, "g/L"),
            height_or_pressure,
        ),
        steps=(
            Step(
                f"saturation at {HPA_PER_ATM:g} hPa, for this temperature and salinity", f"{at_sea_mg_per_l:.3f} mg/L"
            ),
            pressure_step,
            Step(
                "times what is left of that pressure beside the water's own vapour",
                f"{output.oxygen_mg_per_l:.3f} mg/L",
            ),
        ),
        result=f"{output.oxygen_mg_per_l:.2f} mg/L at saturation",
        source=SOURCE,
    )


CALCULATOR: Final = Calculator(
    name="oxygen-saturation",
    title=TITLE,
    source=SOURCE,
    example=OxygenSaturationInput(temperature_c=20.0, salinity_g_per_l=0.0, altitude_m=120.0),
    output=OxygenSaturationOutput,
    reckon=reckon,
)
