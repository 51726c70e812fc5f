"""The Warmth page from a log: what it shows, what it lacks, and what it makes of today's jobs."""

from datetime import datetime, timedelta

import pytest

from evenwater.domain.errors import Contradiction
from evenwater.domain.fold import fold
from evenwater.domain.pond import setting_value
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.warmth.pond_air import Samples

from .pond_log import HOUR, NOW, TARIFF, TODAY, WarmLog

HEATER = {"power_w": 3000, "step_c": 0.5}
STRONG = {"power_w": 9000, "step_c": 0.5}
SEASON = {"from_c": 16, "to_c": 12, "starts_on": (TODAY - timedelta(days=3)).isoformat()}


def kept(**settings: object) -> WarmLog:
    log = WarmLog()
    log.keep(**settings)
    return log


def heater_job(log: WarmLog):
    plan = make_plan(fold(log.entries), len(log.entries), {}, NOW, None, None, {"main": log.warmth()})
    return next(job for job in plan.days[0].jobs if job.standing_job == "heater")


def test_a_pond_that_is_not_told_of_says_what_is_lacking():
    log = WarmLog()
    log.pond(name="New")
    assert log.warmth().page.lacking == ("The pond's volume.",)
    log.pond(volume_l=10_000)
    assert "Water temperature, morning and evening." in log.warmth().page.lacking


def test_three_weeks_of_readings_tell_the_loss_and_its_band_holds_the_truth():
    log = kept(heater=HEATER, tariff=TARIFF)
    finding = next(one for one in log.warmth().page.findings if one.id == "loss")
    low, high = (float(word) for word in finding.says.split(" W/K")[0].removeprefix("Between ").split(" and "))
    assert low < 50 < high
    assert high < 2 * low
    assert finding.workings is not None
    assert "without trickle, pumps, sun and heater" in finding.workings.steps[0].text


def test_a_heater_nobody_told_of_teaches_nothing_wrong():
    log = kept()
    assert log.says("loss").startswith("not yet known")
    assert "The heater: its power, and whether a time switch keeps it to cheap hours." in log.warmth().page.lacking


def test_in_warm_air_the_loss_is_not_yet_known():
    assert kept(air_c=15.0, setting_c=17.0, heater=HEATER, tariff=TARIFF).says("loss").startswith("not yet known")


def test_the_night_is_foretold_with_its_band_and_the_open_pond_is_the_colder():
    log = kept(heater=HEATER, tariff=TARIFF)
    log.foretell(1)
    tonight = log.warmth().page.tonight
    assert tonight is not None
    assert tonight.bare_dawn[1] < tonight.covered_dawn[1] - 0.3
    for low, middle, high in (tonight.bare_dawn, tonight.covered_dawn):
        assert low < middle < high < low + 2
    assert tonight.says == "air down to 1 °C"
    assert [at for at, *_ in tonight.covered] == sorted({at for at, *_ in tonight.covered})
    assert tonight.track.startswith("The last ")


def test_a_step_down_sets_the_heater_job_and_says_why():
    log = kept(heater=HEATER, tariff=TARIFF, season=SEASON)
    job = heater_job(log)
    assert (job.setting_c, job.reason) == (15.0, "Step 1 of the step-down, from 16 °C.")
    page = log.warmth().page
    assert page.says == "step-down, day 4 · tonight's setting 15 °C"
    assert page.settings[:3] == ((TODAY, 15.0), (TODAY + timedelta(days=3), 14.0), (TODAY + timedelta(days=6), 13.0))


def test_the_heater_s_plan_carries_its_setting_and_every_saving_its_temperature():
    log = kept(heater=HEATER, tariff=TARIFF, warm_low_c=14.5, warm_high_c=18)
    log.foretell(2, high_c=8)
    job = heater_job(log)
    assert job.setting_c is not None
    assert 14.5 <= job.setting_c <= 18
    assert job.reason.startswith("Holds 14.5 °C at least cost")
    says = log.says("heater")
    assert " kWh a night, £" in says
    assert "less on the thermostat would save" in says
    assert "cooler by" in says or "save nothing" in says


