"""When a surface sheds water out of the air beside it."""

from typing import Final

from evenwater.domain.errors import Contradiction, require_between
from evenwater.domain.warmth.heat.air import AIR_C, dew_point_of_c, saturation_on_ice_kpa

U_W_PER_M2_K: Final = (0.05, 7.0)
"""Walls to a single thin sheet [W/(m² K)]."""

RSI_M2_K_PER_W: Final = (0.04, 1.0)
"""Film of air inside [m² K/W]."""


def surface_share(u_w_per_m2_k: float, rsi_m2_k_per_w: float) -> float:
    """How near the inside surface stays to the inside air: 1 as warm, 0 as cold as outside.

    Args:
        u_w_per_m2_k: Of the wall or pane, reckoned with that film [W/(m² K)], 0.05 to 7.
        rsi_m2_k_per_w: Film of air inside [m² K/W], 0.04 to 1; for this purpose 0.25, at panes 0.13.

    Returns:
        fRsi [–], 0 to 1.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.
        Contradiction: More passes than the film alone lets through.

    Source:
        ISO 13788:2012, 3.1.3: 1 - U Rsi. Its films 0.25 and 0.13 are from memory.

    >>> round(surface_share(3.1, 0.13), 3)
    0.597
    """
    require_between("u_w_per_m2_k", u_w_per_m2_k, *U_W_PER_M2_K, "W/(m² K)")
    require_between("rsi_m2_k_per_w", rsi_m2_k_per_w, *RSI_M2_K_PER_W, "m² K/W")
    share = 1 - u_w_per_m2_k * rsi_m2_k_per_w
    if share < 0:
        raise Contradiction(
            f"a film of {rsi_m2_k_per_w:g} m² K/W lets through {1 / rsi_m2_k_per_w:.3g} W/(m² K) at most",
            where="rsi_m2_k_per_w",
            right=f"at most {1 / u_w_per_m2_k:.3g} m² K/W at this U-value; panes have 0.13",
        )
    return share


def surface_c(inside_c: float, outside_c: float, share: float) -> float:
    """Temperature of the inside surface [°C]: air inside and outside [°C, -40 to 50], `surface_share` [–].

    Raises:
        OutOfRange: A temperature is outside its range, or is NaN.

    Source:
        ISO 13788:2012, definition of fRsi.
    """
    require_between("inside_c", inside_c, *AIR_C, "°C")
    require_between("outside_c", outside_c, *AIR_C, "°C")
    return outside_c + share * (inside_c - outside_c)


def condenses(at_c: float, vapour_kpa: float) -> bool:
    """Whether a surface [°C] takes water, or frost, out of air of a vapour pressure [kPa].

    Source:
        Colder than the dew point; below 0 °C also where the air is full over ice, which comes a little sooner.
    """
    return at_c < dew_point_of_c(vapour_kpa) or (at_c < 0 and vapour_kpa > saturation_on_ice_kpa(at_c))
