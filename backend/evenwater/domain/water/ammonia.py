"""Ammonia: what a kit's total means for fish, at this warmth and pH."""

import math
from typing import Final

from evenwater.domain.errors import require_between
from evenwater.domain.units import ZERO_CELSIUS_K

TEMPERATURE_C: Final = (0.0, 30.0)
"""Water temperatures Emerson et al. measured at [°C]."""

PH: Final = (6.0, 10.0)
"""pH the table of Emerson et al. covers [–]."""

TAN_MG_N_PER_L: Final = (0.0, 20.0)
"""Total ammonia nitrogen that kits can show [mg/L as N]."""

EC25_US_PER_CM: Final = (0.0, 3500.0)
"""Conductivity for which the ionic strength estimate holds [µS/cm]: fresh water, up to about 0.05 mol/L."""

_MOL_PER_L_PER_US_PER_CM = 1.4e-5
"""Our own, between what PHREEQC gives for kinds of fresh water; see `ionic_strength_mol_per_l`."""
_DAVIES_LINEAR = 0.3


def unionised_fraction(temperature_c: float, ph: float, ec25_us_per_cm: float | None = None) -> float:
    """Share of total ammonia present as toxic NH₃ in fresh water.

    The rest is ammonium (NH₄⁺), far less harmful. Warmth and high pH raise the share; dissolved salts lower it a
    little. Without a conductivity the share is that of pure water, which is never too low.

    Args:
        temperature_c: Water temperature [°C], 0 to 30.
        ph: pH [–], 6 to 10.
        ec25_us_per_cm: Conductivity at 25 °C [µS/cm], 0 to 3500, or None.

    Returns:
        Fraction [–], 0 to 1.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Emerson, Russo, Lund & Thurston (1975), J. Fish. Res. Board Can. 32, 2379-2383, equation for pKa.
        We add 273.15; copies with 273.2 circulate and give 0.34 % more at 25 °C, pH 8. A copy that prints
        2727.92 for 2729.92 circulates too. The correction for salts is ours: see `log10_activity`.

    >>> round(unionised_fraction(25.0, 8.0), 4)
    0.0537
    """
    require_between("ph", ph, *PH)
    return 1.0 / (1.0 + 10.0 ** (equal_parts_ph(temperature_c, ec25_us_per_cm) - ph))


def equal_parts_ph(temperature_c: float, ec25_us_per_cm: float | None = None) -> float:
    """pH at which half the ammonia would be NH₃: the pKa, as this water has it.

    Args:
        temperature_c: Water temperature [°C], 0 to 30.
        ec25_us_per_cm: Conductivity at 25 °C [µS/cm], 0 to 3500, or None for pure water.

    Returns:
        pH [–].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        As `unionised_fraction`.

    >>> round(equal_parts_ph(20.0), 2)
    9.4
    """
    require_between("temperature_c", temperature_c, *TEMPERATURE_C, "°C")
    pka = 0.09018 + 2729.92 / (temperature_c + ZERO_CELSIUS_K)
    if ec25_us_per_cm is None:
        return pka
    return pka - log10_activity(temperature_c, ionic_strength_mol_per_l(ec25_us_per_cm))


def ionic_strength_mol_per_l(ec25_us_per_cm: float) -> float:
    """Ionic strength of fresh water, estimated from its conductivity.

    Args:
        ec25_us_per_cm: Conductivity at 25 °C [µS/cm], 0 to 3500.

    Returns:
        Ionic strength [mol/L], 0 to 0.05.

    Raises:
        OutOfRange: The conductivity is outside its range, or is NaN.

    Source:
        Our own rule of thumb. PHREEQC (phreeqpython 1.6.2) gives 1.1e-5 for sodium bicarbonate water, 1.4e-5 for
        soft and 1.6e-5 for hard calcium water; sodium chloride has about 0.9e-5.

    >>> round(ionic_strength_mol_per_l(500.0), 4)
    0.007
    """
    return require_between("ec25_us_per_cm", ec25_us_per_cm, *EC25_US_PER_CM, "µS/cm") * _MOL_PER_L_PER_US_PER_CM


def log10_activity(temperature_c: float, ionic_strength_mol_per_l: float) -> float:
    """Decadic logarithm of the activity coefficient of an ion with one charge.

    Args:
        temperature_c: Water temperature [°C], 0 to 30.
        ionic_strength_mol_per_l: Ionic strength [mol/L], 0 to 0.05.

    Returns:
        log₁₀ γ [–], zero or less.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Davies equation as used with Plummer & Busenberg (1982), Geochim. Cosmochim. Acta 46, 1011-1040, with the
        dielectric constant of water from Truesdell & Jones (1974) (from memory), good to 35 °C.

    >>> round(log10_activity(20.0, 0.01), 4)
    -0.0444
    """
    temperature_k = require_between("temperature_c", temperature_c, *TEMPERATURE_C, "°C") + ZERO_CELSIUS_K
    strength = require_between("ionic_strength_mol_per_l", ionic_strength_mol_per_l, 0.0, 0.05, "mol/L")
    dielectric = 2727.586 + 0.6224107 * temperature_k - 466.9151 * math.log(temperature_k) - 52000.87 / temperature_k
    slope = 1.82483e6 / (dielectric * temperature_k) ** 1.5
    root = math.sqrt(strength)
    return -slope * (root / (1.0 + root) - _DAVIES_LINEAR * strength)
