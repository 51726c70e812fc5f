"""What a pond loses through its walls and floor, from what its keeper can tell, and how far that may be off."""

from math import hypot, log1p, pi, sqrt

from msgspec import Struct

from evenwater.domain.errors import require_between
from evenwater.domain.kit import Layer, Shell
from evenwater.domain.warmth.heat.layers import OUTSIDE_R, layers_r_m2_k_per_w, u_value_w_per_m2_k
from evenwater.domain.water.buffer import VOLUME_L

# Where it is not told. All of these are our own, from how such ponds are built: common practice, no source.
_DEPTH_M = 1.3
_DEPTHS_M = 0.3, 4.0
_WALL = (Layer("xps", 0.05), Layer("concrete", 0.15))
_FLOOR = (Layer("xps", 0.03), Layer("concrete", 0.15))
# A surface that is neither round nor square has a longer edge than a square's.
_OTHER_EDGE = 1.1
# Doubts as standard deviations of the logarithm. Layers and shape told: thermal bridges, wet insulation, pipes. Walls
# or floor not told: from bare concrete, twenty times as much, to 15 cm of foam, a third.
_BASE_DOUBT, _WALL_DOUBT, _FLOOR_DOUBT, _SHAPE_DOUBT = 0.3, 0.7, 0.5, 0.25
_SOIL_W_PER_M_K = 2.0

_BREADTH = 0.457
"""How much of a well insulated floor's breadth counts as soil below it [–]. Source: ISO 13370:2017 (from memory).

Too small to pin: 1 % of it moves such a floor's loss by 0.2 %, and the solver it is held to is 3 % apart.
"""


class ShellLoss(Struct, frozen=True):
    """Surface [m²], loss to the air and to the ground [W/K], doubt, and what was assumed, in sentences.

    `sd_ln_ua`: standard deviation of the logarithm of both losses together [–].
    """

    surface_m2: float
    depth_m: float
    wall_ua_air_w_per_k: float
    ground_ua_w_per_k: float
    sd_ln_ua: float
    assumed: tuple[str, ...]


class _Size(Struct, frozen=True):
    surface_m2: float
    edge_m: float
    depth_m: float
    told: bool


def shell_loss(shell: Shell, volume_l: float) -> ShellLoss:
    """Loss of a pond's walls and floor, air side and ground side apart.

    Args:
        shell: What is known of it; what is not is assumed, and said.
        volume_l: Water [L], 1 to 1,000,000.

    Returns:
        See `ShellLoss`. The cover or the open surface is not in it.

    Raises:
        OutOfRange: The volume is outside its range, or is NaN.

    Source:
        Above ground: ISO 6946, with no film on the water's side. Below: ISO 13370:2017, heated basement, floor and
        walls, soil of 2 W/(m K) (equations from memory). Steady state: the ground's slow year is not in it.
    """
    require_between("volume_l", volume_l, *VOLUME_L, "L")
    size = _size(shell, volume_l)
    walls, floor = shell.walls or _WALL, shell.floor or _FLOOR
    buried_m = size.depth_m * shell.below_ground_fraction
    wall_u = u_value_w_per_m2_k(layers_r_m2_k_per_w(walls), 0.0, OUTSIDE_R)
    # ISO 13370's equivalent thickness of the floor has the wall's own in it: heat goes round its foot.
    floor_m = sum(one.thickness_m for one in walls) + _soil_like_m(floor)
    in_ground = size.edge_m * _buried_wall_w_per_m_k(_soil_like_m(walls), floor_m, buried_m)
    in_ground += size.surface_m2 * _floor_u(floor_m, size, buried_m)
    return ShellLoss(
        surface_m2=size.surface_m2,
        depth_m=size.depth_m,
        wall_ua_air_w_per_k=size.edge_m * (size.depth_m - buried_m) * wall_u,
        ground_ua_w_per_k=in_ground,
        sd_ln_ua=_doubt(shell, size),
        assumed=_assumed(shell, size),
    )


def _size(shell: Shell, volume_l: float) -> _Size:
    """Surface, edge and depth: from its measures, or from its volume and a usual depth."""
    volume_m3 = volume_l / 1000
    surface_m2, edge_m = _outline(shell)
    told = surface_m2 is not None
    if surface_m2 is None:
        surface_m2 = volume_m3 / (shell.depth_m or _DEPTH_M)
    if edge_m is None:
        edge_m = 4 * sqrt(surface_m2) * _OTHER_EDGE
    depth_m = shell.depth_m or max(_DEPTHS_M[0], min(_DEPTHS_M[1], volume_m3 / surface_m2))
    return _Size(surface_m2, edge_m, depth_m, told)


def _outline(shell: Shell) -> tuple[float | None, float | None]:
    """Surface [m²] and edge [m], as far as the shape and its measures tell."""
    if shell.shape == "other":
        return shell.surface_m2, None
    edge_m = surface_m2 = None
    if shell.length_m is not None and shell.shape == "round":
        surface_m2, edge_m = pi / 4 * shell.length_m**2, pi * shell.length_m
    elif shell.length_m is not None and shell.width_m is not None and shell.shape == "rectangle":
        surface_m2, edge_m = shell.length_m * shell.width_m, 2 * (shell.length_m + shell.width_m)
    return surface_m2, edge_m


def _soil_like_m(layers: tuple[Layer, ...]) -> float:
    """Thickness of soil that would insulate as the layers do, with water on the one side [m]."""
    return _SOIL_W_PER_M_K * (layers_r_m2_k_per_w(layers) + OUTSIDE_R)


def _floor_u(floor_m: float, size: _Size, buried_m: float) -> float:
    """ISO 13370, floor of a heated basement."""
    characteristic_m = size.surface_m2 / (0.5 * size.edge_m)
    thick_m = floor_m + 0.5 * buried_m
    if thick_m < characteristic_m:
        around_m = pi * characteristic_m
        return 2 * _SOIL_W_PER_M_K / (around_m + thick_m) * log1p(around_m / thick_m)
    return _SOIL_W_PER_M_K / (_BREADTH * characteristic_m + thick_m)


def _buried_wall_w_per_m_k(wall_m: float, floor_m: float, buried_m: float) -> float:
    """ISO 13370, walls of a heated basement, by the metre of edge: its U-value times the depth."""
    floor_m = min(floor_m, wall_m)
    spread = 1 + 0.5 * floor_m / (floor_m + buried_m)
    return 2 * _SOIL_W_PER_M_K / pi * spread * log1p(buried_m / wall_m)


def _doubt(shell: Shell, size: _Size) -> float:
    return hypot(
        _BASE_DOUBT,
        0.0 if shell.walls else _WALL_DOUBT,
        0.0 if shell.floor else _FLOOR_DOUBT,
        0.0 if size.told else _SHAPE_DOUBT,
    )


def _assumed(shell: Shell, size: _Size) -> tuple[str, ...]:
    said: list[str] = []
    if not size.told:
        said.append(f"The shape is not known: taken as {size.surface_m2:.1f} m² of water, {size.depth_m:.1f} m deep.")
    if not shell.walls:
        said.append("The walls' layers are not known: taken as 5 cm of foam on concrete. Bare concrete loses far more.")
    if not shell.floor:
        said.append("The floor's layers are not known: taken as 3 cm of foam under concrete.")
    return tuple(said)
