"""Whether a wall or pane gets wet inside."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.warmth.heat.air import AIR_C, HUMIDITY, dew_point_c, vapour_kpa
from evenwater.domain.warmth.heat.condensation import (
    RSI_M2_K_PER_W,
    U_W_PER_M2_K,
    condenses,
    surface_c,
    surface_share,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Condensation on a surface"
SOURCE: Final = (
    "ISO 13788:2012, fRsi = 1 - U Rsi (films from memory: 0.25, panes 0.13 m² K/W); "
    "dew point by Alduchov & Eskridge (1996)."
)
UNITS: Final = {
    "inside_c": "°C",
    "relative_humidity_fraction": "",
    "outside_c": "°C",
    "u_w_per_m2_k": "W/(m² K)",
    "rsi_m2_k_per_w": "m² K/W",
}

Air = Annotated[float, Meta(ge=AIR_C[0], le=AIR_C[1])]


class CondensationInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The air on both sides, and what is between."""

    inside_c: Annotated[Air, Meta(description="Air inside [°C].")]
    relative_humidity_fraction: Annotated[
        float, Meta(ge=HUMIDITY[0], le=HUMIDITY[1], description="Relative humidity inside, over water [–].")
    ]
    outside_c: Annotated[Air, Meta(description="Air outside [°C].")]
    u_w_per_m2_k: Annotated[
        float, Meta(ge=U_W_PER_M2_K[0], le=U_W_PER_M2_K[1], description="U-value of the wall or pane [W/(m² K)].")
    ]
    rsi_m2_k_per_w: Annotated[
        float,
        Meta(
            ge=RSI_M2_K_PER_W[0],
            le=RSI_M2_K_PER_W[1],
            description="Film of air inside [m² K/W], the one in the U-value: walls 0.25 to be safe, panes 0.13.",
        ),
    ]


class CondensationOutput(Struct, frozen=True, kw_only=True):
    """The surface and the dew point, and which is the colder."""

    surface_c: Annotated[float, Meta(description="Temperature of the surface inside [°C].")]
    dew_point_c: Annotated[float, Meta(description="Dew point of the air inside [°C].")]
    condenses: Annotated[bool, Meta(description="Whether water, or frost below 0 °C, comes to the surface.")]


def reckon(given: CondensationInput) -> tuple[CondensationOutput, Workings]:
    """Steady state, one surface."""
    share = surface_share(given.u_w_per_m2_k, given.rsi_m2_k_per_w)
    at_c = surface_c(given.inside_c, given.outside_c, share)
    output = CondensationOutput(
        surface_c=at_c,
        dew_point_c=dew_point_c(given.inside_c, given.relative_humidity_fraction),
        condenses=condenses(at_c, vapour_kpa(given.inside_c, given.relative_humidity_fraction)),
    )
    return output, _workings(given, share, output)


def _workings(given: CondensationInput, share: float, output: CondensationOutput) -> Workings:
    wet = "wet" if output.surface_c >= 0 else "white with frost"
    state = f"gets {wet}" if output.condenses else "stays dry"
    return Workings(
        title=TITLE,
        inputs=tuple(Given(name, getattr(given, name), unit) for name, unit in UNITS.items()),
        steps=(
            Step("share of the warmth that reaches the surface = 1 - U × film", f"{share:.3f}"),
            Step("surface = outside + share × (inside - outside)", f"{output.surface_c:.2f} °C"),
            Step("dew point of the air inside", f"{output.dew_point_c:.2f} °C"),
        ),
        result=f"The surface at {output.surface_c:.1f} °C {state}: dew point {output.dew_point_c:.1f} °C",
        source=SOURCE,
    )


CALCULATOR: Final = Calculator(
    name="condensation",
    title=TITLE,
    source=SOURCE,
    example=CondensationInput(
        inside_c=9.0, relative_humidity_fraction=0.82, outside_c=-1.0, u_w_per_m2_k=1.8, rsi_m2_k_per_w=0.13
    ),
    output=CondensationOutput,
    reckon=reckon,
)
