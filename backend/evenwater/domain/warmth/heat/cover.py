"""What a cover does: the heat it lets through, the sun it lets in, the vapour that still escapes."""

from itertools import pairwise
from typing import Final

from msgspec import Struct

from evenwater.domain.kit import Cover
from evenwater.domain.warmth.heat.layers import INSIDE_R_UP, OUTSIDE_R

# Sheet [mm] and U [W/(m² K)]: makers' and suppliers' figures (secondary; 8 and 16 mm by ASTM C976, 10 and 25 mm the
# middle of what is stated), no independent laboratory's. Taken as good to 15 %.
_SHEETS: Final = ((8.0, 3.41), (10.0, 3.04), (16.0, 2.38), (25.0, 1.65))

# Our own: thicker ones are not made.
_THICKEST_SHEET_MM = 50.0
# Sun let through by clear sheets, new and clean. Common practice, no source.
_SUN: Final = ((8.0, 0.8), (16.0, 0.72), (32.0, 0.6))
# Foam panels, by ISO 10456's range for XPS and EPS (from memory).
_PANEL_W_PER_M_K = 0.036
# Doubt as the standard deviation of the logarithm: 15 % for a table, less for what its maker states. Common practice,
# no source; gaps at the edges are in neither.
_DOUBT, _TOLD_DOUBT = 0.15, 0.08


class CoverHeat(Struct, frozen=True):
    """Heat let through, air to air [W/(m² K)], the sd of its logarithm [–], and the share of sun let in [–]."""

    u_w_per_m2_k: float
    sd_ln_u: float
    sun_fraction: float


def cover_heat(cover: Cover) -> CoverHeat:
    """What a cover lets through where it lies.

    Args:
        cover: Its maker's U-value wins; else a clear multiwall sheet by thickness, or an opaque foam panel.

    Returns:
        See `CoverHeat`. Sheets thinner than 8 mm or thicker than 25 go on by the resistance of the nearest two; above
        50 mm there are none, and they are taken as 50.

    Source:
        Sheets: makers' figures at ASTM C976 and a supplier's guide (both secondary), within 15 %. Panels: ISO 6946 with
        0.10 inside and 0.04 m² K/W outside, and 0.036 W/(m K). Sun: common practice, no source; 0 through a panel.

    >>> round(cover_heat(Cover(thickness_mm=16)).u_w_per_m2_k, 2)
    2.38
    """
    sheet = cover.kind == "multiwall"
    sun = max(0.0, min(1.0, _along(_SUN, min(cover.thickness_mm, _THICKEST_SHEET_MM)))) if sheet else 0.0
    if cover.u_w_per_m2_k is not None:
        return CoverHeat(cover.u_w_per_m2_k, _TOLD_DOUBT, sun)
    return CoverHeat(_sheet_u(cover.thickness_mm) if sheet else _panel_u(cover.thickness_mm), _DOUBT, sun)


def _sheet_u(thickness_mm: float) -> float:
    """By resistance, which grows with the air in it."""
    resistances = tuple((thick, 1 / u) for thick, u in _SHEETS)
    return 1 / _along(resistances, min(thickness_mm, _THICKEST_SHEET_MM))


def _panel_u(thickness_mm: float) -> float:
    return 1 / (INSIDE_R_UP + thickness_mm / 1000 / _PANEL_W_PER_M_K + OUTSIDE_R)


def _along(points: tuple[tuple[float, float], ...], x: float) -> float:
    """On the straight line through the two points about x, or nearest to it."""
    (x0, y0), (x1, y1) = next((pair for pair in pairwise(points) if x <= pair[1][0]), points[-2:])
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
