"""How much heat a wall of layers lets through."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import LIST_ITEMS, Calculator
from evenwater.domain.warmth.heat.layers import (
    CONDUCTIVITY,
    FILM_R,
    THICKNESS_M,
    resistance_m2_k_per_w,
    u_value_w_per_m2_k,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "U-value of a wall"
SOURCE: Final = (
    "ISO 6946:2017: one over the sum of the layers' thickness by conductivity and of the films on both sides."
)

Film = Annotated[float, Meta(ge=FILM_R[0], le=FILM_R[1])]


class WallLayer(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One layer."""

    thickness_m: Annotated[float, Meta(ge=THICKNESS_M[0], le=THICKNESS_M[1], description="Thickness [m].")]
    conductivity_w_per_m_k: Annotated[
        float,
        Meta(
            ge=CONDUCTIVITY[0],
            le=CONDUCTIVITY[1],
            description="Design conductivity [W/(m K)]: foam 0.033 to 0.040, timber 0.13, concrete 2.0.",
        ),
    ]


class WallUValueInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The layers, and what keeps heat in beside them."""

    layers: Annotated[
        list[WallLayer], Meta(min_length=1, max_length=LIST_ITEMS, description="The layers, in any order.")
    ]
    inside_r_m2_k_per_w: Annotated[
        Film, Meta(description="Film inside [m² K/W]: water 0, air at a wall 0.13, below a roof 0.10.")
    ]
    outside_r_m2_k_per_w: Annotated[Film, Meta(description="Film outside [m² K/W]: open air 0.04.")]


class WallUValueOutput(Struct, frozen=True, kw_only=True):
    """What passes."""

    u_w_per_m2_k: Annotated[float, Meta(ge=0, description="Heat through it, per area and degree [W/(m² K)].")]


def reckon(given: WallUValueInput) -> tuple[WallUValueOutput, Workings]:
    """The resistances, one behind the other."""
    each = [resistance_m2_k_per_w(one.thickness_m, one.conductivity_w_per_m_k) for one in given.layers]
    u_value = u_value_w_per_m2_k(sum(each, 0.0), given.inside_r_m2_k_per_w, given.outside_r_m2_k_per_w)
    output = WallUValueOutput(u_w_per_m2_k=u_value)
    return output, _workings(given, each, output)


def _workings(given: WallUValueInput, each: list[float], output: WallUValueOutput) -> Workings:
    layers = tuple(
        one
        for number, layer in enumerate(given.layers)
        for one in (
            Given(f"layers[{number}].thickness_m", layer.thickness_m, "m"),
            Given(f"layers[{number}].conductivity_w_per_m_k", layer.conductivity_w_per_m_k, "W/(m K)"),
        )
    )
    films = (
        Given("inside_r_m2_k_per_w", given.inside_r_m2_k_per_w, "m² K/W"),
        Given("outside_r_m2_k_per_w", given.outside_r_m2_k_per_w, "m² K/W"),
    )
    return Workings(
        title=TITLE,
        inputs=(*layers, *films),
        steps=(
            *(
                Step(
                    f"layer {number}: {layer.thickness_m:g} m / {layer.conductivity_w_per_m_k:g} W/(m K)",
                    f"{resistance:.4g} m² K/W",
                )
                for number, (layer, resistance) in enumerate(zip(given.layers, each, strict=True), 1)
            ),
            Step("all of it = inside + layers + outside", f"{1 / output.u_w_per_m2_k:.4g} m² K/W"),
            Step("U = 1 / all of it", f"{output.u_w_per_m2_k:.4g} W/(m² K)"),
        ),
        result=f"{output.u_w_per_m2_k:.3g} W/(m² K)",
        source=SOURCE,
        warnings=("For dry layers without bridges between them; wet insulation lets through more.",),
    )


CALCULATOR: Final = Calculator(
    name="wall-u-value",
    title=TITLE,
    source=SOURCE,
    example=WallUValueInput(
        layers=[
            WallLayer(thickness_m=0.08, conductivity_w_per_m_k=0.036),
            WallLayer(thickness_m=0.2, conductivity_w_per_m_k=1.9),
        ],
        inside_r_m2_k_per_w=0.0,
        outside_r_m2_k_per_w=0.04,
    ),
    output=WallUValueOutput,
    reckon=reckon,
)
