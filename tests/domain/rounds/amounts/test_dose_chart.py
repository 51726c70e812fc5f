"""The buffer dose: what it replaces, how far it lifts, what limits it."""

from datetime import timedelta

import pytest
from written_log import NOW, jobs_of, starter

from evenwater.domain.fold import fold
from evenwater.domain.learn.from_log import estimate_of
from evenwater.domain.rounds.today import charted
from evenwater.domain.water.buffer import bicarbonate_dose_g


def tonight(log):
    return jobs_of(log.plan(), 0, "buffer")[0]


def a_pond(log, **settings):
    log.pond(**({"volume_l": 20_000, "capful_g": 27} | settings))
    log.job(starter("buffer"))
    return log


def test_a_pond_at_its_target_gets_back_what_it_lost(measured):
    # Dosed 0.2 °dKH an evening and always read at 5.0: it loses 0.2 a day, about 121 g.
    job = tonight(measured)
    assert abs(job.unrounded_g - 121) < 25
    assert job.amount_g % 6.75 == 0
    assert abs(job.amount_g - job.unrounded_g) <= 6.75 / 2


def test_tomorrow_s_reading_is_expected_about_where_it_is(measured):
    low, high = tonight(measured).tomorrow
    assert low < 5.0 < high
    assert high - low < 1.2


def test_the_chart_agrees_with_a_plan_made_after_that_reading(measured):
    job = tonight(measured)
    for value in (3.0, 4.5, 5.0, 5.5, 7.0, 12.0):
        by_chart = charted(job.chart, value, 1)
        start = kh_estimate_of(measured)
        wanted = start.loss_at(start.level) + 0.3 * (5.0 - value)
        by_hand = bicarbonate_dose_g(20_000, min(1.0, max(0.0, wanted)), "sodium_bicarbonate", 0.99)
        assert abs(by_chart - by_hand) < 1.0, value


def kh_estimate_of(log):
    known = fold(log.entries)
    return estimate_of(known.ponds(NOW.date())[0], known.of_pond("main"), "kh_dkh", NOW)


def test_the_limit_on_the_rise_is_never_passed(log):
    a_pond(log).kh(3.0, NOW - timedelta(hours=1))
    log.write("set", NOW, target="pond", field="kh_rise_limit_dkh", value=0.5)
    job = tonight(log)
    limit = bicarbonate_dose_g(20_000, 0.5, "sodium_bicarbonate", 0.99)
    assert abs(job.limit_g_24h - limit) < 0.01
    assert job.amount_g <= limit
    assert max(row[1] for row in job.chart.rows) <= limit + 0.01


def test_without_a_volume_nothing_is_given_whatever_is_read(log):
    a_pond(log, volume_l=20_000)
    log.entries = [one for one in log.entries if getattr(one.entry, "field", "") != "volume_l"]
    job = tonight(log)
    assert job.state == "held_back"
    assert "volume" in job.reason
    assert job.chart is None


def test_without_any_reading_the_card_waits_for_one_and_the_chart_is_there(log):
    job = tonight(a_pond(log))
    assert job.chart.no_reading_reason.startswith("No KH has been measured yet")
    assert charted(job.chart, 4.0, 1) > charted(job.chart, 5.0, 1) > 0


def test_an_old_reading_stops_the_correction_and_keeps_the_loss_replaced(measured):
    later = NOW + timedelta(days=6)  # the last reading is then nine days old
    for day in range(6):
        at = NOW + timedelta(days=day)
        given = {"amount_g": 54.0, "substance": "sodium_bicarbonate"}
        measured.tick("buffer", at.date(), "dusk", at, **given)
    job = jobs_of(measured.plan(later), 0, "buffer")[0]
    state = kh_estimate_of(measured)
    assert "measured 9 days ago" in job.reason
    assert job.unrounded_g <= bicarbonate_dose_g(20_000, 0.5, "sodium_bicarbonate", 0.99)
    assert abs(job.unrounded_g - bicarbonate_dose_g(20_000, state.loss_at(5), "sodium_bicarbonate", 0.99)) < 40


