"""The answers of a pond as its page shows them: age, pairs, the keeper's own ranges, what to do first."""

from datetime import UTC, datetime, timedelta

import pytest
from written_log import NOW

from evenwater.domain.fold import fold
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.first_steps import DEFER
from evenwater.domain.water.judging import device_cuts

AT = NOW - timedelta(hours=1)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def test_a_pond_without_readings_has_no_answers(log):
    assert log.judged() == {}


def test_an_answer_says_its_range_and_what_that_rests_on(log):
    log.read("kh_dkh", 5.0, AT, step=0.5)
    judged = log.of("kh_dkh")
    assert judged.answer == "in_range"
    assert judged.why.startswith("4 to 10 °dKH; ")
    assert "EPA 1975" in judged.why
    assert "\n" not in judged.why
    assert judged.entry == log.entries[-1].entry.id
    assert (judged.first, judged.cautions, judged.emergency) == ((), (), False)


def test_a_stale_reading_is_not_known_and_gives_no_orders(log):
    log.read("nitrite_n_mg_per_l", 0.5, AT - 8 * DAY)
    judged = log.of("nitrite_n_mg_per_l")
    assert judged.answer == "not_known"
    assert judged.why == "old: good for 8 days; it was act now"
    assert (judged.first, judged.emergency) == ((), False)
    assert judged.stale_at == AT


def test_a_reading_is_known_until_the_moment_it_is_stale(log):
    log.read("gh_dgh", 6.0, AT)
    stale_at = log.of("gh_dgh").stale_at
    assert log.of("gh_dgh", stale_at - timedelta(microseconds=1)).answer == "in_range"
    assert log.of("gh_dgh", stale_at).answer == "not_known"


def test_how_long_kh_is_good_for_is_the_keepers_to_say(log):
    log.pond(kh_stale_after_days=3)
    log.read("kh_dkh", 5.0, AT)
    assert log.of("kh_dkh").stale_at == AT + 3 * DAY


def test_nothing_but_age_hangs_on_the_minute(log):
    log.pond(latitude=51.0)
    log.tick("heater", AT.date(), "day", AT - DAY, setting_c=18.0)
    for quantity in QUANTITIES:
        for hours in (80, 30, 9, 1):
            log.read(quantity, min(QUANTITIES[quantity].high, 6.5 + hours / 100), NOW - hours * HOUR, step=0.1)
    log.write("salt", NOW - 40 * HOUR, salt_g=1000)
    seconds = log.judged(NOW), log.judged(NOW + timedelta(minutes=7, seconds=13)), log.judged(NOW + 20 * HOUR)
    assert seconds[0] == seconds[1] == seconds[2]
    assert len(seconds[0]) >= 14


def test_readings_after_the_moment_are_not_seen(log):
    log.read("kh_dkh", 5.0, AT)
    log.read("kh_dkh", 1.0, NOW + HOUR)
    assert log.of("kh_dkh").value == 5.0


def test_an_answer_is_remembered_by_reading_the_log_again(log):
    log.read("kh_dkh", 4.0, AT - 2 * DAY, step=0.5)
    log.read("kh_dkh", 4.5, AT, step=0.5)
    judged = log.of("kh_dkh")
    assert judged.answer == "drifting"
    assert "half a kit step past the line" in judged.why
    log.write("take_back", AT, entry=log.entries[-2].entry.id)
    assert log.of("kh_dkh").answer == "in_range"


def test_a_kits_step_that_spans_two_answers_is_said(log):
    log.read("kh_dkh", 4.2, AT, step=0.5)
    judged = log.of("kh_dkh")
    assert judged.answer == "drifting"
    assert "the kit's step spans two answers" in judged.why


def test_a_card_that_shows_no_chlorine_is_not_act_now(log):
    log.read("total_chlorine_ug_per_l", 0.0, AT, step=100)
    judged = log.of("total_chlorine_ug_per_l")
    assert judged.answer == "drifting"
    assert "the kit shows nothing" in judged.why


def test_the_keepers_own_range_is_used_and_said(log):
    log.range("kh_dkh", drift_below=6.0)
    log.read("kh_dkh", 5.5, AT)
    judged = log.of("kh_dkh")
    assert judged.answer == "drifting"
    assert judged.why == "6 to 10 °dKH; your own range"


def test_a_range_that_contradicts_itself_is_put_aside_and_said(log):
    log.range("kh_dkh", act_below=7.0, drift_below=6.0)
    log.read("kh_dkh", 5.5, AT)
    judged = log.of("kh_dkh")
    assert judged.answer == "in_range"
    assert "your own range is not used: act now below 7 is above drifting below 6" in judged.why


