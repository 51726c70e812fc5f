"""What must not happen now."""

from datetime import timedelta

import pytest
from domain.rounds.care_log import DAY, TODAY, CareLog, a_pond
from domain.rounds.rounds_jobs import a_job
from written_log import NOW

from evenwater.domain.rounds.held.held_jobs import hold_jobs
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.rounds.starter import GROUPS, jobs_of

STANDING = {job.id: job for job in jobs_of(GROUPS)}


@pytest.fixture
def log() -> CareLog:
    log = a_pond(feed_g_per_day=200)
    log.read("temperature_c", 15.0)
    return log


def held(log: CareLog, days_ahead: int = 0, **fields: object) -> Job:
    on = TODAY + days_ahead * DAY
    usual = {"due_on": on, "opens_at": NOW + days_ahead * DAY}
    return hold_jobs([a_job("one", **(usual | fields))], log.care(), on)[0]


def test_a_plain_job_is_left_as_it_is(log):
    job = a_job("one")
    assert hold_jobs([job], log.care(), TODAY) == [job]


def test_dose_food_and_setting_are_held_while_an_event_lasts(log):
    assert held(log, shape="dose").held_while == ("power_out", "water_running")
    assert held(log, shape="feed").held_while == ("power_out",)
    assert held(log, shape="setting").held_while == ("power_out",)


def test_a_dose_says_what_its_limits_rest_on_wherever_it_is_held_back(log):
    for state in ("open", "held_back"):
        source = held(log, shape="dose", state=state).source
        assert source is not None and "Emerson" in source


def test_buffer_is_held_back_on_a_day_salt_went_in_and_not_on_the_next(log):
    log.write("salt", NOW - timedelta(hours=2), salt_g=5000)
    job = held(log, shape="dose")
    assert (job.state, job.source) == ("held_back", "Common practice, no source.")
    assert "Salt went in today" in job.reason
    assert held(log, 1, shape="dose").state == "open"


def test_one_bicarbonate_is_not_followed_by_the_other_on_one_day(log):
    log.write("dose", NOW - timedelta(hours=2), substance="potassium_bicarbonate", amount_g=50)
    job = held(log, shape="dose")
    assert job.state == "held_back"
    assert job.reason == "Potassium bicarbonate went in today: not two substances on one day."


def test_more_of_the_same_is_left_to_its_own_limit(log):
    log.write("dose", NOW - timedelta(hours=2), substance="sodium_bicarbonate", amount_g=50)
    assert held(log, shape="dose").state == "open"


@pytest.mark.parametrize(
    ("setting_c", "state"),
    [(16.0, "open"), (17.0, "open"), (17.1, "held_back"), (12.5, "held_back")],
)
def test_a_setting_far_from_the_water_is_held_back(log, setting_c, state):
    job = held(log, shape="setting", setting_c=setting_c)
    assert job.state == state


def test_a_setting_that_stands_already_is_not_too_far(log):
    log.tick("heater", TODAY, "dusk", NOW - 3 * DAY, setting_c=19.0)
    assert held(log, shape="setting", setting_c=19.0).state == "open"


def test_the_keepers_own_limit_of_change_counts(log):
    log.pond(change_limit_c_per_day=2)
    assert held(log, shape="setting", setting_c=18.5).state == "open"


def quarantine(log: CareLog, days_ago: int) -> None:
    log.write("fish_move", NOW - days_ago * DAY, to_pond="main", count=2, quarantine=True)


def test_fish_in_quarantine_do_not_move_before_its_end(log):
    quarantine(log, 26)
    job = held(log, slot="move")
    assert job.state == "held_back"
    assert job.reason == "In quarantine since 8 Oct: 2 more days, to 5 Nov, before they move."
    assert held(log, 2, slot="move").state == "open"


def test_while_its_end_is_far_moving_is_not_asked_for(log):
    quarantine(log, 10)
    job = held(log, slot="move")
    assert (job.state, job.reason) == ("stood_down", "In quarantine to 21 Nov.")


def test_the_work_of_quarantine_is_there_for_its_days_alone_and_counts_them(log):
    jobs = [a_job("look", slot="quarantine", reason="They tell first. Every day.")]
    assert hold_jobs(jobs, log.care(), TODAY) == []
    quarantine(log, 10)
    (job,) = hold_jobs(jobs, log.care(), TODAY)
    assert job.reason == "They tell first. Day 11 of 28, to 21 Nov."
    assert hold_jobs(jobs, log.care(), TODAY + 18 * DAY) == []