def test_after_two_weeks_without_a_reading_nothing_is_given(measured):
    job = jobs_of(measured.plan(NOW + timedelta(days=13)), 0, "buffer")[0]
    assert "measure it before" in job.chart.no_reading_reason
    assert job.unrounded_g == 0.0


def test_a_very_low_kh_asks_for_an_ammonia_test_before_anything(log):
    a_pond(log).kh(2.0, NOW - timedelta(hours=1))
    job = tonight(log)
    assert "ammonia" in job.chart.no_reading_reason
    assert job.chart.hold_below.reading == 2.5


def test_a_very_low_kh_tested_clean_today_is_raised_in_small_steps(log):
    a_pond(log).kh(2.0, NOW - timedelta(hours=1))
    log.write("reading", NOW - timedelta(hours=1), quantity="tan_mg_n_per_l", value=0.0)
    job = tonight(log)
    small = bicarbonate_dose_g(20_000, 0.5, "sodium_bicarbonate", 0.99)
    assert job.chart.hold_below is None
    assert 0 < job.unrounded_g <= small + 0.01


def test_ammonia_that_buffer_would_set_free_holds_it_back(log):
    a_pond(log).kh(3.0, NOW - timedelta(hours=1))
    for quantity, value in (("tan_mg_n_per_l", 4.0), ("ph", 7.4), ("temperature_c", 15.0)):
        log.write("reading", NOW - timedelta(hours=1), quantity=quantity, value=value)
    job = tonight(log)
    assert job.state == "held_back"
    assert job.reason.startswith("Ammonia")


def test_a_low_ph_asks_for_an_ammonia_test(log):
    a_pond(log).kh(5.0, NOW - timedelta(hours=1))
    log.write("reading", NOW - timedelta(hours=1), quantity="ph", value=6.6)
    job = tonight(log)
    assert (job.state, job.reason[:9]) == ("held_back", "pH is 6.6")


def test_the_workings_name_what_went_in_and_what_came_out(measured):
    workings = tonight(measured).workings
    given = {one.name: one for one in workings.inputs}
    assert given["volume"].value == 20_000
    assert given["last reading"].value == 5.0
    assert workings.steps[0].text.startswith("replace the loss")
    assert workings.source


def test_a_mistyped_reading_is_named_in_the_workings(measured):
    measured.kh(20.0, NOW - timedelta(minutes=5))
    job = tonight(measured)
    assert "not believed" in job.workings.warnings[0]
    assert job.reason.startswith("KH read 20 °dKH, far from the rest: test again.")


def test_a_doubted_high_reading_stops_the_buffer_tonight_and_then_holds_it_to_the_loss(measured):
    loss_g = tonight(measured).unrounded_g
    measured.kh(20.0, NOW - timedelta(minutes=5))
    evenings = [jobs_of(measured.plan(), day, "buffer")[0] for day in range(4)]
    assert [job.amount_g > 0 for job in evenings] == [False, False, True, True]
    assert evenings[2].unrounded_g == pytest.approx(loss_g, rel=0.3)


def test_a_doubted_low_reading_asks_for_ammonia_first_as_a_typed_one_does(measured):
    assert tonight(measured).chart.hold_below is not None
    measured.kh(0.5, NOW - timedelta(minutes=5))
    job = tonight(measured)
    assert job.unrounded_g == 0.0
    assert job.chart.no_reading_reason.startswith("KH read 0.5 °dKH, far from the rest: test again. KH is very low.")
    assert job.reason == job.chart.no_reading_reason
    assert jobs_of(measured.plan(), 5, "buffer")[0].unrounded_g == 0.0


def test_a_doubted_low_reading_beside_no_ammonia_adds_nothing_to_the_plan(measured):
    before = tonight(measured).unrounded_g
    measured.kh(0.5, NOW - timedelta(minutes=5))
    measured.write("reading", NOW - timedelta(minutes=4), quantity="tan_mg_n_per_l", value=0.0)
    assert 0 < tonight(measured).unrounded_g <= before * 1.01


