"""How much of the measured ammonia is the toxic kind."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.errors import require_between
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.units import NH3_PER_NH3_N
from evenwater.domain.water.ammonia import (
    EC25_US_PER_CM,
    PH,
    TAN_MG_N_PER_L,
    TEMPERATURE_C,
    equal_parts_ph,
    ionic_strength_mol_per_l,
    unionised_fraction,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Un-ionised ammonia"
SOURCE: Final = (
    "Emerson, Russo, Lund & Thurston (1975), J. Fish. Res. Board Can. 32, 2379-2383; "
    "with a conductivity, Davies equation for the activity of ammonium."
)


class UnionisedAmmoniaInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Total ammonia and what decides how it splits."""

    tan_mg_n_per_l: Annotated[
        float,
        Meta(
            ge=TAN_MG_N_PER_L[0],
            le=TAN_MG_N_PER_L[1],
            description="Total ammonia nitrogen [mg/L as N]. A kit may show NH₃ or NH₄ instead: convert first.",
        ),
    ]
    temperature_c: Annotated[
        float,
        Meta(ge=TEMPERATURE_C[0], le=TEMPERATURE_C[1], description="Water temperature [°C]."),
    ]
    ph: Annotated[float, Meta(ge=PH[0], le=PH[1], description="pH [–].")]
    ec25_us_per_cm: Annotated[
        Annotated[float, Meta(ge=EC25_US_PER_CM[0], le=EC25_US_PER_CM[1])] | None,
        Meta(description="Conductivity at 25 °C [µS/cm], if known: salts lower the toxic share a little."),
    ] = None


class UnionisedAmmoniaOutput(Struct, frozen=True, kw_only=True):
    """The toxic part."""

    nh3_fraction: Annotated[float, Meta(ge=0, le=1, description="Share of the total present as NH₃ [–].")]
    nh3_n_mg_per_l: Annotated[float, Meta(ge=0, description="Un-ionised ammonia as nitrogen [mg/L as N].")]
    nh3_mg_per_l: Annotated[float, Meta(ge=0, description="Un-ionised ammonia as NH₃ [mg/L].")]


def reckon(given: UnionisedAmmoniaInput) -> tuple[UnionisedAmmoniaOutput, Workings]:
    """The toxic share, and what it makes of the total."""
    require_between("tan_mg_n_per_l", given.tan_mg_n_per_l, *TAN_MG_N_PER_L, "mg/L as N")
    share = unionised_fraction(given.temperature_c, given.ph, given.ec25_us_per_cm)
    nh3_n_mg_per_l = share * given.tan_mg_n_per_l
    output = UnionisedAmmoniaOutput(
        nh3_fraction=share, nh3_n_mg_per_l=nh3_n_mg_per_l, nh3_mg_per_l=nh3_n_mg_per_l * NH3_PER_NH3_N
    )
    return output, _workings(given, output)


def _workings(given: UnionisedAmmoniaInput, output: UnionisedAmmoniaOutput) -> Workings:
    inputs = [
        Given("tan_mg_n_per_l", given.tan_mg_n_per_l, "mg/L as N"),
        Given("temperature_c", given.temperature_c, "°C"),
        Given("ph", given.ph, ""),
    ]
    salts = "pure water, since no conductivity was given"
    if given.ec25_us_per_cm is not None:
        inputs.append(Given("ec25_us_per_cm", given.ec25_us_per_cm, "µS/cm"))
        strength = ionic_strength_mol_per_l(given.ec25_us_per_cm)
        salts = f"an ionic strength of {strength:.4f} mol/L, from the conductivity"
    half_ph = equal_parts_ph(given.temperature_c, given.ec25_us_per_cm)
    return Workings(
        title=TITLE,
        inputs=tuple(inputs),
        steps=(
            Step(f"pH at which half would be NH₃, at this temperature, for {salts}", f"{half_ph:.3f}"),
            Step("share of NH₃ = 1 / (1 + 10^(that pH - pH of the water))", f"{output.nh3_fraction:.5f}"),
            Step("NH₃ as nitrogen = share × total ammonia nitrogen", f"{output.nh3_n_mg_per_l:.4f} mg/L as N"),
            Step(f"NH₃ = that × {NH3_PER_NH3_N:.4f}", f"{output.nh3_mg_per_l:.4f} mg/L"),
        ),
        result=f"{output.nh3_fraction:.2%} of it is NH₃: {output.nh3_n_mg_per_l:.4f} mg/L as N",
        source=SOURCE,
    )


CALCULATOR: Final = Calculator(
    name="unionised-ammonia",
    title=TITLE,
    source=SOURCE,
    example=UnionisedAmmoniaInput(tan_mg_n_per_l=0.5, temperature_c=20.0, ph=8.0),
    output=UnionisedAmmoniaOutput,
    reckon=reckon,
)