def test_ammonia_needs_ph_and_temperature_of_about_the_same_time(log):
    log.read("tan_mg_n_per_l", 0.5, AT)
    judged = log.of("tan_mg_n_per_l")
    assert judged.answer == "not_known"
    assert "test all three together" in judged.why
    assert ("nh3_mg_per_l", "pond") not in log.judged()


def test_so_much_ammonia_is_act_now_whatever_the_ph(log):
    log.read("tan_mg_n_per_l", 6.0, AT)
    assert log.of("tan_mg_n_per_l").answer == "act_now"


def test_ammonia_with_a_ph_of_another_time_says_so(log):
    log.read("ph", 7.6, AT - 20 * HOUR)
    log.read("temperature_c", 18.0, AT)
    log.read("tan_mg_n_per_l", 0.1, AT)
    judged = log.of("nh3_mg_per_l")
    assert judged.answer == "in_range"
    assert "pH is from 20 h before: test them together" in judged.why
    assert "temperature is" not in judged.why


def test_ammonia_with_a_ph_of_three_days_ago_is_not_known(log):
    log.read("ph", 7.6, AT - 72 * HOUR)
    log.read("temperature_c", 18.0, AT)
    log.read("tan_mg_n_per_l", 0.1, AT)
    assert log.of("tan_mg_n_per_l").answer == "not_known"


def test_the_nearest_ph_is_taken_before_or_after(log):
    log.read("temperature_c", 25.0, AT)
    log.read("ph", 7.0, AT - 5 * HOUR)
    log.read("tan_mg_n_per_l", 1.0, AT - 2 * HOUR)
    log.read("ph", 8.0, AT)
    # Emerson's fraction at 25 °C and pH 8 is 0.0537 (pKa 9.25), times 17.031 / 14.007.
    assert log.of("nh3_mg_per_l").value == pytest.approx(0.0537 * 1.2159, rel=2e-3)


def test_ammonia_says_how_it_was_worked_out(log):
    log.read("ph", 8.4, AT)
    log.read("temperature_c", 20.0, AT)
    log.read("tan_mg_n_per_l", 1.0, AT)
    judged = log.of("nh3_mg_per_l")
    assert judged.workings is not None
    assert [one.name for one in judged.workings.inputs] == ["total ammonia", "pH", "temperature"]
    # Fraction at pH 8.4 and 20 °C, Table 1.4 of Fundamentals of Aquatic Veterinary Medicine: 0.0904.
    assert judged.workings.steps[0].value == "9.04 %"
    assert judged.entry is None


def test_salt_water_takes_no_correction_beyond_where_it_holds(log):
    log.read("ph", 8.4, AT)
    log.read("temperature_c", 20.0, AT)
    log.read("ec25_us_per_cm", 6000.0, AT)
    log.read("tan_mg_n_per_l", 1.0, AT)
    assert log.of("nh3_mg_per_l").value == pytest.approx(0.0904 * 1.2159, rel=2e-3)


def test_ammonia_out_of_the_formulas_range_is_held_at_its_edge(log):
    log.read("ph", 4.0, AT)
    log.read("temperature_c", 35.0, AT)
    log.read("tan_mg_n_per_l", 1.0, AT)
    assert log.of("nh3_mg_per_l").answer in ("in_range", "drifting")


def test_an_emergency_is_flagged(log):
    log.read("oxygen_mg_per_l", 2.8, AT)
    judged = log.of("oxygen_mg_per_l")
    assert (judged.answer, judged.emergency) == ("act_now", True)
    assert judged.first[0].startswith("All the air you have")


def test_nitrite_without_chloride_asks_for_it(log):
    log.read("nitrite_n_mg_per_l", 0.18, AT)
    judged = log.of("nitrite_n_mg_per_l")
    assert judged.answer == "act_now"
    assert "chloride not known" in judged.why


def test_nitrite_says_how_chloride_shields(log):
    log.read("chloride_mg_per_l", 42.0, AT - DAY)
    log.read("nitrite_n_mg_per_l", 0.18, AT)
    judged = log.of("nitrite_n_mg_per_l")
    assert "chloride 42 mg/L is 233 times it" in judged.why
    assert judged.workings is not None
    assert judged.emergency is False


def test_too_little_chloride_is_said(log):
    log.read("chloride_mg_per_l", 0.5, AT)
    log.read("nitrite_n_mg_per_l", 0.1, AT)
    judged = log.of("nitrite_n_mg_per_l")
    assert judged.answer == "act_now"
    assert "too little chloride" in judged.why


