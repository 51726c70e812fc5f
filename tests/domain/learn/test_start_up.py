"""Minutes of flush from start-ups, against truths with noise."""

import math
import random
import statistics

import numpy
import pytest
from scipy.optimize import curve_fit

from evenwater.domain.learn.start_up import fitted, flush_of

MINUTES = (0.0, 1.0, 2.0, 4.0, 7.0, 12.0)


def start_up(draw: random.Random, tau: float, noise: float, above: float = 220.0, floor: float = 12.0):
    return [(m, (floor + above * math.exp(-m / tau)) * math.exp(draw.gauss(0.0, noise))) for m in MINUTES]


@pytest.mark.parametrize("tau", [0.5, 2.0, 6.0])
def test_a_clean_start_up_is_fitted_as_it_was_made(tau):
    slug = fitted(start_up(random.Random(1), tau, 0.0))
    assert slug.minutes_to(30.0) == pytest.approx(tau * math.log(220.0 / 18.0), rel=0.02)


def test_the_fit_is_that_of_an_independent_solver():
    steps = start_up(random.Random(3), 3.0, 0.03)
    minutes, values = zip(*steps, strict=True)
    (floor, above, tau), _ = curve_fit(
        lambda m, floor, above, tau: floor + above * numpy.exp(-m / tau),
        numpy.array(minutes),
        values,
        p0=(10.0, 200.0, 2.0),
        sigma=values,
    )
    slug = fitted(steps)
    # The grid of tau steps by 4 %.
    assert slug.tau_min == pytest.approx(tau, rel=0.04)
    assert slug.minutes_to(30.0) == pytest.approx(tau * math.log(above / (30.0 - floor)), rel=0.02)


def test_two_readings_are_too_few_and_so_are_three_at_one_minute():
    assert fitted([(0.0, 100.0), (5.0, 20.0)]) is None
    assert fitted([(1.0, 100.0), (1.0, 90.0), (1.0, 95.0)]) is None
    assert flush_of([[(0.0, 100.0), (5.0, 20.0)]], 30.0) is None


def test_water_that_is_clean_from_the_start_takes_no_flush():
    assert fitted([(0.0, 12.0), (1.0, 11.0), (3.0, 10.0)]).minutes_to(30.0) == 0.0


def test_water_that_settles_above_the_limit_never_comes_there():
    assert fitted([(0.0, 180.0), (4.0, 82.0), (8.0, 80.0), (20.0, 80.0)]).minutes_to(30.0) is None


def test_the_band_holds_the_next_start_up_nine_times_in_ten():
    draw, inside, widths = random.Random(77), [], []
    for _ in range(60):
        usual = draw.uniform(1.0, 5.0)
        taus = [usual * math.exp(draw.gauss(0.0, 0.25)) for _ in range(draw.choice((1, 2, 4, 8)) + 1)]
        flush = flush_of([start_up(draw, tau, 0.04) for tau in taus[:-1]], 30.0)
        truth = taus[-1] * math.log(220.0 / 18.0)
        inside.append(flush.low_min <= truth <= flush.high_min)
        widths.append(flush.high_min / flush.low_min)
    # 60 draws of 0.9: 0.82 or more in all but one run of a hundred.
    assert statistics.mean(inside) >= 0.82
    assert statistics.median(widths) < 6.0
