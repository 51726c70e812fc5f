"""How much fish there is, roughly."""

import pytest

from evenwater.domain.errors import OutOfRange
from evenwater.domain.fish.rough_mass import rough_mass_g


def test_a_pond_of_usual_koi_weighs_what_keepers_find():
    # Common practice: a koi of 60 cm weighs 3 to 4 kg.
    assert 3000 < rough_mass_g(1, 60.0) < 4000


def test_twice_as_many_weigh_twice_as_much_and_twice_as_long_nearly_eight_times():
    assert rough_mass_g(8, 40.0) == pytest.approx(2 * rough_mass_g(4, 40.0))
    assert 7 < rough_mass_g(4, 60.0) / rough_mass_g(4, 30.0) < 8


@pytest.mark.parametrize(("count", "total_cm"), [(-1, 40.0), (9, 0.5), (9, 200.0), (9, float("nan"))])
def test_fish_that_cannot_be_are_refused(count, total_cm):
    with pytest.raises(OutOfRange):
        rough_mass_g(count, total_cm)
