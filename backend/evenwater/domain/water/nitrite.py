"""Nitrite and chloride: chloride keeps nitrite out of a fish's gills. Arithmetic, not treatment."""

from typing import Final

from evenwater.domain.errors import require_between
from evenwater.domain.units import CL_PER_NACL

NITRITE_N_MG_PER_L: Final = (0.0, 50.0)
"""Nitrite nitrogen [mg/L as N]."""

CHLORIDE_MG_PER_L: Final = (0.0, 20_000.0)
"""Chloride [mg/L]: none to sea water."""

TARGET_RATIO: Final = (1.0, 100.0)
"""Chloride wanted for each nitrite nitrogen, by weight [–]."""

SHIELD_RATIO: Final = 10.0
"""Chloride that shields, times nitrite nitrogen by weight [–]. Extension practice after Lewis & Morris (1986), from
memory. Carp that died at 0.54 all lived at 6.5 (Kroupova et al. 2006, Vet. Med. 51, 423-431)."""


def chloride_per_nitrite_n(nitrite_n_mg_per_l: float, chloride_mg_per_l: float) -> float | None:
    """Chloride over nitrite nitrogen, by weight.

    Args:
        nitrite_n_mg_per_l: Nitrite nitrogen [mg/L as N], 0 to 50.
        chloride_mg_per_l: Chloride [mg/L], 0 to 20,000.

    Returns:
        Ratio [–]; None where there is no nitrite.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Definition.

    >>> chloride_per_nitrite_n(0.5, 40.0)
    80.0
    """
    require_between("nitrite_n_mg_per_l", nitrite_n_mg_per_l, *NITRITE_N_MG_PER_L, "mg/L as N")
    require_between("chloride_mg_per_l", chloride_mg_per_l, *CHLORIDE_MG_PER_L, "mg/L")
    return chloride_mg_per_l / nitrite_n_mg_per_l if nitrite_n_mg_per_l > 0.0 else None


def salt_mg_per_l(nitrite_n_mg_per_l: float, chloride_mg_per_l: float, target_ratio: float) -> float:
    """Pure salt that lifts chloride to so many times the nitrite nitrogen.

    Args:
        nitrite_n_mg_per_l: Nitrite nitrogen [mg/L as N], 0 to 50.
        chloride_mg_per_l: Chloride now [mg/L], 0 to 20,000.
        target_ratio: Chloride wanted for each nitrite nitrogen [–], 1 to 100.

    Returns:
        Sodium chloride [mg/L]; 0 where there is chloride enough.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        Mass balance.

    >>> round(salt_mg_per_l(1.0, 0.0, 10.0), 1)
    16.5
    """
    require_between("nitrite_n_mg_per_l", nitrite_n_mg_per_l, *NITRITE_N_MG_PER_L, "mg/L as N")
    require_between("chloride_mg_per_l", chloride_mg_per_l, *CHLORIDE_MG_PER_L, "mg/L")
    require_between("target_ratio", target_ratio, *TARGET_RATIO)
    return max(0.0, target_ratio * nitrite_n_mg_per_l - chloride_mg_per_l) / CL_PER_NACL
