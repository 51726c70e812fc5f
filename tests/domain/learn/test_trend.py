"""A quantity over time, and its forecast."""

from datetime import timedelta

import pytest
from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.learn.from_log import learn
from evenwater.domain.learn.trend import expected_reading, trend_of
from evenwater.domain.water.buffer import bicarbonate_dose_g

TODAY = NOW.date()


@pytest.fixture
def steady() -> Log:
    """Ten cubic metres that lose a quarter of a degree a day, measured every other day, never dosed."""
    log = Log()
    log.pond(volume_l=10_000)
    for day in range(20, -1, -2):
        log.kh(round((5.0 + 0.25 * day) * 2) / 2, NOW - timedelta(days=day, hours=1))
    return log


def parts(log: Log):
    known = fold(log.entries)
    return known.ponds(TODAY)[0], known.of_pond("main")


def trend(log: Log, quantity: str = "kh_dkh", now=NOW, planned=()):
    pond, facts = parts(log)
    return trend_of(pond, learn(pond, facts, quantity, now), TODAY, (4.0, 10.0), planned)


def test_without_a_reading_there_is_no_trend(steady):
    assert trend(steady, "gh_dgh") is None


def test_the_past_follows_the_readings_and_the_forecast_goes_on(steady):
    found = trend(steady)
    assert found is not None
    assert all(abs(level - (5.0 + 0.25 * (NOW - at).total_seconds() / 86_400)) < 0.5 for at, level in found.past[3:])
    at, low, middle, high = found.forecast[-1]
    assert at.date() == TODAY + timedelta(days=7)
    assert middle == pytest.approx(5.0 - 0.25 * 7, abs=0.35)
    assert low < middle < high
    assert found.says.startswith("Loses 0.2")


def test_the_band_widens_day_by_day(steady):
    widths = [high - low for _, low, _, high in trend(steady).forecast]
    assert widths == sorted(widths)
    assert len(widths) == 8


def test_planned_doses_lift_the_forecast(steady):
    plain, dosed = trend(steady), trend(steady, planned=[(NOW + timedelta(days=2), 0.5)])
    gains = [there[2] - here[2] for here, there in zip(plain.forecast, dosed.forecast, strict=True)]
    assert gains[1] == 0
    assert gains[-1] == pytest.approx(0.5, abs=0.02)


def test_past_and_forecast_stand_on_what_a_test_before_the_dose_reads():
    # 10 m3 that lose a quarter of a degree a day, and get it back each evening: every test reads 5.
    log = Log()
    log.pond(volume_l=10_000, purity_fraction=1.0)
    grams = bicarbonate_dose_g(10_000, 0.25, "sodium_bicarbonate", 1.0)
    for day in range(20, -1, -1):
        log.kh(5.0, NOW - timedelta(days=day, hours=1))
        log.write("dose", NOW - timedelta(days=day, minutes=50), substance="sodium_bicarbonate", amount_g=grams)
    found = trend(log, planned=[(NOW + timedelta(days=day, minutes=-30), 0.25) for day in range(1, 8)])
    assert [at.date() for at, _ in found.past] == [TODAY - timedelta(days=day) for day in range(20, -1, -1)]
    assert [at.date() for at, *_ in found.forecast] == [TODAY + timedelta(days=day) for day in range(1, 8)]
    assert all(level == pytest.approx(5.0, abs=0.08) for _, level in found.past[5:])
    assert all(middle == pytest.approx(5.0, abs=0.08) for _, _, middle, _ in found.forecast)


def test_salt_that_was_written_down_is_expected_in_the_conductivity():
    log = Log()
    log.pond(volume_l=20_000)
    for day in range(20, 0, -2):
        log.write("reading", NOW - timedelta(days=day), quantity="ec25_us_per_cm", value=400.0)
    log.write("salt", NOW - timedelta(hours=6), salt_g=10_000)
    # PHREEQC: half a gram of salt per litre lifts the conductivity of a medium tap water by about 990 µS/cm.
    log.write("reading", NOW - timedelta(hours=1), quantity="ec25_us_per_cm", value=1390.0)
    found = trend(log, "ec25_us_per_cm")
    assert "not believed" not in found.says
    assert found.forecast[0][2] == pytest.approx(1390.0, rel=0.06)


def test_warmth_drives_what_lives_by_nitrogen_alone():
    log = Log()
    log.pond(volume_l=20_000)
    for day in range(20, 0, -2):
        log.kh(5.0 + 0.1 * day, NOW - timedelta(days=day))
        log.write("reading", NOW - timedelta(days=day), quantity="gh_dgh", value=7.0)
        log.write("reading", NOW - timedelta(days=day), quantity="temperature_c", value=20.0)
    before = trend(log, "gh_dgh").says
    log.write("reading", NOW - timedelta(hours=2), quantity="temperature_c", value=6.0)
    assert trend(log, "gh_dgh").says == before
    assert "learning again" in trend(log).says


def test_the_same_log_says_the_same_all_day_long(steady):
    assert trend(steady) == trend(steady, now=NOW + timedelta(hours=5))


def test_a_far_reading_is_named_and_not_believed(steady):
    steady.kh(15.0, NOW - timedelta(minutes=5))
    found = trend(steady)
    assert "3 Nov is far from the rest: kept, not believed" in found.says
    assert found.forecast[0][2] < 6


def test_few_readings_say_what_they_lean_on():
    log = Log()
    log.pond(volume_l=10_000, feed_g_per_day=100, inflow_l_per_day=300, source_kh_dkh=1)
    log.kh(5.0, NOW - timedelta(hours=1))
    assert trend(log).says.endswith("Few readings yet: this leans on trickle and food.")


def test_a_jump_of_six_degrees_is_not_expected_and_a_usual_reading_is(steady):
    pond, facts = parts(steady)
    low, high = expected_reading(pond, learn(pond, facts, "kh_dkh", NOW), NOW)
    assert low < 5.0 < high
    assert high < 11.0
    assert expected_reading(pond, learn(pond, facts, "gh_dgh", NOW), NOW) is None
