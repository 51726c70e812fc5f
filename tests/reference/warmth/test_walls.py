"""Walls, floor and cover against printed values and a solver. Sources and tolerances stand in walls.json."""

import json
from pathlib import Path

import numpy
import pytest
from msgspec.structs import replace
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

from evenwater.domain.errors import Contradiction, OutOfRange
from evenwater.domain.kit import Cover, Layer, Shell
from evenwater.domain.warmth.heat.cover import cover_heat
from evenwater.domain.warmth.heat.layers import (
    CONDUCTIVITY_W_PER_M_K,
    INSIDE_R_UP,
    OUTSIDE_R,
    layers_r_m2_k_per_w,
    resistance_m2_k_per_w,
    u_value_w_per_m2_k,
)
from evenwater.domain.warmth.heat.shell_loss import shell_loss

CHECKS = json.loads(Path(__file__).with_name("walls.json").read_text(encoding="utf-8"))
W_PER_M2_K_PER_BTU = 5.678263
WALL = (Layer("xps", 0.1, 0.034), Layer("concrete", 0.15, 2.0))


def test_a_ponds_wall_has_the_u_value_reckoned_by_hand():
    # 0.13: the film of still air inside, ISO 6946:2017 table 7 (secondary); water has next to none.
    known, layers_r = CHECKS["pond_wall"], layers_r_m2_k_per_w(WALL)
    for inside, name in ((0.0, "water_inside"), (0.13, "air_inside")):
        ours = u_value_w_per_m2_k(layers_r, inside, OUTSIDE_R)
        assert ours == pytest.approx(known[name], abs=known["tolerance"])


def test_the_resistance_of_a_sheet_of_foam_is_the_printed_one():
    known = CHECKS["xps_50_mm"]
    assert resistance_m2_k_per_w(0.05, 0.029) == pytest.approx(known["r_m2_k_per_w"], abs=known["tolerance"])


@pytest.mark.parametrize("material", CHECKS["materials"]["w_per_m_k"])
def test_a_materials_conductivity_lies_in_its_printed_range(material):
    low, high = CHECKS["materials"]["w_per_m_k"][material]
    assert low <= CONDUCTIVITY_W_PER_M_K[material] <= high


@pytest.mark.parametrize(("thickness_mm", "btu"), CHECKS["sheets"]["btu"])
def test_a_multiwall_sheet_is_the_makers(thickness_mm, btu):
    ours = cover_heat(Cover(thickness_mm=thickness_mm))
    # At 10 mm we lie between the maker and the supplier's guide.
    assert ours.u_w_per_m2_k == pytest.approx(btu * W_PER_M2_K_PER_BTU, rel=0.05 if thickness_mm == 10 else 0.003)
    assert ours.sd_ln_u == CHECKS["sheets"]["tolerance"]


@pytest.mark.parametrize(("thickness_mm", "low", "high"), CHECKS["sheets"]["guide"])
def test_a_multiwall_sheet_is_the_suppliers_within_our_doubt(thickness_mm, low, high):
    ours = cover_heat(Cover(thickness_mm=thickness_mm)).u_w_per_m2_k
    assert ours == pytest.approx((low + high) / 2, rel=CHECKS["sheets"]["tolerance"])
    if thickness_mm == 10:
        maker = dict(CHECKS["sheets"]["btu"])[10] * W_PER_M2_K_PER_BTU
        assert ours == pytest.approx((maker + (low + high) / 2) / 2, rel=0.003)
    if thickness_mm == 25:
        assert ours == pytest.approx((low + high) / 2)


@pytest.mark.parametrize(("thickness_mm", "theirs"), CHECKS["cavities"]["cases"])
def test_a_multiwall_sheet_is_near_that_of_its_cavities(thickness_mm, theirs):
    ours = cover_heat(Cover(thickness_mm=thickness_mm)).u_w_per_m2_k
    assert ours == pytest.approx(theirs, rel=CHECKS["cavities"]["tolerance"])


