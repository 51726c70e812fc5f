"""The band of the membrane's trend against Student's distribution in scipy. The trend itself: tests/domain/water."""

import random
from datetime import UTC, datetime, timedelta
from math import exp, log

import pytest
from scipy.stats import linregress, t

from evenwater.domain.water.membrane_findings import rejection_trend

START = datetime(2026, 1, 1, tzinfo=UTC)
DAYS_PER_MONTH = 365.25 / 12.0


def points_each_side(freedom: int) -> tuple[float, float]:
    """Half the band [percentage points a month]: ours, and by scipy's regression and quantile."""
    draw = random.Random(freedom)
    days = [7.0 * week for week in range(freedom + 2)]
    passing = [0.05 * exp(0.002 * day + draw.gauss(0.0, 0.1)) for day in days]
    ours = rejection_trend([(START + timedelta(day), 1.0 - one) for day, one in zip(days, passing, strict=True)])
    assert ours is not None
    line = linregress(days, [log(one) for one in passing])
    now = 100.0 * exp(line.intercept + line.slope * days[-1])
    return (ours.high - ours.low) / 2.0, now * DAYS_PER_MONTH * line.stderr * float(t.ppf(0.95, freedom))


@pytest.mark.parametrize("freedom", range(1, 11))
def test_the_band_of_few_readings_is_students(freedom):
    ours, theirs = points_each_side(freedom)
    # Printed tables have three figures: half a unit of 1.81 is 0.3 %.
    assert ours == pytest.approx(theirs, rel=0.003)


@pytest.mark.parametrize(
    ("freedom", "tolerance"), [(11, 0.0006), (12, 0.001), (20, 0.0025), (40, 0.0025), (200, 0.0025)]
)
def test_the_band_of_many_readings_is_students(freedom, tolerance):
    ours, theirs = points_each_side(freedom)
    # Two terms in 1 / freedom: best just beyond the table, 0.2 % wide of it at twenty.
    assert ours == pytest.approx(theirs, rel=tolerance)
