"""The growth curve against scipy's least squares and the published parameters of Caspian carp."""

import json
from math import exp
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import curve_fit
from scipy.special import ndtr

from evenwater.domain.fish.growth import GrowthCurve, Point, _normal_share

CASPIAN = json.loads((Path(__file__).parent / "fish.json").read_text("utf-8"))["caspian_carp"]


def caspian_cm(years: float) -> float:
    return CASPIAN["l_inf_cm"] * (1.0 - exp(-CASPIAN["k_per_year"] * years))


@pytest.mark.parametrize(("years", "total_cm"), CASPIAN["at_years"])
def test_the_published_curve_passes_where_our_notes_say(years, total_cm):
    assert caspian_cm(years) == pytest.approx(total_cm, abs=0.05)


def test_the_published_parameters_are_found_again_from_lengths_on_their_curve():
    curve = GrowthCurve([Point(years, caspian_cm(years), 0.5) for years in range(1, 21)])
    assert curve.l_inf_cm().low < CASPIAN["l_inf_cm"] < curve.l_inf_cm().high
    assert curve.k_per_year().low < CASPIAN["k_per_year"] < curve.k_per_year().high
    assert curve.l_inf_cm().middle == pytest.approx(CASPIAN["l_inf_cm"], rel=0.06)
    assert curve.k_per_year().middle == pytest.approx(CASPIAN["k_per_year"], rel=0.15)


@pytest.mark.parametrize("seed", range(6))
def test_with_many_points_the_curve_is_the_one_scipy_fits(seed):
    """Both on the same lengths; priors and wandering seasons make a difference of a few per cent of k, no more."""
    chance = np.random.default_rng(seed)
    years = np.linspace(0, 12, 40)
    lengths = 68 - (68 - 20) * np.exp(-0.3 * years) + chance.normal(0, 0.4, years.size)

    def curve_cm(at, l_inf, k, first):
        return l_inf - (l_inf - first) * np.exp(-k * at)

    (l_inf, k, _), _ = curve_fit(curve_cm, years, lengths, p0=(70, 0.2, 20))
    ours = GrowthCurve([Point(float(at), float(cm), 0.4) for at, cm in zip(years, lengths, strict=True)])
    assert ours.l_inf_cm().middle == pytest.approx(l_inf, rel=0.02)
    assert ours.k_per_year().middle == pytest.approx(k, rel=0.08)
    for at in (3.0, 9.0):
        assert ours.at(at).middle == pytest.approx(curve_cm(at, l_inf, k, lengths[0]), abs=1.5)


def test_the_share_of_a_normal_law_is_the_one_scipy_has():
    z = np.linspace(-6, 6, 241)
    assert _normal_share(z) == pytest.approx(ndtr(z), abs=1.5e-7)
