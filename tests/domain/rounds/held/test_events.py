"""Water running, the power out and back. That both copies answer alike is checked in tests/reference/rounds."""

from datetime import timedelta

from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.rounds.held.events import power_back, power_out, water_running

MINUTE = timedelta(minutes=1)


def facts(log: Log):
    return fold(log.entries).facts


def running(log: Log, minutes_ago: int, on: bool = True, **more: object):
    return log.write("water_running", NOW - minutes_ago * MINUTE, running=on, **more)


def power(log: Log, minutes_ago: int, on: bool):
    return log.write("power", NOW - minutes_ago * MINUTE, on=on)


def test_water_runs_from_its_opening_and_becomes_serious(log):
    running(log, 40, limit_min=45, dechlorinated=False)
    now = water_running(facts(log), NOW)
    assert now is not None
    assert (now.minutes, now.serious, now.dechlorinated) == (40, False, False)
    then = water_running(facts(log), NOW + 5 * MINUTE)
    assert then is not None and then.serious


def test_opening_it_again_does_not_start_the_clock_anew(log):
    running(log, 40, limit_min=60)
    running(log, 10, dechlorinated=True)
    found = water_running(facts(log), NOW)
    assert found is not None
    assert (found.minutes, found.limit_min, found.dechlorinated) == (40, 60, True)


def test_shut_water_does_not_run(log):
    running(log, 40)
    running(log, 10, on=False)
    assert water_running(facts(log), NOW) is None


def test_an_opening_that_is_taken_back_never_was(log):
    opened = running(log, 40)
    log.write("take_back", NOW - MINUTE, entry=opened.entry.id)
    assert water_running(facts(log), NOW) is None


def test_of_two_ponds_the_one_that_is_serious_first_is_told(log):
    running(log, 40, pond="main", limit_min=120)
    running(log, 20, pond="quarantine", limit_min=30)
    found = water_running(facts(log), NOW)
    assert found is not None and found.pond == "quarantine"
    alone = water_running(facts(log), NOW, "main")
    assert alone is not None and alone.pond == "main"


def test_the_usual_limit_holds_where_nobody_set_one(log):
    running(log, 25)
    found = water_running(facts(log), NOW, usual_min=20)
    assert found is not None and found.serious


def test_the_power_is_out_until_it_is_back(log):
    power(log, 90, on=False)
    out = power_out(facts(log), NOW)
    assert out is not None and (out.minutes, out.rinse) == (90, True)
    power(log, 5, on=True)
    assert power_out(facts(log), NOW) is None
    back = power_back(facts(log), NOW)
    assert back is not None and (back.minutes, back.rinse) == (85, True)


def test_after_a_short_cut_no_filter_needs_rinsing(log):
    power(log, 70, on=False)
    power(log, 10, on=True)
    back = power_back(facts(log), NOW)
    assert back is not None and (back.minutes, back.rinse) == (60, False)


def test_the_power_that_came_back_yesterday_is_told_no_more(log):
    power(log, 26 * 60, on=False)
    power(log, 24 * 60 + 1, on=True)
    assert power_back(facts(log), NOW) is None


def test_power_that_came_back_without_having_gone_tells_nothing(log):
    power(log, 10, on=True)
    assert power_back(facts(log), NOW) is None
    assert power_out(facts(log), NOW) is None
