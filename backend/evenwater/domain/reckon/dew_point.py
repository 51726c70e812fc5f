"""At which temperature this air begins to shed water."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.warmth.heat.air import AIR_C, HUMIDITY, dew_point_c, saturation_kpa, vapour_kpa
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Dew point"
SOURCE: Final = "Alduchov & Eskridge (1996), J. Appl. Meteorol. 35, 601-609: Magnus form over water, and its inverse."


class DewPointInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The air."""

    temperature_c: Annotated[float, Meta(ge=AIR_C[0], le=AIR_C[1], description="Air temperature [°C].")]
    relative_humidity_fraction: Annotated[
        float, Meta(ge=HUMIDITY[0], le=HUMIDITY[1], description="Relative humidity over water [–].")
    ]


class DewPointOutput(Struct, frozen=True, kw_only=True):
    """Where it sheds water."""

    dew_point_c: Annotated[float, Meta(description="Dew point over water [°C], never above the air's own.")]


def reckon(given: DewPointInput) -> tuple[DewPointOutput, Workings]:
    """The temperature at which the vapour there is fills the air."""
    output = DewPointOutput(dew_point_c=dew_point_c(given.temperature_c, given.relative_humidity_fraction))
    return output, _workings(given, output)


def _workings(given: DewPointInput, output: DewPointOutput) -> Workings:
    full_kpa = saturation_kpa(given.temperature_c)
    held_kpa = vapour_kpa(given.temperature_c, given.relative_humidity_fraction)
    frost = ("Below 0 °C frost comes to a surface a little before its dew point.",) if output.dew_point_c < 0 else ()
    return Workings(
        title=TITLE,
        inputs=(
            Given("temperature_c", given.temperature_c, "°C"),
            Given("relative_humidity_fraction", given.relative_humidity_fraction, ""),
        ),
        steps=(
            Step("full air holds 0.61094 × e^(17.625 T / (T + 243.04))", f"{full_kpa:.4g} kPa"),
            Step("this air holds its humidity's share", f"{held_kpa:.4g} kPa"),
            Step("dew point = 243.04 g / (17.625 - g), g = ln(held / 0.61094)", f"{output.dew_point_c:.3f} °C"),
        ),
        result=f"{output.dew_point_c:.1f} °C",
        source=SOURCE,
        warnings=frost,
    )


CALCULATOR: Final = Calculator(
    name="dew-point",
    title=TITLE,
    source=SOURCE,
    example=DewPointInput(temperature_c=9.0, relative_humidity_fraction=0.82),
    output=DewPointOutput,
    reckon=reckon,
)
