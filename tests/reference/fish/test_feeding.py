"""What is fed by temperature, within the bounds that were published."""

import json
from pathlib import Path

import pytest

from evenwater.domain.fish.feeding import most_ration_fraction, usual_ration_fraction

CHECKS = json.loads((Path(__file__).parent / "fish.json").read_text("utf-8"))
GOOLISH, FAO = CHECKS["goolish_adelman"], CHECKS["fao"]


def test_under_the_temperature_at_which_carp_stop_feeding_there_is_nothing():
    assert most_ration_fraction(FAO["stops_under_c"] - 0.01) == 0
    assert most_ration_fraction(FAO["stops_under_c"]) > 0


@pytest.mark.parametrize("tenth_c", range(0, 400, 5))
def test_no_more_is_fed_than_fao_gives_fingerlings_in_ponds(tenth_c):
    assert most_ration_fraction(tenth_c / 10) <= FAO["most_percent"] / 100


@pytest.mark.parametrize(
    ("water_c", "growth_percent"), list(zip(GOOLISH["temperature_c"], GOOLISH["most_growth_percent"], strict=True))
)
def test_less_is_fed_than_the_fastest_growth_seen(water_c, growth_percent):
    """Flesh cannot be made of less food than itself weighs dry; below it nothing can be left over at appetite."""
    assert usual_ration_fraction(water_c) < growth_percent / 100


def test_the_ration_rises_to_the_warmth_at_which_growth_has_the_greatest_scope_and_falls_beyond():
    by_degree = [usual_ration_fraction(float(water_c)) for water_c in range(8, 28)]
    assert by_degree == sorted(by_degree)
    assert usual_ration_fraction(29.0) < usual_ration_fraction(27.0)
