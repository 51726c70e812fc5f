"""Carbonate: how KH, pH and carbon dioxide hang together, and whether calcite tends to fall out.

Any two of alkalinity, pH and carbon dioxide fix the third. Ions are reckoned with their activities; pairs of ions
(calcium with bicarbonate and the like) are not, which makes pH 0.01 too high in tap water of medium hardness.
"""

import math
from typing import Final

from msgspec import Struct

from evenwater.domain.errors import Contradiction, require_between
from evenwater.domain.units import MEQ_PER_L_PER_DKH, MOLAR_MASS_CA, MOLAR_MASS_CO2, ZERO_CELSIUS_K
from evenwater.domain.water.ammonia import EC25_US_PER_CM as _EC25_US_PER_CM
from evenwater.domain.water.ammonia import TEMPERATURE_C as _TEMPERATURE_C
from evenwater.domain.water.ammonia import ionic_strength_mol_per_l, log10_activity
from evenwater.domain.water.buffer import KH_DKH as _KH_DKH

KH_DKH: Final = _KH_DKH
"""Carbonate hardness, which is alkalinity [°dKH]."""

TEMPERATURE_C: Final = _TEMPERATURE_C
"""Water temperatures [°C]; the constants hold to 35, the activities to 30."""

EC25_US_PER_CM: Final = _EC25_US_PER_CM
"""Conductivity at 25 °C [µS/cm] for which an ionic strength is estimated."""

PH: Final = (4.0, 10.5)
"""pH [–]; KH_DKH and PCO2_ATM lead to no other: 4.3 at the least, 10.3 at the most."""

PCO2_ATM: Final = (1e-5, 0.1)
"""Pressure of carbon dioxide [atm]: a fortieth of outdoor air's to that of a deep well."""

CALCIUM_MG_PER_L: Final = (0.1, 500.0)
"""Calcium [mg/L]."""

_HALVINGS = 50


class _Water(Struct, frozen=True):
    """The equilibrium constants of one water, its ions' activities folded in [mol/L, atm]."""

    gas: float
    first: float
    second: float
    water: float
    hydrogen_activity: float

    def ions_mol_per_l(self, ph: float) -> float:
        """Alkalinity that no carbonate makes: OH⁻ less H⁺."""
        hydrogen = 10.0**-ph
        return self.water / hydrogen - hydrogen / self.hydrogen_activity

    def alkalinity_per_co2(self, ph: float) -> float:
        """Alkalinity as HCO₃⁻ and CO₃²⁻ for each dissolved CO₂ [mol/mol]."""
        hydrogen = 10.0**-ph
        return self.first / hydrogen + 2.0 * self.first * self.second / hydrogen**2


def ph_of(kh_dkh: float, temperature_c: float, pco2_atm: float, ec25_us_per_cm: float | None = None) -> float:
    """pH of water in balance with carbon dioxide of this pressure.

    Args:
        kh_dkh: Carbonate hardness [°dKH], 0 to 25.
        temperature_c: Water temperature [°C], 0 to 30.
        pco2_atm: Pressure of carbon dioxide [atm], 0.00001 to 0.1; outdoor air has about 0.00042.
        ec25_us_per_cm: Conductivity at 25 °C [µS/cm], 0 to 3500; None takes the water for bicarbonate alone.

    Returns:
        pH [–].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Plummer & Busenberg (1982), Geochim. Cosmochim. Acta 46, 1011-1040, for the constants of carbonate; Harned &
        Hamer for water's own (from memory); Davies for the activities.

    >>> round(ph_of(4.0, 15.0, 10.0**-3.376), 2)
    8.26
    """
    require_between("pco2_atm", pco2_atm, *PCO2_ATM, "atm")
    alkalinity = _alkalinity_mol_per_l(kh_dkh)
    water = _water(temperature_c, _strength_mol_per_l(alkalinity, 0.0, ec25_us_per_cm))
    co2 = water.gas * pco2_atm
    low, high = PH
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if water.ions_mol_per_l(middle) + co2 * water.alkalinity_per_co2(middle) < alkalinity:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def co2_mg_per_l(kh_dkh: float, temperature_c: float, ph: float, ec25_us_per_cm: float | None = None) -> float:
    """Dissolved carbon dioxide that goes with this KH and pH.

    It is no better than the pH: a tenth of a pH is a quarter of the carbon dioxide.

    Args:
        kh_dkh: Carbonate hardness [°dKH], 0 to 25.
        temperature_c: Water temperature [°C], 0 to 30.
        ph: pH [–], 4 to 10.5.
        ec25_us_per_cm: Conductivity at 25 °C [µS/cm], 0 to 3500; None takes the water for bicarbonate alone.

    Returns:
        Carbon dioxide [mg/L as CO₂].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.
        Contradiction: So high a pH cannot be with so little KH: something other than carbonate makes it.

    Source:
        As `ph_of`.

    >>> round(co2_mg_per_l(6.0, 20.0, 7.8938), 1)
    2.7
    """
    alkalinity = _alkalinity_mol_per_l(kh_dkh)
    water = _water(temperature_c, _strength_mol_per_l(alkalinity, 0.0, ec25_us_per_cm))
    return _co2_mol_per_l(water, alkalinity, ph) * 1000.0 * MOLAR_MASS_CO2


