"""The water of a basin by its measures."""

import pytest
from msgspec.structs import replace

from evenwater.domain.errors import Contradiction, Missing, OutOfRange
from evenwater.domain.reckon import basin_volume
from evenwater.domain.water.basin import basin_volume_l

BOX = basin_volume.CALCULATOR.example


def test_a_box_holds_its_three_sides_and_what_goes_round_with_it():
    found, workings = basin_volume.reckon(BOX)
    assert found.volume_l == pytest.approx(4.2 * 2.6 * 1.4 * 1000 + 600)
    assert 0.05 < found.volume_sd_l / found.volume_l < 0.1
    assert workings.steps[0].value == "10.92 m²"


def test_a_round_pond_is_an_oval_one_of_equal_sides_and_an_oval_fits_its_box():
    round_l = basin_volume_l("round", 4.0, 4.0, 1.5)
    assert basin_volume_l("oval", 4.0, 4.0, 1.5) == round_l
    assert round_l / basin_volume_l("rectangle", 4.0, 4.0, 1.5) == pytest.approx(0.7854, abs=1e-4)


def test_a_round_pond_needs_no_width_and_a_box_says_that_it_does():
    assert basin_volume.reckon(replace(BOX, shape="round", width_m=None))[0].volume_l > 0
    with pytest.raises(Missing, match="width"):
        basin_volume.reckon(replace(BOX, width_m=None))


@pytest.mark.parametrize(("sides", "error"), [((0.05, 3.0, 1.0), OutOfRange), ((4.0, 3.0, 11.0), OutOfRange)])
def test_measures_that_no_pond_has_are_refused(sides, error):
    with pytest.raises(error):
        basin_volume_l("rectangle", *sides)


def test_measures_that_come_to_no_pond_are_refused_whatever_each_may_be():
    for sides in ((0.2, 0.3, 0.2), (100.0, 100.0, 9.0)):
        with pytest.raises(Contradiction, match="come to"):
            basin_volume_l("rectangle", *sides)
