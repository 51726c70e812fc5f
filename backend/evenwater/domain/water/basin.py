"""How much water a basin holds, by its measures."""

from math import hypot, pi
from typing import Final, Literal

from evenwater.domain.errors import Contradiction, require_between

Shape = Literal["rectangle", "round", "oval"]
SIDE_M: Final = (0.1, 100.0)
"""Length, width and diameter of a pond [m]."""
DEPTH_M: Final = (0.1, 10.0)
"""Depth of its water [m]."""
OTHER_WATER_L: Final = (0.0, 100_000.0)
"""Water in filters and pipes, which goes round with the pond's [L]."""
VOLUME_L: Final = (100.0, 1_000_000.0)
"""What a pond may hold [L]; a slip of the point shows here."""

_OF_A_BOX: Final[dict[Shape, float]] = {"rectangle": 1.0, "round": pi / 4, "oval": pi / 4}
# Our own: a tape held over water, a depth that is not the same all over, corners and walls that are not straight.
_SIDE_SD, _DEPTH_SD, _SHAPE_SD = 0.01, 0.05, 0.05
BASIN_SD_FRACTION: Final = hypot(_SIDE_SD, _SIDE_SD, _DEPTH_SD, _SHAPE_SD)
"""How far such a volume may be off, one standard deviation [–]. Our own rule of thumb."""


def basin_volume_l(shape: Shape, length_m: float, width_m: float, depth_m: float, other_water_l: float = 0.0) -> float:
    """Water in a basin of straight walls, and in what goes round with it.

    Args:
        shape: What it looks like from above.
        length_m: Length, or the diameter of a round one [m], 0.1 to 100.
        width_m: Width [m], 0.1 to 100; of a round one its diameter again.
        depth_m: Mean depth of the water [m], 0.1 to 10.
        other_water_l: Water in filters and pipes [L], 0 to 100,000.

    Returns:
        Volume [L]; its standard deviation is `BASIN_SD_FRACTION` of it.

    Raises:
        OutOfRange: An argument is outside its range, or is NaN.
        Contradiction: It comes to less than 100 L or more than 1,000,000 L.

    Source:
        Geometry: a rectangle's area, and an ellipse's, a quarter of pi times its two axes; times the depth.

    >>> round(basin_volume_l("oval", 4.0, 3.0, 1.5))
    14137
    """
    require_between("length_m", length_m, *SIDE_M, "m")
    require_between("width_m", width_m, *SIDE_M, "m")
    require_between("depth_m", depth_m, *DEPTH_M, "m")
    require_between("other_water_l", other_water_l, *OTHER_WATER_L, "L")
    volume_l = 1000.0 * _OF_A_BOX[shape] * length_m * width_m * depth_m + other_water_l
    if not VOLUME_L[0] <= volume_l <= VOLUME_L[1]:
        raise Contradiction(
            f"measures that come to {volume_l:.0f} L",
            where="length_m",
            right=f"measures in metres that come to {VOLUME_L[0]:.0f} to {VOLUME_L[1]:.0f} L",
        )
    return volume_l
