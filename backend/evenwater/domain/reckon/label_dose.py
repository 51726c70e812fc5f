"""How much of a product, by the words of its own label."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.errors import require_between
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.basin import BASIN_SD_FRACTION
from evenwater.domain.water.label_dose import LABEL_AMOUNT, LABEL_PER_L, VOLUME_L, KnownVolume, LabelUnit, label_dose
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "A product by its label"
SOURCE: Final = "The label's own words, in proportion. The label is what counts, and local rules."
CAUTION: Final = (
    "Read the whole label first. Gloves and eye protection; never two products at once; keep from children. What "
    "treats fish is for a fish vet to say."
)
_Z90: Final = 1.6449


class LabelDoseInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the label says, and the water there is."""

    label_amount: Annotated[
        float, Meta(ge=LABEL_AMOUNT[0], le=LABEL_AMOUNT[1], description="What the label says [its unit].")
    ]
    label_unit: Annotated[LabelUnit, Meta(description="The label's unit.")]
    label_per_l: Annotated[
        float, Meta(ge=LABEL_PER_L[0], le=LABEL_PER_L[1], description="For how much water it says that [L].")
    ]
    volume_l: Annotated[float, Meta(ge=VOLUME_L[0], le=VOLUME_L[1], description="Water volume [L].")]
    volume_sd_l: Annotated[
        Annotated[float, Meta(ge=0, le=VOLUME_L[1])] | None,
        Meta(description="Its standard deviation [L]; without it that of a volume by measures."),
    ] = None


class LabelDoseOutput(Struct, frozen=True, kw_only=True):
    """The amount, in the label's unit."""

    amount: Annotated[float, Meta(ge=0, description="For the volume as given [label's unit].")]
    amount_low: Annotated[
        float, Meta(ge=0, description="At the low end of the volume, nine times in ten [label's unit].")
    ]
    amount_high: Annotated[
        float, Meta(ge=0, description="At the high end of the volume, nine times in ten [label's unit].")
    ]


def reckon(given: LabelDoseInput) -> tuple[LabelDoseOutput, Workings]:
    """So much for so many litres, times the litres."""
    sd_l = BASIN_SD_FRACTION * given.volume_l if given.volume_sd_l is None else given.volume_sd_l
    require_between("volume_l", given.volume_l, *VOLUME_L, "L")
    require_between("volume_sd_l", sd_l, 0.0, VOLUME_L[1], "L")
    low_l, high_l = max(VOLUME_L[0], given.volume_l - _Z90 * sd_l), min(VOLUME_L[1], given.volume_l + _Z90 * sd_l)
    volume = KnownVolume(low_l=low_l, volume_l=given.volume_l, high_l=high_l)
    dose = label_dose(given.label_amount, given.label_per_l, volume)
    unit = given.label_unit
    workings = Workings(
        title=TITLE,
        inputs=(
            Given("label_amount", given.label_amount, unit),
            Given("label_unit", unit, ""),
            Given("label_per_l", given.label_per_l, "L"),
            Given("volume_l", given.volume_l, "L"),
            Given("volume_sd_l", sd_l, "L", "given" if given.volume_sd_l is not None else "of a volume by measures"),
        ),
        steps=(
            Step("volume nine times in ten", f"{low_l:.5g} to {high_l:.5g} L"),
            Step("label's amount × volume / label's water", f"{dose.amount:.4g} {unit}"),
            Step("the same at the ends of the volume", f"{dose.low:.4g} to {dose.high:.4g} {unit}"),
        ),
        result=f"{dose.amount:.3g} {unit}",
        source=SOURCE,
        warnings=(CAUTION,),
    )
    return LabelDoseOutput(amount=dose.amount, amount_low=dose.low, amount_high=dose.high), workings


CALCULATOR: Final = Calculator(
    name="label-dose",
    title=TITLE,
    source=SOURCE,
    example=LabelDoseInput(
        label_amount=5.0, label_unit="mL", label_per_l=1000.0, volume_l=16_800.0, volume_sd_l=1200.0
    ),
    output=LabelDoseOutput,
    reckon=reckon,
)
