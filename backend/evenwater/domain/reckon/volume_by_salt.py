"""How much water there is, by the conductivity a known amount of salt adds."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.salt import (
    EC25_AFTER_US_PER_CM,
    EC25_BEFORE_US_PER_CM,
    PURITY_FRACTION,
    SALT_G,
    us_per_cm_per_g_per_l,
    volume_by_salt_l,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Volume by salt"
SOURCE: Final = "Mass balance; conductivity per gram of salt from PHREEQC (phreeqpython 1.6.2)."
CAUTION: Final = "Shut the trickle until the second reading, and let the pump mix for some hours."


class VolumeBySaltInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The salt, and the conductivity before and after."""

    salt_g: Annotated[float, Meta(ge=SALT_G[0], le=SALT_G[1], description="Salt put in [g].")]
    purity_fraction: Annotated[
        float,
        Meta(ge=PURITY_FRACTION[0], le=PURITY_FRACTION[1], description="Share that is sodium chloride [–]."),
    ]
    ec25_before_us_per_cm: Annotated[
        float,
        Meta(
            ge=EC25_BEFORE_US_PER_CM[0],
            le=EC25_BEFORE_US_PER_CM[1],
            description="Conductivity at 25 °C before [µS/cm].",
        ),
    ]
    ec25_after_us_per_cm: Annotated[
        float,
        Meta(
            ge=EC25_AFTER_US_PER_CM[0],
            le=EC25_AFTER_US_PER_CM[1],
            description="Conductivity at 25 °C once mixed [µS/cm]; some hundred more than before is best.",
        ),
    ]


class VolumeBySaltOutput(Struct, frozen=True, kw_only=True):
    """The volume, and how sure it is."""

    volume_l: Annotated[float, Meta(ge=0, description="Water volume [L].")]
    volume_sd_l: Annotated[float, Meta(ge=0, description="Its standard deviation [L].")]


def reckon(given: VolumeBySaltInput) -> tuple[VolumeBySaltOutput, Workings]:
    """Salt over the rise of salinity it made."""
    volume_l, sd_l = volume_by_salt_l(
        given.salt_g, given.purity_fraction, given.ec25_before_us_per_cm, given.ec25_after_us_per_cm
    )
    rise = given.ec25_after_us_per_cm - given.ec25_before_us_per_cm
    slope = us_per_cm_per_g_per_l(rise)
    workings = Workings(
        title=TITLE,
        inputs=(
            Given("salt_g", given.salt_g, "g"),
            Given("purity_fraction", given.purity_fraction, ""),
            Given("ec25_before_us_per_cm", given.ec25_before_us_per_cm, "µS/cm"),
            Given("ec25_after_us_per_cm", given.ec25_after_us_per_cm, "µS/cm"),
        ),
        steps=(
            Step("rise of conductivity", f"{rise:.4g} µS/cm"),
            Step("conductivity that a gram of salt per litre brings there", f"{slope:.0f} µS/cm"),
            Step("rise of salinity = the one over the other", f"{rise / slope:.4g} g/L"),
            Step("volume = salt × purity / rise of salinity", f"{volume_l:.5g} L"),
            Step("standard deviation: scale 1 %, each reading 1 % or 3 µS/cm, kind of water 2 %", f"{sd_l:.2g} L"),
        ),
        result=f"{volume_l:.0f} ± {sd_l:.0f} L",
        source=SOURCE,
        warnings=(CAUTION,),
    )
    return VolumeBySaltOutput(volume_l=volume_l, volume_sd_l=sd_l), workings


CALCULATOR: Final = Calculator(
    name="volume-by-salt",
    title=TITLE,
    source=SOURCE,
    example=VolumeBySaltInput(
        salt_g=5000.0, purity_fraction=0.99, ec25_before_us_per_cm=420.0, ec25_after_us_per_cm=1000.0
    ),
    output=VolumeBySaltOutput,
    reckon=reckon,
)
