"""What several waters make when poured together."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import LIST_ITEMS, Calculator
from evenwater.domain.water.buffer import KH_DKH
from evenwater.domain.water.mixing import EC25_US_PER_CM, FRACTION, GH_DGH, Water, blend
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Blend of waters"
SOURCE: Final = "Mass balance: what is conserved is the mean of the waters, weighted by their shares."


class BlendWater(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One water and its share."""

    fraction: Annotated[float, Meta(ge=FRACTION[0], le=FRACTION[1], description="Its share of the blend [–].")]
    kh_dkh: Annotated[float, Meta(ge=KH_DKH[0], le=KH_DKH[1], description="Carbonate hardness [°dKH].")]
    gh_dgh: Annotated[float, Meta(ge=GH_DGH[0], le=GH_DGH[1], description="General hardness [°dGH].")]
    ec25_us_per_cm: Annotated[
        float,
        Meta(ge=EC25_US_PER_CM[0], le=EC25_US_PER_CM[1], description="Conductivity at 25 °C [µS/cm]."),
    ]


class BlendInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The waters; their shares add up to 1."""

    waters: Annotated[
        list[BlendWater],
        Meta(min_length=1, max_length=LIST_ITEMS, description="The waters; fractions add up to 1 within 0.001."),
    ]


class BlendOutput(Struct, frozen=True, kw_only=True):
    """The blend."""

    kh_dkh: Annotated[float, Meta(ge=0, description="Carbonate hardness of the blend [°dKH].")]
    gh_dgh: Annotated[float, Meta(ge=0, description="General hardness of the blend [°dGH].")]
    ec25_us_per_cm: Annotated[float, Meta(ge=0, description="Conductivity of the blend at 25 °C [µS/cm], near enough.")]


def reckon(given: BlendInput) -> tuple[BlendOutput, Workings]:
    """The weighted mean of each."""
    blended = blend(
        [
            Water(fraction=one.fraction, kh_dkh=one.kh_dkh, gh_dgh=one.gh_dgh, ec25_us_per_cm=one.ec25_us_per_cm)
            for one in given.waters
        ]
    )
    output = BlendOutput(kh_dkh=blended.kh_dkh, gh_dgh=blended.gh_dgh, ec25_us_per_cm=blended.ec25_us_per_cm)
    return output, _workings(given, output)


def _workings(given: BlendInput, output: BlendOutput) -> Workings:
    def terms(name: str) -> str:
        return " + ".join(f"{one.fraction:g} × {getattr(one, name):g}" for one in given.waters)

    units = {"fraction": "", "kh_dkh": "°dKH", "gh_dgh": "°dGH", "ec25_us_per_cm": "µS/cm"}
    return Workings(
        title=TITLE,
        inputs=tuple(
            Given(f"waters[{number}].{name}", getattr(one, name), unit)
            for number, one in enumerate(given.waters)
            for name, unit in units.items()
        ),
        steps=(
            Step(f"KH = {terms('kh_dkh')}", f"{output.kh_dkh:.3f} °dKH"),
            Step(f"GH = {terms('gh_dgh')}", f"{output.gh_dgh:.3f} °dGH"),
            Step(f"conductivity = {terms('ec25_us_per_cm')}", f"{output.ec25_us_per_cm:.1f} µS/cm"),
        ),
        result=f"KH {output.kh_dkh:.2f} °dKH, GH {output.gh_dgh:.2f} °dGH, {output.ec25_us_per_cm:.0f} µS/cm",
        source=SOURCE,
        warnings=("Conductivity comes out some 3 to 6 % low. pH cannot be blended: measure it.",),
    )


CALCULATOR: Final = Calculator(
    name="blend",
    title=TITLE,
    source=SOURCE,
    example=BlendInput(
        waters=[
            BlendWater(fraction=0.3, kh_dkh=12.0, gh_dgh=16.0, ec25_us_per_cm=600.0),
            BlendWater(fraction=0.7, kh_dkh=0.5, gh_dgh=0.5, ec25_us_per_cm=25.0),
        ]
    ),
    output=BlendOutput,
    reckon=reckon,
)
