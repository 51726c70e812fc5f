"""What a square metre of open water gives off."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.errors import require_between
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.warmth.heat.air import AIR_C, HUMIDITY, dew_point_c, saturation_kpa, vapour_kpa
from evenwater.domain.warmth.heat.surface import (
    EMISSIVITY,
    WATER_C,
    WIND_M_PER_S,
    convection_w_per_m2,
    evaporation_w_per_m2,
    longwave_w_per_m2,
    sky_emissivity,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Loss of open water"
SOURCE: Final = (
    "Evaporation: Smith, Lof & Jones (1994), Solar Energy 53, 3-7 (constants from memory); convection: Bowen (1926); "
    "sky: Berdahl & Martin (1984), Solar Energy 32, 663-664, cloud by our own share; "
    "vapour: Alduchov & Eskridge (1996)."
)
UNITS: Final = {
    "water_c": "°C",
    "air_c": "°C",
    "relative_humidity_fraction": "",
    "wind_m_per_s": "m/s",
    "cloud_fraction": "",
}


class SurfaceLossInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Water, air, wind and sky."""

    water_c: Annotated[float, Meta(ge=WATER_C[0], le=WATER_C[1], description="Water temperature [°C].")]
    air_c: Annotated[float, Meta(ge=AIR_C[0], le=AIR_C[1], description="Air temperature [°C].")]
    relative_humidity_fraction: Annotated[
        float, Meta(ge=HUMIDITY[0], le=HUMIDITY[1], description="Relative humidity of the air [–].")
    ]
    wind_m_per_s: Annotated[
        float,
        Meta(
            ge=WIND_M_PER_S[0],
            le=WIND_M_PER_S[1],
            description="Wind at the water [m/s]; behind a hedge a third of the weather station's.",
        ),
    ]
    cloud_fraction: Annotated[
        float, Meta(ge=EMISSIVITY[0], le=EMISSIVITY[1], description="Share of the sky that is clouded [–].")
    ]


class SurfaceLossOutput(Struct, frozen=True, kw_only=True):
    """The three ways heat leaves; below 0 where the water takes it up."""

    evaporation_w_per_m2: Annotated[float, Meta(description="Heat gone with vapour [W/m²].")]
    convection_w_per_m2: Annotated[float, Meta(description="Heat the air takes [W/m²].")]
    longwave_w_per_m2: Annotated[float, Meta(description="Heat radiated to the sky, net [W/m²].")]


def reckon(given: SurfaceLossInput) -> tuple[SurfaceLossOutput, Workings]:
    """Each by its own equation, under a free sky, at standard pressure."""
    require_between("air_c", given.air_c, *AIR_C, "°C")
    dew_c = dew_point_c(given.air_c, given.relative_humidity_fraction)
    # Berdahl & Martin end where dew points of habitable places do.
    sky = sky_emissivity(max(AIR_C[0], dew_c), given.cloud_fraction)
    air_kpa = vapour_kpa(given.air_c, given.relative_humidity_fraction)
    output = SurfaceLossOutput(
        evaporation_w_per_m2=evaporation_w_per_m2(given.water_c, air_kpa, given.wind_m_per_s),
        convection_w_per_m2=convection_w_per_m2(given.water_c, given.air_c, given.wind_m_per_s),
        longwave_w_per_m2=longwave_w_per_m2(given.water_c, given.air_c, sky),
    )
    return output, _workings(given, air_kpa, sky, output)


def _workings(given: SurfaceLossInput, air_kpa: float, sky: float, output: SurfaceLossOutput) -> Workings:
    whole = output.evaporation_w_per_m2 + output.convection_w_per_m2 + output.longwave_w_per_m2
    return Workings(
        title=TITLE,
        inputs=tuple(Given(name, getattr(given, name), unit) for name, unit in UNITS.items()),
        steps=(
            Step("vapour pressure at the water", f"{saturation_kpa(given.water_c):.4g} kPa"),
            Step("vapour pressure of the air = humidity × saturation", f"{air_kpa:.4g} kPa"),
            Step(
                "evaporation = (63.75 + 66.88 × wind) W/(m² kPa) × their difference",
                f"{output.evaporation_w_per_m2:.1f} W/m²",
            ),
            Step("convection = the same film × 0.0618 kPa/K × (water - air)", f"{output.convection_w_per_m2:.1f} W/m²"),
            Step("emissivity of the sky, from dew point and cloud", f"{sky:.3f}"),
            Step(
                "long-wave = 0.96 × 5.67e-8 × (water⁴ - emissivity × air⁴), in kelvin",
                f"{output.longwave_w_per_m2:.1f} W/m²",
            ),
        ),
        result=f"{whole:.0f} W/m² in all, without sun",
        source=SOURCE,
        warnings=("For quiet water under a free sky: splashing and bubbles lose more, walls and trees about it less.",),
    )


CALCULATOR: Final = Calculator(
    name="surface-loss",
    title=TITLE,
    source=SOURCE,
    example=SurfaceLossInput(
        water_c=18.0, air_c=6.0, relative_humidity_fraction=0.75, wind_m_per_s=0.8, cloud_fraction=0.4
    ),
    output=SurfaceLossOutput,
    reckon=reckon,
)
