"""Nitrogen: what food becomes, and what nitrifying it takes from the water."""

from typing import Final

from evenwater.domain.errors import require_between
from evenwater.domain.units import (
    MG_CACO3_PER_L_PER_DKH,
    MG_CACO3_PER_MEQ,
    MOLAR_MASS_N,
    MOLAR_MASS_NAHCO3,
    MOLAR_MASS_O,
)
from evenwater.domain.water.buffer import VOLUME_L

FEED_G_PER_DAY: Final = (0.0, 1_000_000.0)
"""Food we reckon for [g/day]."""

PROTEIN_FRACTION: Final = (0.0, 1.0)
"""Protein in the food [–]."""

NITROGEN_G: Final = (0.0, 100_000.0)
"""Ammonia nitrogen we reckon for [g]."""

TAN_PER_PROTEIN: Final = 0.092
"""Ammonia nitrogen a fish gives off for each gram of protein eaten [g/g].

0.16 nitrogen in protein × 0.80 digested × 0.80 given off × 0.90 of that as ammonia. Source: Timmons & Ebeling,
Recirculating Aquaculture, P_TAN = F × PC × 0.092 (from memory).
"""

_EQUIVALENTS_PER_N: Final = 2.0
_O2_PER_N: Final = 2.0


def tan_g_n_per_day(feed_g_per_day: float, protein_fraction: float) -> float:
    """Ammonia nitrogen that comes from a day's food.

    Args:
        feed_g_per_day: Food eaten [g/day], 0 to 1,000,000.
        protein_fraction: Protein in it [–], 0 to 1.

    Returns:
        Total ammonia nitrogen [g/day as N].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Timmons & Ebeling, Recirculating Aquaculture (from memory).

    >>> round(tan_g_n_per_day(1000.0, 0.4), 1)
    36.8
    """
    require_between("feed_g_per_day", feed_g_per_day, *FEED_G_PER_DAY, "g/day")
    require_between("protein_fraction", protein_fraction, *PROTEIN_FRACTION)
    return feed_g_per_day * protein_fraction * TAN_PER_PROTEIN


def alkalinity_g_caco3(nitrogen_g: float) -> float:
    """Alkalinity that nitrifying this much ammonia nitrogen uses up.

    NH₄⁺ + 2 O₂ + 2 HCO₃⁻ → NO₃⁻ + 2 H₂CO₃ + H₂O: two equivalents for each nitrogen. Bacteria that grow, and nitrate
    that is breathed elsewhere, make it less.

    Args:
        nitrogen_g: Ammonia nitrogen [g as N], 0 to 100,000.

    Returns:
        Alkalinity [g as CaCO3].

    Raises:
        OutOfRange: The argument is outside its range, or is NaN.

    Source:
        US EPA, Nitrogen Control (1993): 7.14 g per gram (from memory).

    >>> round(alkalinity_g_caco3(1.0), 3)
    7.145
    """
    require_between("nitrogen_g", nitrogen_g, *NITROGEN_G, "g")
    return nitrogen_g / MOLAR_MASS_N * _EQUIVALENTS_PER_N * MG_CACO3_PER_MEQ


def alkalinity_dkh(nitrogen_g: float, volume_l: float) -> float:
    """As `alkalinity_g_caco3`, as a fall of KH in a body of water.

    Args:
        nitrogen_g: Ammonia nitrogen [g as N], 0 to 100,000.
        volume_l: Water volume [L], 1 to 1,000,000.

    Returns:
        Fall of KH [°dKH].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        As `alkalinity_g_caco3`.

    >>> round(alkalinity_dkh(1.0, 1000.0), 4)
    0.4003
    """
    require_between("volume_l", volume_l, *VOLUME_L, "L")
    return alkalinity_g_caco3(nitrogen_g) * 1000.0 / volume_l / MG_CACO3_PER_L_PER_DKH


def bicarbonate_g(nitrogen_g: float) -> float:
    """Sodium bicarbonate, pure, that makes up for nitrifying this much ammonia nitrogen.

    Args:
        nitrogen_g: Ammonia nitrogen [g as N], 0 to 100,000.

    Returns:
        Sodium bicarbonate [g].

    Raises:
        OutOfRange: The argument is outside its range, or is NaN.

    Source:
        Stoichiometry, as `alkalinity_g_caco3`; one mole is one equivalent.

    >>> round(bicarbonate_g(1.0), 2)
    11.99
    """
    return alkalinity_g_caco3(nitrogen_g) / MG_CACO3_PER_MEQ * MOLAR_MASS_NAHCO3


def oxygen_g(nitrogen_g: float) -> float:
    """Oxygen that nitrifying this much ammonia nitrogen uses.

    Args:
        nitrogen_g: Ammonia nitrogen [g as N], 0 to 100,000.

    Returns:
        Oxygen [g].

    Raises:
        OutOfRange: The argument is outside its range, or is NaN.

    Source:
        Stoichiometry: two O₂ for each nitrogen. US EPA, Nitrogen Control (1993): 4.57 g per gram (from memory).

    >>> round(oxygen_g(1.0), 3)
    4.569
    """
    require_between("nitrogen_g", nitrogen_g, *NITROGEN_G, "g")
    return nitrogen_g / MOLAR_MASS_N * _O2_PER_N * 2.0 * MOLAR_MASS_O