@pytest.mark.parametrize("value", [0.5, 1.0, 1.5, 9.5, 12.0, 20.0])
def test_saving_a_doubted_reading_asks_for_no_more_than_typing_it_showed(measured, value):
    chart = tonight(measured).chart
    typed = 0.0 if value < chart.hold_below.reading else charted(chart, value, 1)
    measured.kh(value, NOW - timedelta(minutes=5))
    assert tonight(measured).unrounded_g <= typed + 1.0


def test_high_kh_needs_nothing(log):
    a_pond(log).kh(9.0, NOW - timedelta(hours=1))
    assert tonight(log).amount_g == 0.0


def test_a_very_low_kh_with_ammonia_and_no_ph_gets_nothing(log):
    a_pond(log).kh(2.0, NOW - timedelta(hours=1))
    log.write("reading", NOW - timedelta(hours=1), quantity="tan_mg_n_per_l", value=4.0)
    job = tonight(log)
    assert job.unrounded_g == 0.0
    assert "pH and temperature" in job.chart.no_reading_reason
    assert "pH and temperature" in job.chart.hold_below.reason


def test_small_steps_say_that_water_comes_first(log):
    a_pond(log).kh(2.0, NOW - timedelta(hours=1))
    log.write("reading", NOW - timedelta(hours=1), quantity="tan_mg_n_per_l", value=0.0)
    assert "dechlorinated water" in tonight(log).reason


def test_a_test_of_today_counts_for_tonight_alone(log):
    a_pond(log).kh(2.0, NOW - timedelta(hours=1))
    log.write("reading", NOW - timedelta(hours=1), quantity="tan_mg_n_per_l", value=0.0)
    tomorrow = jobs_of(log.plan(), 1, "buffer")[0]
    assert tomorrow.unrounded_g == 0.0
    assert tomorrow.chart.hold_below is not None


def test_a_low_reading_on_a_pond_believed_well_is_raised_in_small_steps_too(log):
    a_pond(log).kh(5.0, NOW - timedelta(hours=1))
    log.write("reading", NOW - timedelta(hours=1), quantity="tan_mg_n_per_l", value=0.0)
    small = bicarbonate_dose_g(20_000, 0.5, "sodium_bicarbonate", 0.99)
    assert charted(tonight(log).chart, 2.0, 1) <= small < charted(tonight(log).chart, 3.0, 1)


def test_old_readings_that_leave_kh_near_ten_stop_the_maintenance_too(log):
    a_pond(log).kh(10.0, NOW - timedelta(days=9))
    assert tonight(log).amount_g == 0.0


def test_a_doubted_low_reading_allows_no_more_than_may_be_raised_from_there(measured):
    # Ammonia near its limit: from half the KH the same grams would raise pH twice as far.
    measured.write("reading", NOW - timedelta(minutes=6), quantity="temperature_c", value=20.0)
    measured.write("reading", NOW - timedelta(minutes=6), quantity="ph", value=7.9)
    measured.write("reading", NOW - timedelta(minutes=6), quantity="tan_mg_n_per_l", value=0.65)
    believed = tonight(measured)
    measured.kh(2.5, NOW - timedelta(minutes=5))
    doubted = tonight(measured)
    assert doubted.reason.startswith("KH read 2.5 °dKH, far from the rest")
    assert doubted.limit_g_24h < believed.limit_g_24h
    assert doubted.amount_g <= min(believed.amount_g, doubted.limit_g_24h)


def test_food_and_buffer_mistyped_a_thousandfold_take_no_plan_away(log):
    a_pond(log)
    log.kh(12.5, NOW - timedelta(days=5, hours=16))
    log.kh(25.0, NOW - timedelta(days=1, hours=9))
    log.write("feed", NOW - timedelta(hours=21), feed_g=100_000)
    log.kh(25.0, NOW - timedelta(hours=20))
    log.write("dose", NOW - timedelta(hours=7), substance="sodium_bicarbonate", amount_g=100_000)
    evenings = [jobs_of(log.plan(), day, "buffer")[0] for day in range(7)]
    assert all(job.amount_g <= job.limit_g_24h for job in evenings)
