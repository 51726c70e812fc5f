"""The latest of a pond's log, sorted for judging."""

from datetime import timedelta

from written_log import NOW

from evenwater.domain.fold import fold
from evenwater.domain.pond import Pond
from evenwater.domain.water.recent import KEPT, around_of, recent_of

HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def recent(log):
    return recent_of(fold(log.entries).facts, NOW)


def test_readings_stand_oldest_first_and_the_latest_are_kept(log):
    for hours in range(KEPT + 5, 0, -1):
        log.read("kh_dkh", hours / 20, NOW - hours * HOUR)
    series = recent(log).of("kh_dkh")
    assert len(series) == KEPT
    assert series[0].at < series[-1].at == NOW - HOUR


def test_a_reading_without_a_step_has_a_common_kits(log):
    log.write("reading", NOW - HOUR, quantity="kh_dkh", value=5.0)
    assert recent(log).latest("kh_dkh").step == 0.5


def test_of_two_readings_as_near_the_later_is_taken(log):
    log.read("ph", 7.0, NOW - 3 * HOUR)
    log.read("ph", 8.0, NOW - HOUR)
    assert recent(log).nearest("ph", NOW - 2 * HOUR, HOUR).value == 8.0
    assert recent(log).nearest("ph", NOW - 2 * HOUR, HOUR / 2) is None


def test_points_are_kept_apart(log):
    log.read("kh_dkh", 12.0, NOW - HOUR, point="mains")
    assert recent(log).latest("kh_dkh") is None
    assert recent(log).latest("kh_dkh", "mains").value == 12.0


def test_conductivity_is_usual_by_the_median_of_thirty_days_before(log):
    for day, value in ((40, 900.0), (20, 400.0), (10, 410.0), (5, 900.0)):
        log.read("ec25_us_per_cm", value, NOW - day * DAY)
    assert around_of(Pond(id="main"), recent(log), NOW).usual_ec25 == 410.0
    assert around_of(Pond(id="main"), recent(log), NOW - 8 * DAY).usual_ec25 is None


def test_salt_makes_what_was_usual_count_no_more(log):
    for day in (29, 20, 10, 5):
        log.read("ec25_us_per_cm", 400.0, NOW - day * DAY)
    log.write("salt", NOW - 15 * DAY, salt_g=1000)
    around = around_of(Pond(id="main"), recent(log), NOW)
    assert around.usual_ec25 is None
    assert around.salt_course is True


def test_nature_warms_in_the_light_half_of_the_year_north_and_south():
    empty = recent_of([], NOW)
    july = NOW.replace(month=7)
    assert around_of(Pond(id="main", latitude=51.0), empty, july).nature_warms is True
    assert around_of(Pond(id="main", latitude=51.0), empty, NOW).nature_warms is False
    assert around_of(Pond(id="main", latitude=-34.0), empty, NOW).nature_warms is True
    assert around_of(Pond(id="main", latitude=-34.0), empty, july).nature_warms is False
    assert around_of(Pond(id="main"), empty, NOW).nature_warms is True
