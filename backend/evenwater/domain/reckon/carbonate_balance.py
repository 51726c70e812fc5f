"""pH, carbon dioxide and KH: two of them fix the third."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.errors import Contradiction, Missing
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.carbonate import (
    EC25_US_PER_CM,
    KH_DKH,
    PCO2_ATM,
    PH,
    TEMPERATURE_C,
    co2_mg_per_l,
    pco2_atm,
    ph_of,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Carbonate balance"
SOURCE: Final = (
    "Plummer & Busenberg (1982), Geochim. Cosmochim. Acta 46, 1011-1040; "
    "Davies equation for the activities, ionic strength from the conductivity where it is given."
)
UNITS: Final = {"kh_dkh": "°dKH", "temperature_c": "°C", "pco2_atm": "atm", "ph": "", "ec25_us_per_cm": "µS/cm"}


class CarbonateBalanceInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The water, and either its carbon dioxide or its pH."""

    kh_dkh: Annotated[float, Meta(ge=KH_DKH[0], le=KH_DKH[1], description="Carbonate hardness [°dKH].")]
    temperature_c: Annotated[
        float, Meta(ge=TEMPERATURE_C[0], le=TEMPERATURE_C[1], description="Water temperature [°C].")
    ]
    pco2_atm: Annotated[
        Annotated[float, Meta(ge=PCO2_ATM[0], le=PCO2_ATM[1])] | None,
        Meta(description="Pressure of carbon dioxide [atm]; outdoor air has about 0.00042. Give this or ph."),
    ] = None
    ph: Annotated[
        Annotated[float, Meta(ge=PH[0], le=PH[1])] | None, Meta(description="pH [–]. Give this or pco2_atm.")
    ] = None
    ec25_us_per_cm: Annotated[
        Annotated[float, Meta(ge=EC25_US_PER_CM[0], le=EC25_US_PER_CM[1])] | None,
        Meta(description="Conductivity at 25 °C [µS/cm], if known; else the water is taken for bicarbonate alone."),
    ] = None


class CarbonateBalanceOutput(Struct, frozen=True, kw_only=True):
    """The water in balance."""

    ph: Annotated[float, Meta(description="pH [–].")]
    co2_mg_per_l: Annotated[float, Meta(ge=0, description="Dissolved carbon dioxide [mg/L as CO₂].")]
    pco2_atm: Annotated[float, Meta(ge=0, description="Pressure of carbon dioxide it is in balance with [atm].")]


def reckon(given: CarbonateBalanceInput) -> tuple[CarbonateBalanceOutput, Workings]:
    """From pressure to pH, or from pH to pressure; the dissolved carbon dioxide either way."""
    ph = _ph(given)
    water = (given.kh_dkh, given.temperature_c, ph, given.ec25_us_per_cm)
    pressure_atm = pco2_atm(*water) if given.pco2_atm is None else given.pco2_atm
    output = CarbonateBalanceOutput(ph=ph, co2_mg_per_l=co2_mg_per_l(*water), pco2_atm=pressure_atm)
    return output, _workings(given, output)


def _ph(given: CarbonateBalanceInput) -> float:
    if given.pco2_atm is not None and given.ph is not None:
        raise Contradiction("pco2_atm and ph are both given", where="ph", right="one of the two: each follows")
    if given.ph is not None:
        return given.ph
    if given.pco2_atm is not None:
        return ph_of(given.kh_dkh, given.temperature_c, given.pco2_atm, given.ec25_us_per_cm)
    raise Missing("neither pco2_atm nor ph is given", where="ph", right="one of the two; pco2_atm 0.00042 for open air")


def _workings(given: CarbonateBalanceInput, output: CarbonateBalanceOutput) -> Workings:
    values = ((name, getattr(given, name), unit) for name, unit in UNITS.items())
    ph = Step("pH at which KH = bicarbonate + 2 × carbonate + OH⁻ - H⁺", f"{output.ph:.3f}")
    pressure = Step("pressure of carbon dioxide", f"{output.pco2_atm:.3g} atm")
    dissolved = Step("carbon dioxide dissolved at that pressure", f"{output.co2_mg_per_l:.3g} mg/L")
    return Workings(
        title=TITLE,
        inputs=tuple(Given(name, value, unit) for name, value, unit in values if value is not None),
        steps=(pressure, ph, dissolved) if given.ph is None else (ph, dissolved, pressure),
        result=f"pH {output.ph:.2f}, {output.co2_mg_per_l:.3g} mg/L of carbon dioxide",
        source=SOURCE,
    )


CALCULATOR: Final = Calculator(
    name="carbonate-balance",
    title=TITLE,
    source=SOURCE,
    example=CarbonateBalanceInput(kh_dkh=5.0, temperature_c=18.0, ph=7.8),
    output=CarbonateBalanceOutput,
    reckon=reckon,
)
