"""The step in readings against scipy, on data whose step is known."""

from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from evenwater.domain.learn.shift import FEWEST_DAYS, shift_of

START = date(2026, 1, 1)


def dated(values: np.ndarray, first: int = 0, every: int = 1) -> dict[date, float]:
    return {START + timedelta(days=first + every * n): float(value) for n, value in enumerate(values)}


def test_the_middle_is_the_median_of_all_differences_once_the_drift_is_off():
    chance = np.random.default_rng(2)
    before, after = chance.normal(size=20), chance.normal(size=25) + 2.0
    found = shift_of(dated(before), dated(after, 20), 0.99)
    assert found is not None
    level = [
        side - found.slope_per_day * np.arange(first, first + len(side)) for side, first in ((before, 0), (after, 20))
    ]
    assert found.middle == pytest.approx(np.median(level[1][:, None] - level[0][None, :]), abs=1e-9)


def test_the_drift_taken_off_is_that_of_scipys_theil_and_sen_on_one_side():
    values = np.cumsum(np.random.default_rng(5).normal(0.1, 0.2, 30))
    found = shift_of(dated(values), dated(values, 100), 0.99)
    assert found is not None
    assert found.slope_per_day == pytest.approx(stats.theilslopes(values).slope, rel=1e-9)


def test_an_interval_of_unrelated_values_is_at_least_as_wide_as_scipys_rank_sum_test_allows():
    """At its ends scipy's test of the values moved back by so much must give no more than the chance left out."""
    chance = np.random.default_rng(3)
    for _ in range(20):
        before, after = chance.normal(size=25), chance.normal(size=25) + 1.0
        found = shift_of(dated(before), dated(after, 25), 0.95)
        assert found is not None
        line = found.slope_per_day * np.arange(50)
        for end in (found.low, found.high):
            told = stats.mannwhitneyu(after - line[25:] - end, before - line[:25], method="exact")
            assert told.pvalue <= 0.055


def test_a_known_step_lies_inside_the_interval_as_often_as_said():
    chance, inside = np.random.default_rng(11), 0
    for _ in range(300):
        days = np.arange(60)
        values = chance.standard_t(4, 60) + 0.03 * days + np.where(days >= 30, 1.5, 0.0)
        found = shift_of(dated(values[:30]), dated(values[30:], 30), 0.9)
        assert found is not None
        inside += found.low <= 1.5 <= found.high
    # 300 draws of a true 0.90 lie above 0.86 all but once in a hundred; much above 0.98 the interval would be too wide.
    assert 0.86 <= inside / 300 <= 0.98


def test_a_single_bad_card_moves_nothing():
    chance = np.random.default_rng(8)
    before, after = chance.normal(size=30), chance.normal(size=30)
    clean, dirty = (shift_of(dated(before), dated(side, 30), 0.99) for side in (after, np.r_[after[:-1], 1e6]))
    assert clean is not None and dirty is not None
    assert dirty.middle == pytest.approx(clean.middle, abs=0.3)
    assert dirty.high - dirty.low == pytest.approx(clean.high - clean.low, rel=0.5)


def test_days_that_resemble_each_other_tell_less():
    chance = np.random.default_rng(9)
    alike = np.zeros(60)
    for n in range(1, 60):
        alike[n] = 0.9 * alike[n - 1] + chance.normal() * 0.44
    loose, tight = (shift_of(dated(of[:30]), dated(of[30:], 30), 0.99) for of in (chance.normal(size=60), alike))
    assert loose is not None and tight is not None
    assert tight.correlation > 0.5 > loose.correlation
    assert tight.effective_after < 0.5 * loose.effective_after


def test_values_all_alike_show_no_step_and_no_width():
    found = shift_of(dated(np.full(20, 5.0)), dated(np.full(20, 5.0), 20), 0.99)
    assert found is not None
    assert (found.low, found.middle, found.high) == (0.0, 0.0, 0.0)


def test_fewer_days_than_it_takes_give_none():
    assert shift_of(dated(np.zeros(FEWEST_DAYS - 1)), dated(np.zeros(30), 30), 0.99) is None
