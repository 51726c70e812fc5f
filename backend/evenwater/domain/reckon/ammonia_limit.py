"""How much total ammonia this water may hold, and which limit says so."""

from typing import Annotated, Final, Literal

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.ammonia_limits import (
    NH3_LIMIT_MG_PER_L,
    PH,
    TEMPERATURE_C,
    acute_tan_mg_n_per_l,
    chronic_tan_mg_n_per_l,
    tan_for_nh3_mg_n_per_l,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Ammonia limits"
SOURCE: Final = (
    "EPA 822-R-13-001 (2013), acute (trout and salmon absent) and chronic criterion; "
    "Directive 2006/44/EC for un-ionised ammonia (from memory), with Emerson et al. (1975)."
)
Governs = Literal["chronic", "acute", "nh3"]
WORDS: Final[dict[Governs, str]] = {
    "chronic": "EPA's limit of a month",
    "acute": "EPA's limit of an hour",
    "nh3": "the limit of un-ionised ammonia",
}


class AmmoniaLimitInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the limits depend on."""

    temperature_c: Annotated[
        float, Meta(ge=TEMPERATURE_C[0], le=TEMPERATURE_C[1], description="Water temperature [°C].")
    ]
    ph: Annotated[float, Meta(ge=PH[0], le=PH[1], description="pH [–]; the highest of the day decides.")]


class AmmoniaLimitOutput(Struct, frozen=True, kw_only=True):
    """Total ammonia nitrogen by each limit, and the strictest."""

    chronic_tan_mg_n_per_l: Annotated[float, Meta(ge=0, description="As a mean of thirty days [mg/L as N].")]
    acute_tan_mg_n_per_l: Annotated[float, Meta(ge=0, description="As a mean of one hour [mg/L as N].")]
    nh3_limit_tan_mg_n_per_l: Annotated[
        float, Meta(ge=0, description=f"Total that holds {NH3_LIMIT_MG_PER_L:g} mg/L of NH₃ [mg/L as N].")
    ]
    governs: Annotated[Governs, Meta(description="The strictest of the three.")]


def reckon(given: AmmoniaLimitInput) -> tuple[AmmoniaLimitOutput, Workings]:
    """Each limit, and the least of them."""
    water = (given.temperature_c, given.ph)
    limits: dict[Governs, float] = {
        "chronic": chronic_tan_mg_n_per_l(*water),
        "acute": acute_tan_mg_n_per_l(*water),
        "nh3": tan_for_nh3_mg_n_per_l(NH3_LIMIT_MG_PER_L, *water),
    }
    governs = min(limits, key=lambda one: limits[one])
    output = AmmoniaLimitOutput(
        chronic_tan_mg_n_per_l=limits["chronic"],
        acute_tan_mg_n_per_l=limits["acute"],
        nh3_limit_tan_mg_n_per_l=limits["nh3"],
        governs=governs,
    )
    workings = Workings(
        title=TITLE,
        inputs=(Given("temperature_c", given.temperature_c, "°C"), Given("ph", given.ph, "")),
        steps=(
            Step("EPA's limit, mean of thirty days; mussels make it strict for fish alone", _shown(limits["chronic"])),
            Step("EPA's limit, mean of one hour", _shown(limits["acute"])),
            Step(f"total that holds {NH3_LIMIT_MG_PER_L:g} mg/L of NH₃ here", _shown(limits["nh3"])),
        ),
        result=f"{_shown(limits[governs])}: {WORDS[governs]}",
        source=SOURCE,
    )
    return output, workings


def _shown(tan_mg_n_per_l: float) -> str:
    return f"{tan_mg_n_per_l:.3g} mg/L as N"


CALCULATOR: Final = Calculator(
    name="ammonia-limit",
    title=TITLE,
    source=SOURCE,
    example=AmmoniaLimitInput(temperature_c=20.0, ph=8.0),
    output=AmmoniaLimitOutput,
    reckon=reckon,
)