def test_dear_holding_proposes_a_step_down_with_dated_settings():
    log = kept(heater=HEATER, tariff=TARIFF, worth_per_day=0.5)
    page = log.warmth().page
    assert page.proposal is not None
    assert (page.proposal.season.from_c, page.proposal.season.to_c) == (16, 12)
    assert page.proposal.settings[0] == (TODAY, 16.0)
    assert page.proposal.settings[-1][1] == 12.0
    assert "more than the £0.50 you would spend" in page.proposal.says
    assert kept(heater=STRONG, tariff=TARIFF, worth_per_day=50).warmth().page.proposal is None


def test_a_heater_that_cannot_hold_it_proposes_the_step_down_whatever_it_costs():
    proposal = kept(heater={"power_w": 900}, tariff=TARIFF, worth_per_day=50).warmth().page.proposal
    assert proposal is not None
    assert proposal.says.startswith("The heater alone will not hold this temperature any more.")


def test_what_it_cost_is_by_the_meter_where_it_was_read_and_worked_out_where_not():
    log = kept(heater=HEATER, tariff=TARIFF)
    worked_out = log.says("so-far")
    assert "worked out, no meter was read" in worked_out
    for days, kwh in ((20, 100), (10, 180), (0.5, 260)):
        at = NOW - timedelta(days=days)
        log.write("reading", at, quantity="heater_meter_kwh", value=kwh, point="heater")
    # 160 kWh in the cheap hours, at 0.12.
    assert log.says("so-far") == "£19 160 kWh, by the meter."


def test_what_is_to_come_is_told_by_target_for_a_usual_and_a_cold_year():
    log = kept(heater=HEATER, tariff=TARIFF)
    rows = next(one for one in log.warmth().page.findings if one.id == "to-come").rows
    usual = [float(row[1].removeprefix("£")) for row in rows]
    cold = [float(row[2].removeprefix("£")) for row in rows]
    assert usual == sorted(usual, reverse=True)
    assert all(one < other for one, other in zip(usual, cold, strict=True))


def test_a_tariff_whose_windows_overlap_is_refused_and_the_one_before_it_stands():
    log = kept(heater=HEATER, tariff=TARIFF)
    overlapping = {"windows": [TARIFF["windows"][0], {"from": "06:00", "to": "08:00", "rate_per_kwh": 0.2}]}
    odd = log.write("set", NOW - HOUR, target="pond", field="tariff", value=overlapping)
    with pytest.raises(Contradiction, match="overlap"):
        setting_value(odd.entry)
    assert log.pond_now().tariff.windows[0].rate_per_kwh == 0.12


def test_a_number_too_odd_to_reckon_with_takes_nobody_s_plan_away():
    log = kept(heater=HEATER, tariff=TARIFF)
    log.pond(volume_l=1_000_000, inflow_l_per_day=100_000)
    log.warm(39.9, NOW - HOUR / 2)
    log.warm(-0.9, NOW - HOUR / 4)
    assert log.warmth().page.pond == "main"


@pytest.mark.parametrize("night", ["2026-10-25", "2026-03-29"])
def test_the_nights_of_the_clock_change_are_planned(night):
    log = WarmLog()
    log.keep(zone="Europe/London", heater=HEATER, tariff=TARIFF, warm_low_c=14.5)
    at = datetime.fromisoformat(f"{night}T20:00:00+00:00") - timedelta(days=1)
    assert log.warmth(at).page.pond == "main"
    assert all("not-worked-out" not in one.id for one in log.warmth(at).page.findings)


def test_the_same_log_makes_the_same_page():
    one, other = kept(heater=HEATER, tariff=TARIFF), kept(heater=HEATER, tariff=TARIFF)
    assert one.warmth().page.tag == other.warmth().page.tag
    one.warm(13.8, NOW - HOUR / 6)
    assert one.warmth().page.tag != other.warmth().page.tag


def test_each_kwh_is_paid_at_the_tariff_that_held_then():
    log = kept(heater=HEATER, tariff=TARIFF)
    dearer = {**TARIFF, "windows": [{**TARIFF["windows"][0], "rate_per_kwh": 0.24}]}
    from_on = (TODAY - timedelta(days=10)).isoformat()
    log.write("set", NOW - timedelta(days=30), target="pond", field="tariff", value=dearer, effective_from=from_on)
    for days, kwh in ((20, 100), (10, 200), (0.5, 300)):
        log.write("reading", NOW - timedelta(days=days), quantity="heater_meter_kwh", value=kwh, point="heater")
    assert log.says("so-far") == "£36 200 kWh, by the meter."


