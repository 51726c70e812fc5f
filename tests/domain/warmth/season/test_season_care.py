"""Food and leaves move with the water and the month."""

from datetime import date

import pytest

from evenwater.domain.kit import Cover
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.season.season_care import care_findings

NOVEMBER, JULY = date(2026, 11, 3), date(2026, 7, 3)


@pytest.mark.parametrize(
    ("water_c", "big"),
    [(7.9, "Nothing"), (8.0, "At most 3 g"), (14.9, "About 4 g"), (20.0, "10 to 15 g"), (31.0, "Nothing")],
)
def test_food_goes_by_the_water(water_c, big):
    (food,) = care_findings(Pond(id="main"), water_c, JULY)
    assert food.big.startswith(big)


def test_in_cold_water_the_biofilter_is_spoken_of():
    assert "biofilter works slowly" in care_findings(Pond(id="main"), 9.0, JULY)[0].says
    assert "biofilter" not in care_findings(Pond(id="main"), 19.0, JULY)[0].says


def test_leaves_fall_in_the_place_s_own_autumn_and_only_over_a_covered_pond():
    def leaves(pond: Pond, on: date) -> bool:
        return any(one.id == "leaves" for one in care_findings(pond, 12.0, on))

    assert leaves(Pond(id="main", cover=Cover()), NOVEMBER)
    assert not leaves(Pond(id="main"), NOVEMBER)
    assert not leaves(Pond(id="main", cover=Cover(), latitude=-38.0), NOVEMBER)
    assert leaves(Pond(id="main", cover=Cover(), latitude=-38.0), date(2026, 5, 3))
