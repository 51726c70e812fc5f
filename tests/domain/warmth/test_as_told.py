"""A pond's heat as its keeper tells it."""

import pytest

from evenwater.domain.kit import Cover
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.as_told import as_told


def told(**cover: float):
    found = as_told(Pond(id="main", volume_l=16_800, cover=Cover(**cover)), [])
    assert found is not None
    return found.model


def test_what_a_part_cover_leaves_bare_is_counted_once_as_open_water():
    whole, half = told(), told(covered_fraction=0.5)
    assert half.ua_w_per_k == pytest.approx(whole.ua_w_per_k)
    assert half.sun_covered_m2 == pytest.approx(whole.sun_covered_m2)


def test_a_thicker_cover_loses_less_and_an_opaque_one_lets_no_sun_in():
    assert told(thickness_mm=25).ua_w_per_k < told(thickness_mm=8).ua_w_per_k
    assert as_told(Pond(id="main", volume_l=16_800, cover=Cover(kind="opaque")), []).model.sun_covered_m2 == 0


def test_without_a_volume_nothing_is_told():
    assert as_told(Pond(id="main"), []) is None
