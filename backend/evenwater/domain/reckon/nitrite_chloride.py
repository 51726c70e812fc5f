"""Whether chloride shields from the nitrite there is, and the salt that would make it do so."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.nitrite import (
    CHLORIDE_MG_PER_L,
    NITRITE_N_MG_PER_L,
    SHIELD_RATIO,
    TARGET_RATIO,
    chloride_per_nitrite_n,
    salt_mg_per_l,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Chloride against nitrite"
SOURCE: Final = (
    "Kroupova et al. (2006), Vet. Med. 51, 423-431, for the shielding; "
    "ten to one is extension practice after Lewis & Morris (1986), from memory."
)
CAUTION: Final = (
    "Nitrite is brought down by less food and new water; salt only buys time. Dissolve it first, spread it over hours. "
    "Whether to salt at all is for you and a fish vet to say."
)


class NitriteChlorideInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Nitrite, chloride and the ratio wanted."""

    nitrite_n_mg_per_l: Annotated[
        float,
        Meta(
            ge=NITRITE_N_MG_PER_L[0],
            le=NITRITE_N_MG_PER_L[1],
            description="Nitrite nitrogen [mg/L as N]. A kit may show NO₂ instead: divide by 3.28 first.",
        ),
    ]
    chloride_mg_per_l: Annotated[
        float, Meta(ge=CHLORIDE_MG_PER_L[0], le=CHLORIDE_MG_PER_L[1], description="Chloride now [mg/L].")
    ]
    target_ratio: Annotated[
        float,
        Meta(
            ge=TARGET_RATIO[0],
            le=TARGET_RATIO[1],
            description=f"Chloride wanted for each nitrite nitrogen, by weight [–]; {SHIELD_RATIO:g} shields.",
        ),
    ]


class NitriteChlorideOutput(Struct, frozen=True, kw_only=True):
    """The ratio there is, and the salt for the one wanted."""

    ratio: Annotated[
        float | None, Meta(description="Chloride over nitrite nitrogen, by weight [–]; null without nitrite.")
    ]
    salt_mg_per_l: Annotated[float, Meta(ge=0, description="Pure salt to the ratio wanted [mg/L]; 0 if it is there.")]


def reckon(given: NitriteChlorideInput) -> tuple[NitriteChlorideOutput, Workings]:
    """The ratio, and what chloride is missing, as salt."""
    output = NitriteChlorideOutput(
        ratio=chloride_per_nitrite_n(given.nitrite_n_mg_per_l, given.chloride_mg_per_l),
        salt_mg_per_l=salt_mg_per_l(given.nitrite_n_mg_per_l, given.chloride_mg_per_l, given.target_ratio),
    )
    ratio = "no nitrite" if output.ratio is None else f"{output.ratio:.3g} to 1"
    wanted = given.target_ratio * given.nitrite_n_mg_per_l
    workings = Workings(
        title=TITLE,
        inputs=(
            Given("nitrite_n_mg_per_l", given.nitrite_n_mg_per_l, "mg/L as N"),
            Given("chloride_mg_per_l", given.chloride_mg_per_l, "mg/L"),
            Given("target_ratio", given.target_ratio, ""),
        ),
        steps=(
            Step("ratio = chloride / nitrite nitrogen, by weight", ratio),
            Step("chloride wanted = ratio wanted × nitrite nitrogen", f"{wanted:.4g} mg/L"),
            Step("salt = what is missing / the share of chloride in salt", f"{output.salt_mg_per_l:.4g} mg/L"),
        ),
        result=f"{ratio}; {output.salt_mg_per_l:.3g} mg/L of salt to {given.target_ratio:g} to 1",
        source=SOURCE,
        warnings=(CAUTION,) if output.salt_mg_per_l > 0.0 else (),
    )
    return output, workings


CALCULATOR: Final = Calculator(
    name="nitrite-chloride",
    title=TITLE,
    source=SOURCE,
    example=NitriteChlorideInput(nitrite_n_mg_per_l=2.0, chloride_mg_per_l=12.0, target_ratio=SHIELD_RATIO),
    output=NitriteChlorideOutput,
    reckon=reckon,
)