def test_a_thermostat_turned_off_takes_no_page_away():
    for setting_c in (0.0, 40.0):
        log = kept(heater=HEATER, tariff=TARIFF, warm_low_c=14, worth_per_day=0.1)
        log.tick("heater", TODAY, "dusk", NOW - HOUR, setting_c=setting_c)
        for day in (0, 150):
            findings = [one.id for one in log.warmth(NOW + timedelta(days=day)).page.findings]
            assert not any("not-worked-out" in name for name in findings)
            assert "kit" in findings


def test_a_probe_that_hangs_in_the_sun_takes_no_page_away_from_a_filter_house():
    log = kept(filter_house={"volume_m3": 12})
    sunny = {"air_c": [*log.samples.measured["air_c"], (NOW, 55.0)], "house_c": [(NOW, 60.0)]}
    log.samples = Samples(measured={**log.samples.measured, **sunny})
    assert log.says("house") != ""


def test_heat_is_not_worked_out_through_hours_whose_air_nobody_knows():
    log = kept(heater=HEATER, tariff=TARIFF)
    air = log.samples.measured["air_c"]
    log.samples = Samples(measured={**log.samples.measured, "air_c": [*air[:30], *air[40:]]})
    assert log.says("so-far") == ""
    log.pond(latitude=-35.0)
    assert log.says("so-far") == ""


def test_nothing_is_done_upon_a_reading_that_is_doubted():
    log = kept(heater=HEATER, tariff=TARIFF, season=SEASON)
    log.foretell(2)
    later = NOW + HOUR
    before = log.warmth(later).page
    log.warm(32.0, NOW + HOUR / 2)
    page = log.warmth(later).page
    assert page.water_c == 32.0
    assert (page.says, page.settings) == (before.says, before.settings)
    assert next(one.big for one in page.findings if one.id == "food") == "About 4 g per kg of fish a day"
    log.warm(31.9, NOW + HOUR * 0.9)
    assert "Nothing" in log.says("food", later)


@pytest.mark.parametrize("surface", [{"worst_u_w_per_m2_k": 0.01}, {"rsi_m2_k_per_w": 0.01}])
def test_a_surface_as_no_house_has_it_takes_no_page_away(surface):
    log = kept(filter_house={"volume_m3": 12} | surface)
    log.foretell(2)
    assert log.says("house") != ""


def test_a_heater_set_by_hand_in_evenings_only_is_planned_for_evenings():
    log = kept(heater={**HEATER, "time_switch": False}, tariff=TARIFF, warm_low_c=14.5, warm_high_c=18)
    log.foretell(2, high_c=8)
    settings = log.warmth().advice.settings
    assert settings
    assert {part for _, part in settings} == {"evening"}
    assert (TODAY, "evening") in settings


def test_hours_beyond_the_time_switch_are_told_on_the_job():
    log = kept(heater={**HEATER, "power_w": 1800}, tariff=TARIFF, warm_low_c=15.5, warm_high_c=18)
    log.foretell(-6, high_c=0)
    reasons = [one.reason for one in log.warmth().advice.settings.values()]
    assert any("the switch's own hours are not enough" in reason for reason in reasons)


def test_old_water_says_nothing_of_food_and_the_season():
    log = kept(heater=HEATER, tariff=TARIFF)
    later = NOW + timedelta(days=20)
    page = log.warmth(later).page
    assert page.water_c is not None
    assert not {"food", "to-come", "holding"} & {one.id for one in page.findings}


def test_the_filter_house_is_held_to_the_air_outside_at_its_own_hour():
    log = kept(filter_house={"volume_m3": 11, "open_water_m2": 1.0})
    at = NOW - 9 * HOUR
    log.write("reading", at, quantity="air_temperature_c", value=11.0, point="filter_house")
    log.write("reading", at, quantity="relative_humidity_fraction", value=0.7, point="filter_house")
    now, later = log.warmth(at + HOUR), log.warmth(NOW + 3 * HOUR)
    says = [next(one.says for one in warm.page.findings if one.id == "house") for warm in (now, later)]
    assert says[0] == says[1]
