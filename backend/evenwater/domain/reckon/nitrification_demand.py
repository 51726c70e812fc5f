"""What a day's food takes from the water once its ammonia is nitrified."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.nitrification import (
    FEED_G_PER_DAY,
    PROTEIN_FRACTION,
    TAN_PER_PROTEIN,
    alkalinity_g_caco3,
    bicarbonate_g,
    oxygen_g,
    tan_g_n_per_day,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Nitrification demand"
SOURCE: Final = (
    "Timmons & Ebeling, Recirculating Aquaculture, for the ammonia (from memory); "
    "stoichiometry of nitrification, US EPA, Nitrogen Control (1993), from memory."
)
WARNING: Final = (
    "This is the most it can be. Ponds are said to use some 40 to 60 % of it (from memory): go by your own KH log."
)


class NitrificationDemandInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The food."""

    feed_g_per_day: Annotated[
        float, Meta(ge=FEED_G_PER_DAY[0], le=FEED_G_PER_DAY[1], description="Food eaten [g/day].")
    ]
    protein_fraction: Annotated[
        float, Meta(ge=PROTEIN_FRACTION[0], le=PROTEIN_FRACTION[1], description="Protein in it [–]; 0.38 is common.")
    ]


class NitrificationDemandOutput(Struct, frozen=True, kw_only=True):
    """What comes, and what it takes; all of it nitrified, none denitrified."""

    tan_g_per_day: Annotated[float, Meta(ge=0, description="Total ammonia nitrogen given off [g/day as N].")]
    alkalinity_g_caco3_per_day: Annotated[float, Meta(ge=0, description="Alkalinity used up [g/day as CaCO₃].")]
    bicarbonate_g_per_day: Annotated[float, Meta(ge=0, description="Pure sodium bicarbonate for it [g/day].")]
    oxygen_g_per_day: Annotated[float, Meta(ge=0, description="Oxygen the filter uses for it [g/day].")]


def reckon(given: NitrificationDemandInput) -> tuple[NitrificationDemandOutput, Workings]:
    """From food to ammonia, from ammonia to what nitrifying it takes."""
    nitrogen_g = tan_g_n_per_day(given.feed_g_per_day, given.protein_fraction)
    output = NitrificationDemandOutput(
        tan_g_per_day=nitrogen_g,
        alkalinity_g_caco3_per_day=alkalinity_g_caco3(nitrogen_g),
        bicarbonate_g_per_day=bicarbonate_g(nitrogen_g),
        oxygen_g_per_day=oxygen_g(nitrogen_g),
    )
    workings = Workings(
        title=TITLE,
        inputs=(
            Given("feed_g_per_day", given.feed_g_per_day, "g/day"),
            Given("protein_fraction", given.protein_fraction, ""),
        ),
        steps=(
            Step(f"ammonia nitrogen = food × protein × {TAN_PER_PROTEIN:g}", f"{nitrogen_g:.4g} g a day"),
            Step(
                "alkalinity = two equivalents for each nitrogen, as calcium carbonate",
                f"{output.alkalinity_g_caco3_per_day:.4g} g a day",
            ),
            Step("the same as sodium bicarbonate", f"{output.bicarbonate_g_per_day:.4g} g a day"),
            Step("oxygen = two O₂ for each nitrogen", f"{output.oxygen_g_per_day:.4g} g a day"),
        ),
        result=f"{output.bicarbonate_g_per_day:.3g} g of sodium bicarbonate a day at the most",
        source=SOURCE,
        warnings=(WARNING,),
    )
    return output, workings


CALCULATOR: Final = Calculator(
    name="nitrification-demand",
    title=TITLE,
    source=SOURCE,
    example=NitrificationDemandInput(feed_g_per_day=200.0, protein_fraction=0.38),
    output=NitrificationDemandOutput,
    reckon=reckon,
)
