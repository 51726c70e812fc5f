"""How long water stays in the carbon, and how much has gone through."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.carbon_bed import BED_L, CONTACT_WANTED_MIN, FLOW_L_PER_MIN, HOURS, bed_volumes, contact_min
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Carbon contact time"
SOURCE: Final = "Definitions of empty-bed contact time and bed volumes."


class CarbonContactInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The bed, the flow through it and how long it runs."""

    bed_l: Annotated[float, Meta(ge=BED_L[0], le=BED_L[1], description="Carbon, all cartridges together [L].")]
    flow_l_per_min: Annotated[
        float,
        Meta(
            ge=FLOW_L_PER_MIN[0],
            le=FLOW_L_PER_MIN[1],
            description="Flow through it [L/min]; before a membrane, its reject too.",
        ),
    ]
    hours: Annotated[float, Meta(ge=HOURS[0], le=HOURS[1], description="How long it has run [h].")]


class CarbonContactOutput(Struct, frozen=True, kw_only=True):
    """Contact, and water treated."""

    contact_min: Annotated[float, Meta(ge=0, description="Time water has in the bed [min].")]
    bed_volumes: Annotated[float, Meta(ge=0, description="Water treated, in volumes of the bed [–].")]


def reckon(given: CarbonContactInput) -> tuple[CarbonContactOutput, Workings]:
    """Volume over flow, and flow times time over volume."""
    output = CarbonContactOutput(
        contact_min=contact_min(given.bed_l, given.flow_l_per_min),
        bed_volumes=bed_volumes(given.bed_l, given.flow_l_per_min, given.hours),
    )
    short = output.contact_min < CONTACT_WANTED_MIN
    workings = Workings(
        title=TITLE,
        inputs=(
            Given("bed_l", given.bed_l, "L"),
            Given("flow_l_per_min", given.flow_l_per_min, "L/min"),
            Given("hours", given.hours, "h"),
        ),
        steps=(
            Step("contact = bed / flow", f"{output.contact_min:.4g} min"),
            Step("bed volumes = flow × hours × 60 / bed", f"{output.bed_volumes:.5g}"),
        ),
        result=f"{output.contact_min:.3g} min in the carbon; {output.bed_volumes:.4g} bed volumes",
        source=SOURCE,
        warnings=(
            (f"Chloramine takes {CONTACT_WANTED_MIN:g} min or more (ISO 23500-2, from memory); test the outlet.",)
            if short
            else ()
        ),
    )
    return output, workings


CALCULATOR: Final = Calculator(
    name="carbon-contact",
    title=TITLE,
    source=SOURCE,
    example=CarbonContactInput(bed_l=30.0, flow_l_per_min=2.0, hours=24.0),
    output=CarbonContactOutput,
    reckon=reckon,
)
