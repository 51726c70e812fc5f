"""How much buffer lifts this pond from this KH to that one."""

import math
from typing import Annotated, Final, Literal

from msgspec import Meta, Struct

from evenwater.domain.errors import require_between
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.units import MEQ_PER_L_PER_DKH, MG_CACO3_PER_L_PER_DKH
from evenwater.domain.water.buffer import (
    CAPFUL_G,
    KH_DKH,
    PURITY_FRACTION,
    SUBSTANCES,
    VOLUME_L,
    bicarbonate_dose_g,
    nearest_quarter_capfuls,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Buffer dose"
SOURCE: Final = (
    "Stoichiometry: a mole of bicarbonate is one equivalent of alkalinity; "
    "1 °dKH = 10 mg CaO/L (definition of the German degree, DIN 38409-7)."
)
DAILY_RISE_DKH: Final = 1.0
"""A rise fish take in a day without harm [°dKH]. Common practice, no source."""

Kh = Annotated[float, Meta(ge=KH_DKH[0], le=KH_DKH[1])]


class BufferDoseInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The pond, its KH, the KH wanted, and the powder."""

    volume_l: Annotated[float, Meta(ge=VOLUME_L[0], le=VOLUME_L[1], description="Water volume [L].")]
    kh_now_dkh: Annotated[Kh, Meta(description="Carbonate hardness now [°dKH].")]
    kh_target_dkh: Annotated[Kh, Meta(description="Carbonate hardness wanted [°dKH].")]
    substance: Annotated[
        Literal["sodium_bicarbonate", "potassium_bicarbonate"],
        Meta(description="The powder. Baking soda is sodium bicarbonate; baking powder is not, it holds an acid."),
    ]
    purity_fraction: Annotated[
        float,
        Meta(
            ge=PURITY_FRACTION[0],
            le=PURITY_FRACTION[1],
            description="Share of the powder that is the substance [–]; food grade 0.99.",
        ),
    ]
    capful_g: Annotated[float, Meta(ge=CAPFUL_G[0], le=CAPFUL_G[1], description="Weight of one capful [g].")]


class BufferDoseOutput(Struct, frozen=True, kw_only=True):
    """The dose, exact and in capfuls."""

    dose_g: Annotated[float, Meta(ge=0, description="Powder to give [g], unrounded; 0 at or above the target.")]
    capfuls: Annotated[float, Meta(ge=0, description="The same in capfuls [–], to the nearest quarter.")]
    kh_after_dkh: Annotated[float, Meta(ge=0, description="KH once dose_g has dissolved and mixed [°dKH].")]


def reckon(given: BufferDoseInput) -> tuple[BufferDoseOutput, Workings]:
    """Dose for the whole rise at once; a rise of more than a day's worth is warned of, not cut."""
    require_between("kh_now_dkh", given.kh_now_dkh, *KH_DKH, "°dKH")
    require_between("kh_target_dkh", given.kh_target_dkh, *KH_DKH, "°dKH")
    rise_dkh = max(0.0, given.kh_target_dkh - given.kh_now_dkh)
    dose_g = bicarbonate_dose_g(given.volume_l, rise_dkh, given.substance, given.purity_fraction)
    output = BufferDoseOutput(
        dose_g=dose_g,
        capfuls=nearest_quarter_capfuls(dose_g, given.capful_g),
        kh_after_dkh=max(given.kh_now_dkh, given.kh_target_dkh),
    )
    return output, _workings(given, rise_dkh, output)


def _workings(given: BufferDoseInput, rise_dkh: float, output: BufferDoseOutput) -> Workings:
    meq_per_l = rise_dkh * MEQ_PER_L_PER_DKH
    pure_g = output.dose_g * given.purity_fraction
    return Workings(
        title=TITLE,
        inputs=(
            Given("volume_l", given.volume_l, "L"),
            Given("kh_now_dkh", given.kh_now_dkh, "°dKH"),
            Given("kh_target_dkh", given.kh_target_dkh, "°dKH"),
            Given("substance", given.substance, ""),
            Given("purity_fraction", given.purity_fraction, ""),
            Given("capful_g", given.capful_g, "g"),
        ),
        steps=(
            Step("rise = target - now, never below 0", f"{rise_dkh:.2f} °dKH"),
            Step(f"alkalinity = rise × {MEQ_PER_L_PER_DKH:.5f} meq/L per °dKH", f"{meq_per_l:.4f} meq/L"),
            Step(
                f"the same as calcium carbonate = rise × {MG_CACO3_PER_L_PER_DKH:.3f} mg/L per °dKH",
                f"{rise_dkh * MG_CACO3_PER_L_PER_DKH:.1f} mg/L",
            ),
            Step(
                f"pure substance = alkalinity × {SUBSTANCES[given.substance]:.3f} mg/meq × volume / 1000",
                f"{pure_g:.1f} g",
            ),
            Step("dose = pure substance / purity", f"{output.dose_g:.1f} g"),
            Step("capfuls = dose / weight of one, to the nearest quarter", f"{output.capfuls:g}"),
        ),
        result=f"{output.dose_g:.1f} g, about {output.capfuls:g} capfuls, for a KH of {output.kh_after_dkh:g} °dKH",
        source=SOURCE,
        warnings=_warnings(given, rise_dkh),
    )


def _warnings(given: BufferDoseInput, rise_dkh: float) -> tuple[str, ...]:
    warnings: list[str] = []
    days = math.ceil(round(rise_dkh / DAILY_RISE_DKH, 6))  # 8.3 - 7.3 is a hair above 1 in floats
    if days > 1:
        warnings.append(
            f"This lifts KH by {rise_dkh:g} °dKH. Spread it over {days} days or more: "
            f"at most {DAILY_RISE_DKH:g} °dKH a day (common practice, no source)."
        )
    if given.kh_target_dkh < given.kh_now_dkh:
        warnings.append("KH is above the target already. Nothing to give; buffer cannot lower it.")
    return tuple(warnings)


CALCULATOR: Final = Calculator(
    name="buffer-dose",
    title=TITLE,
    source=SOURCE,
    example=BufferDoseInput(
        volume_l=20_000.0,
        kh_now_dkh=4.0,
        kh_target_dkh=5.0,
        substance="sodium_bicarbonate",
        purity_fraction=0.99,
        capful_g=27.0,
    ),
    output=BufferDoseOutput,
    reckon=reckon,
)
