"""Carbon dioxide and scale, from KH, pH and warmth tested together."""

from datetime import timedelta

from msgspec import Struct

from evenwater.domain.pond import Pond
from evenwater.domain.units import MEQ_PER_L_PER_DKH, MOLAR_MASS_CA
from evenwater.domain.water.ammonia import EC25_US_PER_CM
from evenwater.domain.water.carbonate import TEMPERATURE_C, calcite_saturation_index, co2_mg_per_l, pco2_atm, ph_of
from evenwater.domain.water.outlook import Finding
from evenwater.domain.water.recent import Read, Recent
from evenwater.domain.workings import Given, Step, Workings

AIR_PCO2_ATM = 420e-6
"""Carbon dioxide in outdoor air [atm]. Common practice, no source; it rises by 2 or 3 ppm a year."""
SCALING_INDEX = 0.5
"""From here on scale is to be expected [–]. Common practice, no source."""
CALCIUM_SHARE = 0.75
"""Share of general hardness that is calcium where nobody measured it [–]. Common practice, no source."""

_WARMTH_WITHIN, _KH_WITHIN = timedelta(hours=48), timedelta(days=4)
_HARDNESS_WITHIN, _EC_WITHIN = timedelta(days=60), timedelta(days=30)
_SOURCE = "Plummer & Busenberg (1982), Geochim. Cosmochim. Acta 46, 1011-1040"


class _Tested(Struct, frozen=True):
    """pH with the KH, warmth and conductivity that stand beside it."""

    ph: Read
    kh: Read
    temperature: Read
    ec25_us_per_cm: float | None

    @property
    def temperature_c(self) -> float:
        return min(TEMPERATURE_C[1], max(TEMPERATURE_C[0], self.temperature.value))

    def inputs(self) -> tuple[Given, ...]:
        ec25 = self.ec25_us_per_cm
        return (
            Given("KH", self.kh.value, "°dKH", "reading"),
            Given("pH", self.ph.value, "", "reading"),
            Given("temperature", self.temperature.value, "°C", "reading"),
            *(() if ec25 is None else (Given("conductivity", ec25, "µS/cm", "reading"),)),
        )


def _tested(recent: Recent) -> _Tested | None:
    ph = recent.latest("ph")
    if ph is None:
        return None
    kh = recent.nearest("kh_dkh", ph.at, _KH_WITHIN)
    temperature = recent.nearest("temperature_c", ph.at, _WARMTH_WITHIN)
    ec25 = recent.nearest("ec25_us_per_cm", ph.at, _EC_WITHIN)
    if kh is None or temperature is None or kh.value <= 0.0:
        return None
    usable = ec25 is not None and 0.0 < ec25.value <= EC25_US_PER_CM[1]
    return _Tested(ph, kh, temperature, ec25.value if ec25 is not None and usable else None)


def co2_finding(pond: Pond, recent: Recent) -> Finding | None:
    """Carbon dioxide now, and the pH the water would have in balance with the air."""
    tested = _tested(recent)
    if tested is None:
        return None
    water = (tested.kh.value, tested.temperature_c)
    co2 = co2_mg_per_l(*water, tested.ph.value, tested.ec25_us_per_cm)
    times_air = pco2_atm(*water, tested.ph.value, tested.ec25_us_per_cm) / AIR_PCO2_ATM
    aired = ph_of(*water, AIR_PCO2_ATM, tested.ec25_us_per_cm)
    if times_air > 1.0:
        says = f"{times_air:.2g} times what outdoor air would leave; aired to the full, pH would be {aired:.1f}"
    else:
        says = f"Less than outdoor air would leave: plants and algae take it up; in balance, pH would be {aired:.1f}"
    return Finding(
        id="co2",
        section="water",
        title="Carbon dioxide",
        big=f"{co2:.1f} mg/L",
        says=f"{says}. From the pH of {tested.ph.day}.",
        workings=Workings(
            title="Carbon dioxide",
            inputs=tested.inputs(),
            steps=(
                Step("carbon dioxide that goes with this KH, pH and warmth", f"{co2:.2f} mg/L"),
                Step("pressure of it, over that in outdoor air", f"{times_air:.2g} times"),
                Step("pH in balance with outdoor air", f"{aired:.2f}"),
            ),
            result=f"{co2:.1f} mg/L",
            source=f"{_SOURCE}. A tenth of a pH is a quarter of the carbon dioxide: it is no better than the pH.",
        ),
    )


def calcite_finding(pond: Pond, recent: Recent) -> Finding | None:
    """Whether calcite tends to fall out, from measured calcium or else from GH."""
    tested = _tested(recent)
    if tested is None:
        return None
    calcium = recent.nearest("calcium_mg_per_l", tested.ph.at, _HARDNESS_WITHIN)
    gh = recent.nearest("gh_dgh", tested.ph.at, _HARDNESS_WITHIN)
    if calcium is not None:
        calcium_mg_per_l, given = calcium.value, Given("calcium", calcium.value, "mg/L", "reading")
    elif gh is not None:
        calcium_mg_per_l = calcium_from_gh(gh.value)
        given = Given("calcium", round(calcium_mg_per_l, 1), "mg/L", f"estimated from GH {gh.value:g} °dGH")
    else:
        return None
    if calcium_mg_per_l <= 0.0:
        return None
    index = calcite_saturation_index(
        tested.kh.value, calcium_mg_per_l, tested.temperature_c, tested.ph.value, tested.ec25_us_per_cm
    )
    guessed = "" if calcium else f" Calcium is estimated: three quarters of GH {gh.value if gh else 0:g} °dGH."
    return Finding(
        id="calcite",
        section="water",
        title="Scale",
        big=f"{index:+.1f}",
        says=f"{_tendency(index)} From the pH of {tested.ph.day}.{guessed}",
        workings=Workings(
            title="Calcite saturation index",
            inputs=(*tested.inputs(), given),
            steps=(Step("logarithm of how many times over calcite is saturated", f"{index:+.2f}"),),
            result=f"{index:+.2f}",
            source=f"{_SOURCE}. That scale shows from {SCALING_INDEX:+g} on is common practice, no source.",
        ),
    )


def calcium_from_gh(gh_dgh: float) -> float:
    """Calcium [mg/L] where only GH is known, three quarters of it taken to be calcium. Our own rule of thumb."""
    return gh_dgh * MEQ_PER_L_PER_DKH / 2.0 * CALCIUM_SHARE * MOLAR_MASS_CA


def _tendency(index: float) -> str:
    if index >= SCALING_INDEX:
        return "Calcite tends to fall out: expect scale on heater and lamp, and some of the buffer lost."
    if index > 0.0:
        return "A little over what calcite needs to fall out; as a rule it does not yet."
    return "Calcite does not fall out of this water."