def test_a_panel_lets_in_no_sun_and_a_makers_figure_wins():
    panel = cover_heat(Cover(kind="opaque", thickness_mm=50))
    # 50 mm of foam of 0.033 to 0.040 W/(m K) between the films.
    sides = [1 / (INSIDE_R_UP + 0.05 / conductivity + OUTSIDE_R) for conductivity in (0.033, 0.040)]
    assert sides[0] < panel.u_w_per_m2_k < sides[1]
    # By hand, with 0.036.
    assert panel.u_w_per_m2_k == pytest.approx(0.6541, abs=5e-5)
    assert panel.sun_fraction == 0
    told = cover_heat(Cover(thickness_mm=16, u_w_per_m2_k=2.2))
    assert (told.u_w_per_m2_k, told.sun_fraction) == (2.2, 0.72)
    assert told.sd_ln_u < panel.sd_ln_u


def lines_m(*parts: object) -> numpy.ndarray:
    """Where cells meet, in order and once each."""
    return numpy.unique(numpy.round(numpy.concatenate(parts), 9))


class Soil:
    """Soil about half of a long pit, in cells: heat between cells, to the open air, and from the warm pit."""

    def __init__(self, width_m: float, depth_m: float, wall_m: float) -> None:
        half_m, far_m = width_m / 2, numpy.geomspace(0.02, 12 * width_m, 45)
        wall = half_m + numpy.linspace(0, wall_m, 7)
        x = lines_m(numpy.linspace(0, half_m, 31), wall, half_m + wall_m + far_m)
        y = lines_m(numpy.linspace(0, depth_m, 21), depth_m + far_m)
        self.dx, self.dy = numpy.diff(x), numpy.diff(y)
        middles, levels = (x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2
        self.outside, self.below = middles > half_m + wall_m, levels > depth_m
        self.under_floor = middles < half_m
        self.there = self.below[:, None] | self.outside[None, :]
        self.number = numpy.where(self.there, numpy.cumsum(self.there).reshape(self.there.shape) - 1, -1)
        self.entries: list[tuple[int, int, float]] = []
        self.warm: list[tuple[int, float]] = []

    def link(self, one: int, other: int, w_per_k: float) -> None:
        self.entries += [(one, one, w_per_k), (other, other, w_per_k), (one, other, -w_per_k), (other, one, -w_per_k)]

    def warm_w_per_k(self, floor_r: float, wall_r: float, soil_w_per_m_k: float) -> float:
        """Heat out of the whole pit, by the metre of its length."""
        for row, column in zip(*numpy.nonzero(self.there), strict=True):
            here, dx, dy = self.number[row, column], self.dx[column], self.dy[row]
            if column + 1 < len(self.dx):
                self.link(here, self.number[row, column + 1], soil_w_per_m_k * dy * 2 / (dx + self.dx[column + 1]))
            if row + 1 < len(self.dy):
                self.link(here, self.number[row + 1, column], soil_w_per_m_k * dx * 2 / (dy + self.dy[row + 1]))
            if row == 0 and self.outside[column]:
                self.entries.append((here, here, dx / (OUTSIDE_R + dy / 2 / soil_w_per_m_k)))
            if self.under_floor[column] and (row == 0 or not self.there[row - 1, column]):
                self.warm.append((here, dx / (floor_r + dy / 2 / soil_w_per_m_k)))
            if not self.below[row] and not self.there[row, column - 1]:
                self.warm.append((here, dy / (wall_r + dx / 2 / soil_w_per_m_k)))
        self.entries += [(here, here, flow) for here, flow in self.warm]
        right = numpy.zeros(int(self.there.sum()))
        for here, flow in self.warm:
            right[here] += flow
        rows, columns, values = zip(*self.entries, strict=True)
        warmth = spsolve(coo_matrix((values, (rows, columns)), shape=(len(right), len(right))).tocsr(), right)
        return 2 * float(sum(flow * (1 - warmth[here]) for here, flow in self.warm))


@pytest.mark.parametrize("depth_m", CHECKS["ground"]["depths_m"])
@pytest.mark.parametrize("foam_m", CHECKS["ground"]["foam_m"])
def test_a_pond_in_the_ground_loses_to_it_what_a_solver_finds(foam_m, depth_m):
    known, concrete = CHECKS["ground"], Layer("concrete", 0.15, 2.0)
    wall = (Layer("xps", foam_m, 0.034), concrete) if foam_m else (concrete,)
    # So long that its ends hardly count.
    shell = Shell(
        length_m=100,
        width_m=4,
        depth_m=max(0.5, depth_m),
        below_ground_fraction=depth_m / max(0.5, depth_m),
        floor=wall,
        walls=wall,
    )
    ours = shell_loss(shell, 200_000).ground_ua_w_per_k / 100
    wet_r = layers_r_m2_k_per_w(wall) + OUTSIDE_R
    theirs = Soil(4, depth_m, 0.15 + foam_m).warm_w_per_k(wet_r, wet_r, 2.0)
    assert ours == pytest.approx(theirs, rel=known["tolerance"] if foam_m else known["bare_tolerance"])


def test_walls_above_ground_are_their_u_value_times_their_area():
    shell = Shell(length_m=5, width_m=3, depth_m=1.4, below_ground_fraction=0.25, walls=WALL, floor=WALL)
    loss = shell_loss(shell, 21_000)
    assert loss.wall_ua_air_w_per_k == pytest.approx(16 * 1.4 * 0.75 * CHECKS["pond_wall"]["water_inside"], rel=1e-3)
    assert loss.surface_m2 == 15
    assert loss.assumed == ()


def test_a_pond_let_into_the_ground_loses_nothing_to_the_air_through_its_walls():
    sunk = shell_loss(Shell(length_m=5, width_m=3, below_ground_fraction=1, walls=WALL), 21_000)
    raised = shell_loss(Shell(length_m=5, width_m=3, below_ground_fraction=0, walls=WALL), 21_000)
    assert sunk.wall_ua_air_w_per_k == 0 < raised.wall_ua_air_w_per_k
    assert sunk.ground_ua_w_per_k > raised.ground_ua_w_per_k > 0


def test_what_is_not_told_is_assumed_said_and_doubted():
    nothing = shell_loss(Shell(), 13_000)
    assert nothing.surface_m2 == pytest.approx(10)
    assert [one.partition(" not known")[0] for one in nothing.assumed] == [
        "The shape is",
        "The walls' layers are",
        "The floor's layers are",
    ]
    told = shell_loss(Shell(length_m=4, width_m=2.5, walls=WALL, floor=WALL), 13_000)
    assert told.assumed == ()
    assert told.sd_ln_ua < 0.5 * nothing.sd_ln_ua


def test_a_pond_hardly_in_the_ground_is_one_upon_it():
    upon, hardly = (shell_loss(Shell(below_ground_fraction=part), 20_000) for part in (0.0, 5e-324))
    assert hardly.ground_ua_w_per_k == pytest.approx(upon.ground_ua_w_per_k)


def test_shapes_have_their_own_edges():
    assert shell_loss(Shell(shape="round", length_m=4), 16_000).surface_m2 == pytest.approx(12.566, abs=0.001)
    other = shell_loss(Shell(shape="other", surface_m2=12.566), 16_000)
    assert other.surface_m2 == 12.566
    assert other.assumed[0].startswith("The walls")
    odd = shell_loss(Shell(shape="other", length_m=4), 16_000)
    assert odd.assumed[0].startswith("The shape is not known")


def test_a_surface_told_of_another_shape_counts_no_more():
    for shell in (Shell(length_m=5, width_m=3), Shell(shape="round", length_m=4)):
        assert shell_loss(replace(shell, surface_m2=30), 16_000) == shell_loss(shell, 16_000)
    assert shell_loss(Shell(surface_m2=30), 16_000) == shell_loss(Shell(), 16_000)


@pytest.mark.parametrize(
    ("quantity", "wrong"),
    [
        ("thickness_m", lambda: resistance_m2_k_per_w(2.1, 1)),
        ("conductivity_w_per_m_k", lambda: resistance_m2_k_per_w(0.1, 0)),
        ("layers_r", lambda: u_value_w_per_m2_k(-1, 0, 0.04)),
        ("inside_r_m2_k_per_w", lambda: u_value_w_per_m2_k(1, -0.1, 0.04)),
        ("outside_r_m2_k_per_w", lambda: u_value_w_per_m2_k(1, 0, float("nan"))),
        ("volume_l", lambda: shell_loss(Shell(), 0)),
    ],
)
def test_what_lies_outside_a_range_is_refused_by_name(quantity, wrong):
    with pytest.raises(OutOfRange) as refused:
        wrong()
    assert refused.value.where == quantity


def test_no_resistance_at_all_is_refused():
    with pytest.raises(Contradiction):
        u_value_w_per_m2_k(0, 0, 0)
