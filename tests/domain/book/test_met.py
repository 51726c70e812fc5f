"""Which forecast counts for which day, and what is held against it."""

from datetime import UTC, date, datetime, timedelta

from written_log import Log, starter

from evenwater.domain.book.met import chlorine_met, dawn_met, month_met, trend_met
from evenwater.domain.entries import zone_named
from evenwater.domain.fold import fold
from evenwater.domain.water.carbon_runs import runs_of

from .shown_log import FIRST, chlorine, dawn, evening, month, night, spent, trend

UTC_ZONE = zone_named("UTC")
SERVICED = FIRST.date()


def facts_of(log: Log):
    return fold(log.entries).of_pond("main")


def test_the_last_forecast_of_an_earlier_day_counts_and_none_of_the_day_itself():
    log = Log()
    log.kh(5.0, evening(3))
    shown = [
        trend(evening(1), (evening(3), 3.0, 4.0, 5.0)),
        trend(evening(2), (evening(3), 4.0, 4.8, 5.6), version="kh-2"),
        trend(evening(3), (evening(3), 4.9, 5.0, 5.1), version="kh-3"),
    ]
    (only,) = trend_met(shown, facts_of(log), "kh_dkh", UTC_ZONE)
    assert (only.band, only.measured, only.model_version) == ((4.0, 4.8, 5.6), 5.0, "kh-2")


def test_of_two_readings_in_a_day_the_one_nearer_to_the_hour_foretold_counts():
    log = Log()
    log.kh(5.5, evening(3) - timedelta(hours=9))
    log.kh(5.0, evening(3) + timedelta(hours=1))
    (only,) = trend_met([trend(evening(2), (evening(3), 4.0, 4.8, 5.6))], facts_of(log), "kh_dkh", UTC_ZONE)
    assert only.measured == 5.0


def test_the_day_is_the_pond_s_own():
    log = Log()
    late = datetime(2026, 10, 3, 23, 30, tzinfo=UTC)
    log.kh(5.0, late + timedelta(hours=10))
    # Shown half past midnight of the 4th at the pond: no forecast for that day any more.
    shown = [trend(late, (late + timedelta(hours=18), 4.0, 4.8, 5.6))]
    assert trend_met(shown, facts_of(log), "kh_dkh", zone_named("Europe/Berlin")) == []
    assert len(trend_met(shown, facts_of(log), "kh_dkh", UTC_ZONE)) == 1


def test_a_dawn_is_held_against_the_water_within_ninety_minutes():
    water = [(dawn(1) - timedelta(minutes=89), 14.2), (dawn(2) + timedelta(minutes=91), 15.0)]
    shown = [night(0, (14.0, 14.4, 14.8)), night(1, (14.0, 14.4, 14.8))]
    found = dawn_met(shown, water, [(FIRST, 1.0)], UTC_ZONE)
    assert [(one.on, one.measured) for one in found] == [(dawn(1).date(), 14.2)]


def test_a_dawn_counts_as_the_covers_lay_and_not_at_all_where_nobody_told():
    band, bare = (14.0, 14.4, 14.8), (12.0, 12.4, 12.8)
    shown = [night(day, band, bare) for day in (0, 1, 2)]
    water = [(dawn(day), 13.0) for day in (1, 2, 3)]
    covers = [(evening(0), 1.0), (evening(1), 0.0), (evening(2), None)]
    assert [one.band for one in dawn_met(shown, water, covers, UTC_ZONE)] == [band, bare]
    assert dawn_met([night(0, None, bare)], water, covers, UTC_ZONE) == []


def test_a_dawn_foretold_after_midnight_of_its_own_day_does_not_count():
    early = night(0, (14.0, 14.4, 14.8))
    late = type(early)(dawn(1) - timedelta(hours=3), "heat-1", early.what)
    assert dawn_met([late], [(dawn(1), 14.0)], [(FIRST, 1.0)], UTC_ZONE) == []


def carbon_log(*readings: tuple[int, float], serviced: tuple[int, ...] = (0,)) -> Log:
    log = Log()
    log.job(starter("agitate"))
    for day in serviced:
        log.tick("agitate", evening(day).date(), "midday", evening(day) - timedelta(hours=6))
    for day, value in readings:
        log.write(
            "reading", evening(day), quantity="total_chlorine_ug_per_l", value=value, point="after_carbon", step=5
        )
    return log


def runs(log: Log, day: int):
    known = fold(log.entries)
    return runs_of(known.of_pond("main"), known.standing_jobs("main", evening(day).date()), evening(day))


def test_the_chlorine_day_is_the_first_reading_over_the_limit_and_foretold_three_days_before():
    log = carbon_log((5, 5), (9, 12), (11, 25))
    shown = [
        chlorine(evening(5), SERVICED, 8, 14, 22),
        chlorine(evening(8), SERVICED, 9, 12, 17, version="carbon-2"),
        chlorine(evening(9), SERVICED, 10, 11, 13),
    ]
    found, left_out = chlorine_met(shown, runs(log, 12), UTC_ZONE)
    assert [(one.on, one.band, one.measured, one.model_version) for one in found] == [
        (evening(11).date(), (9, 12, 17), 11, "carbon-2")
    ]
    assert left_out == 0


def test_carbon_serviced_before_its_limit_tells_nothing_and_is_counted_as_such():
    log = carbon_log((5, 5), (9, 12), serviced=(0, 10))
    found, left_out = chlorine_met([chlorine(evening(5), SERVICED, 8, 14, 22)], runs(log, 12), UTC_ZONE)
    assert (found, left_out) == ([], 1)


def test_the_run_under_way_is_neither_right_nor_left_out():
    log = carbon_log((5, 5), (9, 12))
    assert chlorine_met([chlorine(evening(5), SERVICED, 8, 14, 22)], runs(log, 12), UTC_ZONE) == ([], 0)


def test_a_month_is_scored_when_it_is_over_by_what_was_said_in_its_first_half():
    october, november = date(2026, 10, 1), date(2026, 11, 1)
    shown = [
        month(evening(0), october, 30, 40, 50),
        month(evening(14), october, 35, 42, 49),
        month(evening(20), october, 41, 43, 45),
        month(evening(33), november, 50, 60, 70),
    ]
    (only,) = month_met(shown, [spent(october, 44), spent(october, 46.5)], UTC_ZONE)
    assert (only.on, only.band, only.measured) == (october, (35, 42, 49), 46.5)