def test_moving_is_asked_for_until_the_fish_have_moved(log):
    quarantine(log, 30)
    assert held(log, slot="move").state == "open"
    log.write("fish_move", NOW - DAY, from_pond="main", count=2)
    assert hold_jobs([a_job("one", slot="move")], log.care(), TODAY) == []


def test_what_was_ticked_stays_though_its_cause_is_gone(log):
    log.tick("one", TODAY, "move", NOW)
    job = a_job("one", slot="move", id=f"one/{TODAY}/move")
    assert hold_jobs([job], log.care(), TODAY) == [job]


def test_a_filter_is_rinsed_after_a_long_cut_and_not_after_a_short_one(log):
    jobs = [a_job("restart", slot="restart")]
    log.write("power", NOW - timedelta(hours=2), on=False)
    assert hold_jobs(jobs, log.care(), TODAY) == []
    log.write("power", NOW - timedelta(minutes=70), on=True)
    assert hold_jobs(jobs, log.care(), TODAY) == []
    log.write("power", NOW - timedelta(minutes=65), on=False)
    log.write("power", NOW - timedelta(minutes=2), on=True)
    assert hold_jobs(jobs, log.care(), TODAY) == jobs
    assert hold_jobs(jobs, log.care(), TODAY + DAY) == []


@pytest.mark.parametrize(("water_c", "state"), [(7.5, "held_back"), (8.0, "open"), (26.0, "open"), (26.5, "held_back")])
def test_fish_are_lifted_in_mild_water_alone(water_c, state):
    assert held(a_pond_at(water_c), slot="lift").state == state


def a_pond_at(water_c: float) -> CareLog:
    log = a_pond()
    log.read("temperature_c", water_c)
    return log


def test_fish_are_left_alone_after_a_fast_drop():
    log = a_pond()
    log.read("temperature_c", 20.0, hours_ago=12)
    log.read("temperature_c", 16.0)
    assert held(log, slot="lift").state == "held_back"


def test_what_is_stood_down_already_stays_so(log):
    log.write("salt", NOW - timedelta(hours=2), salt_g=5000)
    assert held(log, shape="dose", state="stood_down").state == "stood_down"


def test_two_food_jobs_of_a_day_share_it(log):
    jobs = [a_job("feed", shape="feed", due_on=TODAY, opens_at=NOW, slot=slot) for slot in ("morning", "evening")]
    assert [job.feed_g for job in hold_jobs(jobs, log.care(), TODAY)] == [100, 100]


def test_every_job_held_back_says_what_that_rests_on(log):
    log.write("salt", NOW - timedelta(hours=2), salt_g=5000)
    log.read("temperature_c", 6.0, hours_ago=0.5)
    jobs = [
        a_job("dose", shape="dose"),
        a_job("feed", shape="feed", due_on=TODAY, opens_at=NOW),
        a_job("heater", shape="setting", setting_c=20.0),
        a_job("bowl", slot="lift"),
    ]
    said = hold_jobs(jobs, log.care(), TODAY)
    assert [job.state for job in said] == ["held_back"] * 4
    assert all(job.source and job.reason.endswith(".") for job in said)


def test_without_a_forecast_one_line_stands_for_all_that_wait_for_it(log):
    waits = {name: STANDING[name] for name in ("gusts", "snow", "rain")}
    jobs = [a_job(name, name=rule.text, state="not_known", reason="Not known.") for name, rule in waits.items()]
    (job,) = hold_jobs(jobs, log.care(), TODAY, waits)
    assert job.standing_job == "gusts"
    assert job.reason == "Not known: the weather ahead. For it wait, too: Snow ahead, Heavy rain."


def test_jobs_that_wait_for_the_same_reading_stand_in_one_line_too(log):
    reason = "Not known: Water temperature was last read on 28 Oct."
    jobs = [a_job(one, name=STANDING[one].text, state="not_known", reason=reason) for one in ("heat", "heat-oxygen")]
    (job,) = hold_jobs(jobs, log.care(), TODAY, STANDING)
    assert job.reason == f"{reason} For it wait, too: Measure oxygen early."


def test_a_job_nobody_can_tell_says_only_what_is_missing(log):
    reason = "Cold water digests slowly. Not known: no reading of water temperature yet."
    (job,) = hold_jobs([a_job("light-food", state="not_known", reason=reason)], log.care(), TODAY)
    assert job.reason == "Not known: no reading of water temperature yet."


def test_what_is_not_known_for_another_reason_keeps_its_line(log):
    jobs = [a_job(name, state="not_known", reason="Not known.") for name in ("gusts", "leak-look")]
    assert hold_jobs(jobs, log.care(), TODAY, STANDING) == jobs