def test_oxygen_without_warmth_is_judged_by_its_weight_alone_and_says_so(log):
    log.read("oxygen_mg_per_l", 8.0, AT)
    judged = log.of("oxygen_mg_per_l")
    assert judged.answer == "in_range"
    assert "share of saturation not known" in judged.why


def test_warmth_above_the_setting_in_summer_is_natures(log):
    july = datetime(2026, 7, 10, 12, tzinfo=UTC)
    log.pond(latitude=51.0)
    log.tick("heater", july.date(), "day", july - 3 * DAY, setting_c=18.0)
    log.read("temperature_c", 23.0, july)
    assert log.of("temperature_c", july + HOUR).answer == "in_range"


def test_a_setting_just_changed_gives_the_water_time_to_follow(log):
    log.pond(latitude=51.0)
    log.tick("heater", AT.date(), "day", AT - 10 * DAY, setting_c=15.0)
    log.tick("heater", AT.date(), "day", AT - HOUR, setting_c=18.0)
    log.read("temperature_c", 15.0, AT)
    assert log.of("temperature_c").answer == "in_range"
    assert "heater set to 15 to 18 lately" in log.of("temperature_c").why


def test_a_setting_of_long_ago_is_forgotten(log):
    log.tick("heater", AT.date(), "day", AT - 36 * DAY, setting_c=20.0)
    log.read("temperature_c", 10.0, AT)
    assert log.of("temperature_c").answer == "in_range"


def test_a_kit_too_coarse_for_a_swing_says_so(log):
    log.read("ph", 7.5, AT - 6 * HOUR, step=0.5)
    log.read("ph", 8.0, AT, step=0.5)
    judged = log.of("ph_swing")
    assert judged.answer == "not_known"
    assert "too coarse" in judged.why


def test_two_tests_of_ph_within_three_hours_are_no_swing(log):
    log.read("ph", 7.5, AT - 2 * HOUR)
    log.read("ph", 8.5, AT)
    assert ("ph_swing", "pond") not in log.judged()


def test_conductivity_without_a_usual_is_not_known(log):
    log.read("ec25_us_per_cm", 450.0, AT)
    judged = log.of("ec25_us_per_cm")
    assert judged.answer == "not_known"
    assert "three readings" in judged.why


def test_chlorine_after_the_carbon_has_its_own_answer_and_steps(log):
    log.read("total_chlorine_ug_per_l", 12.0, AT, point="after_carbon")
    judged = log.of("total_chlorine_ug_per_l", point="after_carbon")
    assert judged.answer == "drifting"
    log.read("total_chlorine_ug_per_l", 60.0, AT, point="after_carbon")
    judged = log.of("total_chlorine_ug_per_l", point="after_carbon")
    assert judged.answer == "act_now"
    assert judged.first[0].startswith("Stop the trickle")


def everything_wrong(log, low):
    values = {"temperature_c": (1, 31), "ph": (6, 9.5), "kh_dkh": (1, 24), "gh_dgh": (1, 39)}
    for quantity, one in QUANTITIES.items():
        step = 1e-9
        log.read(quantity, values.get(quantity, (one.low, one.high))[0 if low else 1], AT, step=step)
    return log.judged()


@pytest.mark.parametrize("low", [True, False])
def test_every_act_now_has_one_to_three_first_steps_and_defers_to_a_vet(log, low):
    acting = [one for one in everything_wrong(log, low).values() if one.answer == "act_now"]
    assert len(acting) >= 4
    for one in acting:
        assert 1 <= len(one.first) <= 3, one.quantity
        assert one.cautions[-1] == DEFER
        assert all(len(line) <= 130 and "\n" not in line for line in (*one.first, *one.cautions)), one.quantity


def test_the_device_is_given_cuts_for_what_a_value_alone_can_answer(log):
    log.pond(latitude=51.0)
    log.tick("heater", AT.date(), "day", AT - 3 * DAY, setting_c=18.0)
    log.read("temperature_c", 18.0, AT)
    known = fold(log.entries)
    cuts = {(one.quantity, one.point): one for one in device_cuts(known.ponds(NOW.date())[0], {}, known.facts, NOW)}
    assert cuts["temperature_c", "pond"].drift_below == 17.0
    assert ("kh_dkh", "pond") in cuts
    assert ("total_chlorine_ug_per_l", "after_carbon") in cuts
    assert not {"tan_mg_n_per_l", "ec25_us_per_cm", "calcium_mg_per_l"} & {quantity for quantity, _ in cuts}
