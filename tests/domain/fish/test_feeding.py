"""Food by the water's warmth."""

import pytest

from evenwater.domain.errors import OutOfRange
from evenwater.domain.fish.feeding import most_ration_fraction, usual_ration_fraction

# Maintenance 0.40 / 0.75 / 1.20 / 1.90 and best growth 0.71 / 2.31 / 3.12 / 3.32 % of body mass a day at 12 / 18 / 24 /
# 30 °C, juveniles: Goolish & Adelman (1984), Aquaculture 36:27-35, abstract. Large fish need less by (W/W0)^-0.106.


@pytest.mark.parametrize(("temperature_c", "best"), [(12.5, 0.0071), (18.0, 0.0231), (24.0, 0.0312)])
def test_no_ration_passes_what_the_fastest_growing_juveniles_took(temperature_c, best):
    assert usual_ration_fraction(temperature_c) <= most_ration_fraction(temperature_c) <= best


def test_cold_and_hot_water_get_nothing():
    # FAO AFFRIS, common carp: feeding practically stops under about 8 °C.
    assert [most_ration_fraction(c) for c in (-1.0, 7.9, 30.0, 40.0)] == [0, 0, 0, 0]


def test_from_eight_degrees_to_the_best_warmth_rations_only_rise():
    rations = [most_ration_fraction(c / 2) for c in range(16, 56)]
    assert rations == sorted(rations)


def test_no_line_of_the_table_begins_above_its_most():
    assert all(usual_ration_fraction(c / 4) <= most_ration_fraction(c / 4) for c in range(-4, 160))


@pytest.mark.parametrize("temperature_c", [-1.1, 40.1, float("nan")])
def test_a_temperature_no_water_has_is_refused(temperature_c):
    with pytest.raises(OutOfRange):
        most_ration_fraction(temperature_c)
