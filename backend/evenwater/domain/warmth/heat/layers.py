"""How well layers of a wall, and a whole pond's walls and floor, keep heat in."""

from collections.abc import Iterable
from typing import Final

from evenwater.domain.errors import Contradiction, require_between
from evenwater.domain.kit import Layer, Material

CONDUCTIVITY_W_PER_M_K: Final[dict[Material, float]] = {
    "xps": 0.035,
    "eps": 0.038,
    "pur": 0.027,
    "mineral_wool": 0.040,
    "concrete": 2.0,
    "block": 1.1,
    "brick": 0.8,
    "timber": 0.13,
    "plywood": 0.13,
    "fibreglass": 0.3,
    "liner": 0.17,
    "soil": 2.0,
}
"""Design conductivity [W/(m K)], dry insulation.

Our own choice of one value within each material's range in ISO 10456 and its national tables (from memory).
Wet insulation is worse: soaked mineral wool hardly insulates at all.
"""

INSIDE_R_UP: Final = 0.10
"""Air film inside where heat goes up [m² K/W]. Source: ISO 6946:2017, table 7 (from memory)."""

OUTSIDE_R: Final = 0.04
"""Air film outside [m² K/W]. Source: as above (secondary)."""

THICKNESS_M: Final = (0.0, 2.0)
"""One layer [m]."""

CONDUCTIVITY: Final = (0.01, 5.0)
"""What walls are made of [W/(m K)]."""

FILM_R: Final = (0.0, 10.0)
"""Resistance of a film, or of anything beside the layers [m² K/W]."""


def layers_r_m2_k_per_w(layers: Iterable[Layer]) -> float:
    """Resistance of layers one behind the other [m² K/W].

    Args:
        layers: Thickness 0 to 2 m; conductivity 0.01 to 5 W/(m K), or the material's.

    Raises:
        OutOfRange: A thickness or conductivity is outside its range, or is NaN.

    Source:
        ISO 6946:2017, 6.7.1: the sum of d/λ.
    """
    return sum((resistance_m2_k_per_w(one.thickness_m, conductivity_of(one)) for one in layers), 0.0)


def conductivity_of(layer: Layer) -> float:
    """A layer's own conductivity [W/(m K)], else its material's."""
    told = layer.conductivity_w_per_m_k
    return CONDUCTIVITY_W_PER_M_K[layer.material] if told is None else told


def resistance_m2_k_per_w(thickness_m: float, conductivity_w_per_m_k: float) -> float:
    """Resistance of one layer.

    Args:
        thickness_m: [m], 0 to 2.
        conductivity_w_per_m_k: [W/(m K)], 0.01 to 5.

    Returns:
        [m² K/W].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.

    Source:
        ISO 6946:2017, 6.7.1.
    """
    require_between("thickness_m", thickness_m, *THICKNESS_M, "m")
    require_between("conductivity_w_per_m_k", conductivity_w_per_m_k, *CONDUCTIVITY, "W/(m K)")
    return thickness_m / conductivity_w_per_m_k


def u_value_w_per_m2_k(layers_r: float, inside_r_m2_k_per_w: float, outside_r_m2_k_per_w: float) -> float:
    """Heat a wall lets through, per square metre and degree.

    Args:
        layers_r: Of its layers [m² K/W], 0 to 1600.
        inside_r_m2_k_per_w: 0 to 10; water 0, air 0.13 at a wall, 0.10 below a roof, 0.17 above a floor.
        outside_r_m2_k_per_w: 0 to 10; open air 0.04.

    Returns:
        U [W/(m² K)].

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.
        Contradiction: There is no resistance at all.

    Source:
        ISO 6946:2017, 6.5: one over the sum of resistances.

    >>> round(u_value_w_per_m2_k(0.1 / 0.034 + 0.15 / 2.0, 0.0, 0.04), 4)
    0.3272
    """
    require_between("layers_r", layers_r, 0.0, 1600.0, "m² K/W")
    require_between("inside_r_m2_k_per_w", inside_r_m2_k_per_w, *FILM_R, "m² K/W")
    require_between("outside_r_m2_k_per_w", outside_r_m2_k_per_w, *FILM_R, "m² K/W")
    whole = inside_r_m2_k_per_w + layers_r + outside_r_m2_k_per_w
    if whole <= 0:
        raise Contradiction("nothing holds the heat back", where="layers", right="a layer with thickness, or a film")
    return 1 / whole
