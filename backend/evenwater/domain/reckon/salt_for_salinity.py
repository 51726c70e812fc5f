"""How much salt lifts the pond to a salinity."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.salt import PURITY_FRACTION, SALINITY_G_PER_L, VOLUME_L, salt_for_salinity_g
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Salt for a salinity"
SOURCE: Final = "Mass balance."
CAUTION: Final = (
    "Pure salt without anti-caking agent, dissolved first and spread over hours, never on a fish. "
    "Take zeolite out of the filter before. Plants suffer. Whether to salt at all is for you and a fish vet to say."
)


class SaltForSalinityInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The water, what is in it and what is wanted."""

    volume_l: Annotated[float, Meta(ge=VOLUME_L[0], le=VOLUME_L[1], description="Water volume [L].")]
    salinity_now_g_per_l: Annotated[
        float, Meta(ge=SALINITY_G_PER_L[0], le=SALINITY_G_PER_L[1], description="Salt in it now [g/L].")
    ]
    salinity_target_g_per_l: Annotated[
        float, Meta(ge=SALINITY_G_PER_L[0], le=SALINITY_G_PER_L[1], description="Salt wanted [g/L].")
    ]
    purity_fraction: Annotated[
        float,
        Meta(ge=PURITY_FRACTION[0], le=PURITY_FRACTION[1], description="Share that is sodium chloride [–]."),
    ]


class SaltForSalinityOutput(Struct, frozen=True, kw_only=True):
    """The salt."""

    salt_g: Annotated[float, Meta(ge=0, description="Salt to put in [g]; 0 if there is enough.")]


def reckon(given: SaltForSalinityInput) -> tuple[SaltForSalinityOutput, Workings]:
    """The missing salinity, times the volume."""
    missing = max(0.0, given.salinity_target_g_per_l - given.salinity_now_g_per_l)
    salt_g = salt_for_salinity_g(
        given.volume_l, given.salinity_now_g_per_l, given.salinity_target_g_per_l, given.purity_fraction
    )
    enough = "The salinity is there already; only a change of water lowers it."
    workings = Workings(
        title=TITLE,
        inputs=(
            Given("volume_l", given.volume_l, "L"),
            Given("salinity_now_g_per_l", given.salinity_now_g_per_l, "g/L"),
            Given("salinity_target_g_per_l", given.salinity_target_g_per_l, "g/L"),
            Given("purity_fraction", given.purity_fraction, ""),
        ),
        steps=(
            Step("missing = wanted - now, never below 0", f"{missing:.4g} g/L"),
            Step("salt = missing × volume / purity", f"{salt_g:.4g} g"),
        ),
        result=f"{salt_g / 1000:.3g} kg of salt",
        source=SOURCE,
        warnings=(CAUTION if salt_g > 0.0 else enough,),
    )
    return SaltForSalinityOutput(salt_g=salt_g), workings


CALCULATOR: Final = Calculator(
    name="salt-for-salinity",
    title=TITLE,
    source=SOURCE,
    example=SaltForSalinityInput(
        volume_l=16_800.0, salinity_now_g_per_l=0.2, salinity_target_g_per_l=1.0, purity_fraction=0.99
    ),
    output=SaltForSalinityOutput,
    reckon=reckon,
)
