"""What a conductivity would be at 25 °C."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.conductivity import EC_US_PER_CM, SHARE_PER_KELVIN, TEMPERATURE_C, ec25_us_per_cm
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Conductivity at 25 °C"
SOURCE: Final = "Linear compensation at 1.91 % per kelvin, ISO 7888 / APHA 2510 (from memory)."


class Conductivity25Input(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a meter shows that does not compensate, and the warmth of the sample."""

    ec_us_per_cm: Annotated[
        float, Meta(ge=EC_US_PER_CM[0], le=EC_US_PER_CM[1], description="Conductivity as shown [µS/cm].")
    ]
    temperature_c: Annotated[
        float, Meta(ge=TEMPERATURE_C[0], le=TEMPERATURE_C[1], description="Temperature of the sample [°C].")
    ]


class Conductivity25Output(Struct, frozen=True, kw_only=True):
    """The same water at 25 °C."""

    ec25_us_per_cm: Annotated[float, Meta(ge=0, description="Conductivity at 25 °C [µS/cm].")]


def reckon(given: Conductivity25Input) -> tuple[Conductivity25Output, Workings]:
    """Conductivity over what warmth makes of it."""
    output = Conductivity25Output(ec25_us_per_cm=ec25_us_per_cm(given.ec_us_per_cm, given.temperature_c))
    factor = 1.0 + SHARE_PER_KELVIN * (given.temperature_c - 25.0)
    workings = Workings(
        title=TITLE,
        inputs=(Given("ec_us_per_cm", given.ec_us_per_cm, "µS/cm"), Given("temperature_c", given.temperature_c, "°C")),
        steps=(
            Step(f"factor = 1 + {SHARE_PER_KELVIN:g} × (temperature - 25)", f"{factor:.4f}"),
            Step("conductivity at 25 °C = as shown / factor", f"{output.ec25_us_per_cm:.1f} µS/cm"),
        ),
        result=f"{output.ec25_us_per_cm:.0f} µS/cm at 25 °C",
        source=SOURCE,
        warnings=("Only for a meter that does not compensate by itself; most do.",),
    )
    return output, workings


CALCULATOR: Final = Calculator(
    name="conductivity-25",
    title=TITLE,
    source=SOURCE,
    example=Conductivity25Input(ec_us_per_cm=380.0, temperature_c=15.0),
    output=Conductivity25Output,
    reckon=reckon,
)
