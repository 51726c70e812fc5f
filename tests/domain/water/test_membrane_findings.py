"""The membrane: what it holds back, where that goes, how long to flush."""

import math
import random
from datetime import timedelta

import pytest
from scipy.stats import linregress, t
from written_log import NOW

from evenwater.domain.fold import fold
from evenwater.domain.water.membrane_findings import membrane_findings, rejection_trend

DAY = timedelta(days=1)


@pytest.fixture
def found(log):
    log.pond(inflow_l_per_day=400.0, membrane={"rejection_fraction": 0.95, "flush_limit_us_per_cm": 30})

    def look(now=NOW):
        known = fold(log.entries)
        return {one.id: one for one in membrane_findings(known.ponds(now.date())[0], known.of_pond("main"), now)}

    return look


def pair(log, days_ago: float, permeate: float, feed: float = 500.0) -> None:
    log.read("ec25_us_per_cm", feed, NOW - days_ago * DAY, point="mains")
    log.read("ec25_us_per_cm", permeate, NOW - days_ago * DAY + timedelta(minutes=5), point="after_membrane")


def test_without_a_membrane_there_is_nothing(log):
    assert membrane_findings(fold(log.entries).ponds(NOW.date())[0], (), NOW) == []


def test_unread_it_is_not_known_and_how_to_know_is_told(found):
    one = found()["membrane-rejection"]
    assert one.answer == "not_known"
    assert "95.0%" in one.says


@pytest.mark.parametrize(
    ("permeate", "answer"), [(20, "in_range"), (37, "in_range"), (38, "drifting"), (74, "drifting"), (76, "act_now")]
)
def test_it_is_answered_against_the_rejection_that_is_set(log, found, permeate, answer):
    pair(log, 1, permeate)
    assert found()["membrane-rejection"].answer == answer


def test_a_falling_rejection_is_told_with_its_band(log, found):
    for days_ago, permeate in ((60, 20.2), (45, 22.1), (30, 24.6), (15, 27.0), (1, 29.9)):
        pair(log, days_ago, permeate)
    # ln(29.9 / 20.2) over 59 days, of the 6.0 % that pass now.
    assert "It falls by 1.2 points a month" in found()["membrane-rejection"].says


def test_readings_that_only_scatter_show_no_trend(log, found):
    for days_ago, permeate in ((60, 20), (45, 26), (30, 19), (15, 25), (1, 21)):
        pair(log, days_ago, permeate)
    assert "No trend to be seen" in found()["membrane-rejection"].says


def test_a_new_membrane_starts_a_new_trend(log, found):
    for days_ago in (60, 45, 30):
        pair(log, days_ago, 60)
    log.write("service", NOW - 20 * DAY, service="membrane_changed")
    pair(log, 1, 15)
    one = found()["membrane-rejection"]
    assert one.big == "97.0% held back"
    assert "Too early" in one.says


def test_the_trend_is_that_of_an_independent_regression():
    draw = random.Random(11)
    days = [0.0, 9.0, 21.0, 30.0, 44.0, 58.0]
    shares = [1.0 - 0.05 * math.exp(0.004 * day + draw.gauss(0.0, 0.05)) for day in days]
    ours = rejection_trend([(NOW + day * DAY, share) for day, share in zip(days, shares, strict=True)])
    theirs = linregress(days, [math.log(1.0 - share) for share in shares])
    passing = math.exp(theirs.intercept + theirs.slope * days[-1])
    month = -100.0 * passing * 30.44
    assert ours.middle == pytest.approx(month * theirs.slope, rel=1e-9)
    half = t.ppf(0.95, len(days) - 2) * theirs.stderr
    # The table of t is printed to three figures.
    assert ours.low == pytest.approx(month * (theirs.slope + half), rel=5e-3)
    assert ours.high == pytest.approx(month * (theirs.slope - half), rel=5e-3, abs=0.01)


def test_the_band_of_the_trend_holds_nine_in_ten():
    draw = random.Random(5)
    inside = 0
    for _ in range(500):
        days = [7.0 * week for week in range(8)]
        pairs = [(NOW + day * DAY, 1.0 - 0.05 * math.exp(0.003 * day + draw.gauss(0.0, 0.08))) for day in days]
        truth = -100.0 * 0.05 * math.exp(0.003 * days[-1]) * 0.003 * 30.44
        trend = rejection_trend(pairs)
        inside += trend.low <= truth <= trend.high
    # 500 draws of 0.9: 0.87 to 0.93 nineteen times in twenty.
    assert 0.86 <= inside / 500 <= 0.94


def test_the_flush_is_learned_from_start_ups(log, found):
    for days_ago in (30, 20, 10):
        steps = [(minute, 10.0 + 200.0 * math.exp(-minute / 3.0)) for minute in (0, 2, 4, 8, 12)]
        log.write("start_up", NOW - days_ago * DAY, steps=steps, flow_l_per_min=1.0)
    one = found()["membrane-flush"]
    # 3 ln(200 / 20) = 6.9 minutes, at a litre a minute.
    assert one.big == "7 min"
    assert "6.9 L to waste" in one.says
    assert "Last start written down on 24 October" in one.says


def test_a_flush_written_down_long_ago_is_to_be_checked(log, found):
    log.write("start_up", NOW - 100 * DAY, steps=[(0, 180), (2, 90), (5, 40), (10, 20)])
    assert "Check the flush" in found()["membrane-flush"].says


def test_a_start_that_never_comes_below_the_limit_is_told(log, found):
    log.write("start_up", NOW - 2 * DAY, steps=[(0, 180), (3, 90), (6, 72), (12, 70), (20, 70)])
    one = found()["membrane-flush"]
    assert (one.big, one.answer) == ("not seen", "drifting")
    assert "three readings or more are needed, the last of them below it" in one.says


def test_nothing_changes_between_midnights(log, found):
    pair(log, 1, 30)
    log.write("start_up", NOW - 2 * DAY, steps=[(0, 180), (2, 90), (5, 40), (10, 20)])
    assert found() == found(NOW + timedelta(hours=7))