def pco2_atm(kh_dkh: float, temperature_c: float, ph: float, ec25_us_per_cm: float | None = None) -> float:
    """Pressure of carbon dioxide the water would be in balance with; the inverse of `ph_of`.

    Args:
        kh_dkh: Carbonate hardness [°dKH], 0 to 25.
        temperature_c: Water temperature [°C], 0 to 30.
        ph: pH [–], 4 to 10.5.
        ec25_us_per_cm: Conductivity at 25 °C [µS/cm], 0 to 3500; None takes the water for bicarbonate alone.

    Returns:
        Pressure [atm].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.
        Contradiction: As `co2_mg_per_l`.

    Source:
        As `ph_of`.

    >>> round(pco2_atm(6.0, 20.0, 7.8938), 4)
    0.0016
    """
    alkalinity = _alkalinity_mol_per_l(kh_dkh)
    water = _water(temperature_c, _strength_mol_per_l(alkalinity, 0.0, ec25_us_per_cm))
    return _co2_mol_per_l(water, alkalinity, ph) / water.gas


def calcite_saturation_index(
    kh_dkh: float, calcium_mg_per_l: float, temperature_c: float, ph: float, ec25_us_per_cm: float | None = None
) -> float:
    """How far the water is from calcite falling out: 0 in balance, above 0 it tends to fall out.

    Args:
        kh_dkh: Carbonate hardness [°dKH], 0 to 25.
        calcium_mg_per_l: Calcium [mg/L], 0.1 to 500.
        temperature_c: Water temperature [°C], 0 to 30.
        ph: pH [–], 4 to 10.5.
        ec25_us_per_cm: Conductivity at 25 °C [µS/cm], 0 to 3500; None takes calcium and bicarbonate alone.

    Returns:
        Decadic logarithm of how many times over calcite is saturated [–].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.
        Contradiction: As `co2_mg_per_l`.

    Source:
        As `ph_of`, with the same paper's solubility of calcite. Some 0.05 to 0.12 above PHREEQC, which takes off the
        calcium that is paired with bicarbonate and carbonate.

    >>> round(calcite_saturation_index(6.0, 48.1, 20.0, 8.27), 1)
    0.6
    """
    calcium = require_between("calcium_mg_per_l", calcium_mg_per_l, *CALCIUM_MG_PER_L, "mg/L") / MOLAR_MASS_CA / 1000.0
    alkalinity = _alkalinity_mol_per_l(kh_dkh)
    strength = _strength_mol_per_l(alkalinity, calcium, ec25_us_per_cm)
    water = _water(temperature_c, strength)
    carbonate = _co2_mol_per_l(water, alkalinity, ph) * water.first * water.second * 100.0**ph
    # Both ions carry two charges: four times the logarithm of one charge, for each.
    activities = math.log10(calcium) + math.log10(carbonate) + 8.0 * log10_activity(temperature_c, strength)
    return activities - _log10_calcite(temperature_c + ZERO_CELSIUS_K)


def _alkalinity_mol_per_l(kh_dkh: float) -> float:
    return require_between("kh_dkh", kh_dkh, *KH_DKH, "°dKH") * MEQ_PER_L_PER_DKH / 1000.0


def _strength_mol_per_l(alkalinity: float, calcium: float, ec25_us_per_cm: float | None) -> float:
    """Ionic strength from the conductivity, or else of calcium, bicarbonate and one single charge to balance them."""
    if ec25_us_per_cm is not None:
        return ionic_strength_mol_per_l(ec25_us_per_cm)
    return calcium + max(alkalinity, 2.0 * calcium)


def _water(temperature_c: float, strength_mol_per_l: float) -> _Water:
    one_charge = log10_activity(temperature_c, strength_mol_per_l)
    kelvin = temperature_c + ZERO_CELSIUS_K
    return _Water(
        gas=10.0 ** _log10_gas(kelvin),
        first=10.0 ** (_log10_first(kelvin) - one_charge),
        # CO₃²⁻ has four times the logarithm; HCO₃⁻ gives one back.
        second=10.0 ** (_log10_second(kelvin) - 3.0 * one_charge),
        water=10.0 ** (_log10_water(kelvin) - one_charge),
        hydrogen_activity=10.0**one_charge,
    )


def _co2_mol_per_l(water: _Water, alkalinity: float, ph: float) -> float:
    require_between("ph", ph, *PH)
    of_carbonate = alkalinity - water.ions_mol_per_l(ph)
    if of_carbonate <= 0.0:
        raise Contradiction(
            f"pH {ph:g} with so little KH",
            where="ph",
            right="a lower pH or a higher KH: with this KH carbonate alone cannot hold the pH so high",
        )
    return of_carbonate / water.alkalinity_per_co2(ph)


def _log10_gas(kelvin: float) -> float:
    """CO₂ dissolved per pressure [mol/L/atm]."""
    return _fitted(kelvin, 108.3865, 0.01985076, -6919.53, -40.45154, 669365.0)


def _log10_first(kelvin: float) -> float:
    """CO₂ into H⁺ and HCO₃⁻."""
    return _fitted(kelvin, -356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0)


def _log10_second(kelvin: float) -> float:
    """HCO₃⁻ into H⁺ and CO₃²⁻."""
    return _fitted(kelvin, -107.8871, -0.03252849, 5151.79, 38.92561, -563713.9)


def _log10_calcite(kelvin: float) -> float:
    """Calcite into Ca²⁺ and CO₃²⁻."""
    return _fitted(kelvin, -171.9065, -0.077993, 2839.319, 71.595, 0.0)


def _log10_water(kelvin: float) -> float:
    """H₂O into H⁺ and OH⁻."""
    return -4471.0 / kelvin + 6.0875 - 0.01706 * kelvin


def _fitted(kelvin: float, a: float, b: float, c: float, d: float, e: float) -> float:
    """The shape Plummer & Busenberg fit all their constants to."""
    return a + b * kelvin + c / kelvin + d * math.log10(kelvin) + e / kelvin**2
