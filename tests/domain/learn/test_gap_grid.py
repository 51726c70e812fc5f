"""The grid against scipy's gamma law, plain sums over a finer grid, and scipy's exact test of two rates."""

from math import log

import numpy as np
import pytest
from scipy import stats

from evenwater.domain.learn.gap_grid import Held, compare, held_chance, next_run, quiet_days

REGULAR = Held((9.0, 10.0, 8.0, 11.0, 9.0, 10.0), (4.0,))
IRREGULAR = Held((2.0, 17.0, 5.0, 9.0, 1.0, 21.0, 7.0), ())


def told(runs: Held, shape: np.ndarray, mean: np.ndarray) -> np.ndarray:
    """ln likelihood by scipy.stats.gamma, for each pair of shape and mean."""
    law = stats.gamma(shape, scale=mean / shape)
    return sum(law.logpdf(days) for days in runs.ended) + sum(law.logsf(days) for days in runs.held)


def by_plain_sums(before: Held, after: Held, points: int = 24) -> float:
    """P(longer) on another grid: Gauss-Legendre in ln of shape, mean and ratio, to 3 sd of the prior."""
    nodes, weights = np.polynomial.legendre.leggauss(points)
    shape = np.exp(log(0.5) + log(24.0) * (nodes + 1.0) / 2)[:, None, None]
    mean = sum(before.ended) / len(before.ended) * np.exp(2.0 * nodes)[None, :, None]
    shape_prior = stats.norm.pdf(np.log(shape), log(2.0), 0.5) * weights[:, None, None]
    first = np.exp(told(before, shape, mean) + 20.0) * shape_prior * weights[None, :, None]
    sides = []
    for side in (-1.5, 1.5):
        ratio = (side + 1.5 * nodes)[None, None, :]
        second = np.exp(told(after, shape, mean * np.exp(ratio))) * stats.norm.pdf(ratio) * weights[None, None, :]
        sides.append(float((first * second).sum()))
    return sides[1] / sum(sides)


@pytest.mark.parametrize("shape", (0.5, 1.0, 3.7, 12.0))
@pytest.mark.parametrize("days", (0.5, 9.0, 60.0))
def test_the_chance_of_holding_is_scipys(shape, days):
    ours = held_chance(np.array([shape]), np.array([9.0]), days)[0, 0]
    assert ours == pytest.approx(stats.gamma.sf(days, shape, scale=9.0 / shape), rel=1e-10)


def test_before_and_after_agree_with_plain_sums_of_scipys_densities():
    # Between the two grids: both are sums in place of integrals. 0.003 is a fifth of the way from 0.98 to 0.995.
    for after in (Held((), (25.0,)), Held((6.0,), (3.0,))):
        assert compare(REGULAR, after).longer == pytest.approx(by_plain_sums(REGULAR, after), abs=0.003)


def test_the_same_work_after_as_before_leaves_both_ways_open():
    both = compare(REGULAR, Held((9.0, 10.0, 9.0, 8.0, 11.0, 10.0), ()))
    assert 0.2 < both.longer < 0.8
    assert both.low_ratio < 1.0 < both.high_ratio


def test_units_do_not_matter():
    days = compare(IRREGULAR, Held((30.0,), (12.0,)))
    hours = compare(
        Held(tuple(24.0 * one for one in IRREGULAR.ended)),
        Held((720.0,), (288.0,)),
    )
    assert hours.longer == pytest.approx(days.longer, abs=1e-9)


def test_a_longer_quiet_run_only_makes_longer_likelier():
    chances = [compare(REGULAR, Held((), (float(days),))).longer for days in range(1, 90, 4)]
    assert chances == sorted(chances)


def test_a_regular_pond_settles_it_sooner_than_an_irregular_one():
    regular = quiet_days(REGULAR, Held(), 5.0, 0.99, 400.0)
    irregular = quiet_days(IRREGULAR, Held(), 5.0, 0.99, 400.0)
    assert regular is not None and irregular is not None
    assert regular < irregular


@pytest.mark.parametrize("before", (REGULAR, IRREGULAR))
def test_after_so_many_quiet_days_it_is_settled_and_not_long_before(before):
    more = quiet_days(before, Held((12.0,)), 6.0, 0.99, 400.0)
    assert more is not None
    # A step of the grid is a tenth of the run; between steps we read straight off.
    assert compare(before, Held((12.0,), (6.0 + 1.05 * more,))).longer >= 0.989
    assert compare(before, Held((12.0,), (6.0 + 0.85 * more,))).longer < 0.99


def test_what_no_wait_settles_is_said_so():
    assert quiet_days(IRREGULAR, Held((1.0,) * 8), 1.0, 0.99, 20.0) is None


def test_with_pure_chance_the_ratio_is_that_of_scipys_exact_poisson_rates():
    """At shape near 1 and much data the prior fades: odds of the rates as scipy's exact conditional test gives them."""
    law = np.random.default_rng(4)
    before, after = law.exponential(9.0, 60), law.exponential(13.0, 60)
    ours = compare(Held(tuple(before)), Held(tuple(after)))
    exact = stats.binomtest(60, 120, float(before.sum() / (before.sum() + after.sum())), alternative="greater")
    # The exact test counts half of its own outcome in; a prior of one e-fold draws the ratio in by a hundredth.
    assert 1.0 - ours.longer == pytest.approx(exact.pvalue, abs=0.02)
    assert ours.middle_ratio == pytest.approx(after.mean() / before.mean(), rel=0.05)


def test_the_next_run_of_many_is_as_scipy_draws_them():
    law = stats.gamma(4.0, scale=10.0 / 4.0)
    drawn = tuple(float(one) for one in law.ppf((np.arange(200) + 0.5) / 200))
    found = next_run(Held(drawn), (0.25, 0.5, 0.75))
    assert found == pytest.approx(law.ppf((0.25, 0.5, 0.75)), rel=0.03)


def test_runs_that_only_held_make_the_next_longer():
    assert next_run(Held(REGULAR.ended, (30.0,)), (0.5,)) > next_run(REGULAR, (0.5,))
