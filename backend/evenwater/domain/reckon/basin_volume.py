"""How much water there is, by the measures of the basin."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.errors import Missing
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.basin import (
    BASIN_SD_FRACTION,
    DEPTH_M,
    OTHER_WATER_L,
    SIDE_M,
    Shape,
    basin_volume_l,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Volume by measures"
SOURCE: Final = "Geometry of a rectangle and of an ellipse; how far measures may be off is our own rule of thumb."


class BasinVolumeInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The measures of the water, not of the walls."""

    length_m: Annotated[
        float, Meta(ge=SIDE_M[0], le=SIDE_M[1], description="Length of the water, or a round one's diameter [m].")
    ]
    width_m: Annotated[
        Annotated[float, Meta(ge=SIDE_M[0], le=SIDE_M[1])] | None,
        Meta(description="Its width [m]; not of a round one."),
    ] = None
    shape: Annotated[Shape, Meta(description="What it looks like from above.")]
    depth_m: Annotated[float, Meta(ge=DEPTH_M[0], le=DEPTH_M[1], description="Mean depth of the water [m].")]
    other_water_l: Annotated[
        float, Meta(ge=OTHER_WATER_L[0], le=OTHER_WATER_L[1], description="Water in filters and pipes [L].")
    ] = 0.0


class BasinVolumeOutput(Struct, frozen=True, kw_only=True):
    """The volume, and how sure it is."""

    volume_l: Annotated[float, Meta(ge=0, description="Water volume [L].")]
    volume_sd_l: Annotated[float, Meta(ge=0, description="Its standard deviation [L].")]


def reckon(given: BasinVolumeInput) -> tuple[BasinVolumeOutput, Workings]:
    """Area times depth, and what filters and pipes hold."""
    width_m = given.length_m if given.shape == "round" else given.width_m
    if width_m is None:
        raise Missing(f"the width of a pond that is {given.shape}", where="width_m", right="its width in metres")
    volume_l = basin_volume_l(given.shape, given.length_m, width_m, given.depth_m, given.other_water_l)
    sd_l = BASIN_SD_FRACTION * volume_l
    basin_l = volume_l - given.other_water_l
    workings = Workings(
        title=TITLE,
        inputs=(
            Given("shape", given.shape, ""),
            Given("length_m", given.length_m, "m"),
            Given("width_m", width_m, "m"),
            Given("depth_m", given.depth_m, "m"),
            Given("other_water_l", given.other_water_l, "L"),
        ),
        steps=(
            Step("surface", f"{basin_l / given.depth_m / 1000:.4g} m²"),
            Step("water in the basin = surface × depth", f"{basin_l:.5g} L"),
            Step("with filters and pipes", f"{volume_l:.5g} L"),
            Step("standard deviation: sides 1 %, depth 5 %, shape 5 %", f"{sd_l:.2g} L"),
        ),
        result=f"{volume_l:.0f} ± {sd_l:.0f} L",
        source=SOURCE,
    )
    return BasinVolumeOutput(volume_l=volume_l, volume_sd_l=sd_l), workings


CALCULATOR: Final = Calculator(
    name="basin-volume",
    title=TITLE,
    source=SOURCE,
    example=BasinVolumeInput(shape="rectangle", length_m=4.2, width_m=2.6, depth_m=1.4, other_water_l=600.0),
    output=BasinVolumeOutput,
    reckon=reckon,
)
