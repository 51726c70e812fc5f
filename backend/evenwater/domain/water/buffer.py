"""Buffer: how much bicarbonate raises KH by how much, and back again."""

import math
from typing import Final

from evenwater.domain.errors import require_between, require_one_of
from evenwater.domain.units import (
    MEQ_PER_L_PER_DKH,
    MOLAR_MASS_KHCO3,
    MOLAR_MASS_NAHCO3,
)

SUBSTANCES: Final = {"sodium_bicarbonate": MOLAR_MASS_NAHCO3, "potassium_bicarbonate": MOLAR_MASS_KHCO3}
"""What can be dosed, and its molar mass [g/mol]. Each mole brings one equivalent of alkalinity.

Sodium carbonate is left out on purpose: it raises pH sharply.
"""

VOLUME_L: Final = (1.0, 1_000_000.0)
"""Water volumes we reckon for [L]: a bowl to a lake of 1000 m³."""

KH_DKH: Final = (0.0, 25.0)
"""Carbonate hardness, and rises of it, that we reckon for [°dKH]."""

PURITY_FRACTION: Final = (0.5, 1.0)
"""Share of the powder that is bicarbonate [–]. Food grade is 0.99 or more; under half is another product."""

CAPFUL_G: Final = (0.1, 10_000.0)
"""Weight of one capful [g]: a pinch to a bucket."""

DOSE_G: Final = (0.0, 2_000_000.0)
"""A dose [g]. The upper edge holds the greatest rise in the greatest volume at the lowest purity."""


def bicarbonate_dose_g(volume_l: float, rise_dkh: float, substance: str, purity_fraction: float) -> float:
    """Powder that raises the KH of a body of water by `rise_dkh`.

    Args:
        volume_l: Water volume [L], 1 to 1,000,000.
        rise_dkh: Wanted rise [°dKH], 0 to 25.
        substance: A key of SUBSTANCES.
        purity_fraction: Share of the powder that is the substance [–], 0.5 to 1.

    Returns:
        Dose [g], unrounded.

    Raises:
        OutOfRange: A number is outside its range, or is NaN.
        NotOneOf: The substance is none of SUBSTANCES.

    Source:
        Stoichiometry: one mole of bicarbonate is one equivalent of alkalinity. Holds while nothing
        precipitates; in hard, warm water part of a dose can fall out as calcite.

    >>> round(bicarbonate_dose_g(20_000.0, 2.0, "sodium_bicarbonate", 0.99), 1)
    1210.5
    """
    require_between("rise_dkh", rise_dkh, *KH_DKH, "°dKH")
    return rise_dkh * _pure_g_per_dkh(volume_l, substance) / _purity(purity_fraction)


def rise_dkh(volume_l: float, dose_g: float, substance: str, purity_fraction: float) -> float:
    """Rise of KH that a dose brings; the inverse of `bicarbonate_dose_g`.

    Args:
        volume_l: Water volume [L], 1 to 1,000,000.
        dose_g: Powder given [g], 0 to 2,000,000.
        substance: A key of SUBSTANCES.
        purity_fraction: Share of the powder that is the substance [–], 0.5 to 1.

    Returns:
        Rise [°dKH]. Not bounded: a heavy dose into a small bowl gives what it gives.

    Raises:
        OutOfRange: A number is outside its range, or is NaN.
        NotOneOf: The substance is none of SUBSTANCES.

    Source:
        As `bicarbonate_dose_g`.

    >>> round(rise_dkh(20_000.0, 600.0, "sodium_bicarbonate", 0.99), 3)
    0.991
    """
    require_between("dose_g", dose_g, *DOSE_G, "g")
    return dose_g * _purity(purity_fraction) / _pure_g_per_dkh(volume_l, substance)


def nearest_quarter_capfuls(dose_g: float, capful_g: float) -> float:
    """A dose in capfuls, to the nearest quarter; exactly between two, the smaller.

    Args:
        dose_g: Dose [g], 0 to 2,000,000.
        capful_g: Weight of one capful [g], 0.1 to 10,000.

    Returns:
        Capfuls [–], a multiple of 0.25.

    Raises:
        OutOfRange: A number is outside its range, or is NaN.

    Source:
        Our own rule: a scoop can be read to a quarter. The smaller of two, since a dose cannot be taken out.

    >>> nearest_quarter_capfuls(100.0, 27.0)
    3.75
    """
    require_between("dose_g", dose_g, *DOSE_G, "g")
    require_between("capful_g", capful_g, *CAPFUL_G, "g")
    return math.ceil(dose_g / capful_g * 4.0 - 0.5) / 4.0


def _pure_g_per_dkh(volume_l: float, substance: str) -> float:
    """Pure substance that lifts this volume by one degree [g/°dKH]. 1 meq weighs the molar mass in mg."""
    require_between("volume_l", volume_l, *VOLUME_L, "L")
    require_one_of("substance", substance, SUBSTANCES)
    return MEQ_PER_L_PER_DKH * SUBSTANCES[substance] * volume_l / 1000.0


def _purity(purity_fraction: float) -> float:
    return require_between("purity_fraction", purity_fraction, *PURITY_FRACTION)
