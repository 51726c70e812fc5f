"""The growth curve of one fish."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evenwater.domain.fish.growth import GrowthCurve, Point, curve_of, enough, specific_growth_percent_per_day
from evenwater.domain.fish.outlook import Band


@st.composite
def points(draw: st.DrawFn) -> list[Point]:
    spans = draw(st.lists(st.floats(0.2, 2.0), min_size=0, max_size=9))
    length = draw(st.floats(5, 70))
    found, years = [Point(0.0, length, 0.6)], 0.0
    for span in spans:
        years, length = years + span, length + draw(st.floats(-0.5, 6))
        found.append(Point(years, length, 0.6))
    return found


@settings(max_examples=40, deadline=None)
@given(points(), st.floats(0, 5))
def test_every_band_is_in_order_and_nothing_is_foreseen_better_than_it_is_measured(told, ahead):
    curve = GrowthCurve(told)
    for band in (curve.k_per_year(), curve.l_inf_cm(), curve.at(told[-1].years + ahead)):
        assert band.low < band.middle < band.high
    assert curve.k_per_year().low > 0
    assert curve.foresee(told[-1].years + ahead, 0.6).sd >= 0.6


@settings(max_examples=40, deadline=None)
@given(points(), st.floats(0.1, 3))
def test_the_further_ahead_the_less_sure(told, ahead):
    curve = GrowthCurve(told)
    assert curve.foresee(told[-1].years + ahead, 0.6).sd >= curve.foresee(told[-1].years, 0.6).sd - 1e-6


def test_one_length_foretells_by_what_koi_do_and_widely():
    curve = GrowthCurve([Point(0, 40, 0.6)])
    now, later = curve.foresee(0, 0.0), curve.foresee(1, 0.0)
    assert now.middle == pytest.approx(40, abs=0.5)
    assert now.sd < 0.7
    assert 42 < later.middle < 52
    assert later.sd > 2


def test_a_fish_full_grown_is_foreseen_as_long_as_it_was():
    told = [Point(float(year), 62.0, 0.6) for year in range(6)]
    assert GrowthCurve(told).foresee(6.0, 0.0).middle == pytest.approx(62, abs=0.8)


def test_a_curve_is_shown_from_four_sessions_over_a_year_and_a_half_on():
    told = [Point(0.4 * nth, 40.0 + nth, 0.6) for nth in range(5)]
    assert enough(told)
    assert not enough(told[:4])
    assert not enough([told[0], told[2], told[4]])


def test_the_same_points_are_worked_out_once():
    told = (Point(0.0, 40.0, 0.6), Point(1.0, 45.0, 0.6))
    assert curve_of(told) is curve_of((Point(0.0, 40.0, 0.6), Point(1.0, 45.0, 0.6)))


def test_specific_growth_carries_the_doubt_of_both_weights():
    growth = specific_growth_percent_per_day(Band(90, 100, 111), Band(180, 200, 222), 30)
    assert growth.low < 2.31 < growth.high
    assert growth.middle == pytest.approx(2.3105, abs=1e-4)
