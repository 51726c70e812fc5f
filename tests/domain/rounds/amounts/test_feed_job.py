"""How much food today, or nothing, and why."""

from datetime import timedelta

import pytest
from domain.rounds.care_log import DAY, HOUR, TODAY, CareLog, a_pond
from domain.rounds.rounds_jobs import a_job
from written_log import NOW

from evenwater.domain.rounds.amounts.feed_job import feed_job
from evenwater.domain.rounds.jobs import Job


@pytest.fixture
def log() -> CareLog:
    return a_pond(feed_g_per_day=200, fish_count=10, fish_mass_g=20_000)


def fed(log: CareLog, portions: int = 1, **fields: object) -> Job:
    usual = {"opens_at": NOW, "closes_at": NOW + 2 * HOUR, "due_on": TODAY, "shape": "feed"}
    return feed_job(a_job("feed", **(usual | fields)), log.care(), portions)


def test_warm_water_gets_the_usual_food(log):
    log.read("temperature_c", 21.0)
    job = fed(log)
    assert (job.state, job.feed_g) == ("open", 200)
    assert "21 °C" in job.reason


def test_two_portions_share_the_day(log):
    log.read("temperature_c", 21.0)
    assert fed(log, portions=2).feed_g == 100


def test_cool_water_draws_the_line_by_mass(log):
    log.read("temperature_c", 10.0)
    job = fed(log)
    assert job.feed_g == 60  # 3 g per kg
    assert "no more than this" in job.reason


def test_more_fish_get_more_and_the_reason_says_so(log):
    log.read("temperature_c", 21.0)
    log.write("fish_move", NOW - DAY, to_pond="main", count=5, mass_g=10_000)
    job = fed(log)
    assert job.feed_g == 300
    assert "150% of the usual food, as there is more fish" in job.reason


def test_unweighed_fish_count_by_number(log):
    log.read("temperature_c", 21.0)
    log.write("fish_move", NOW - DAY, from_pond="main", count=5)
    log.write("fish_move", NOW - DAY, to_pond="main", count=1)
    assert fed(log).feed_g == 120


def test_without_a_usual_amount_the_fish_say_what_to_begin_with():
    log = a_pond(fish_mass_g=20_000)
    log.read("temperature_c", 21.0)
    assert fed(log).feed_g == 200  # 10 g per kg


def test_with_neither_there_is_no_amount_and_no_guess():
    log = a_pond()
    log.read("temperature_c", 21.0)
    job = fed(log)
    assert (job.state, job.feed_g) == ("open", None)
    assert "not set" in job.reason


def test_without_a_temperature_it_is_not_known(log):
    assert fed(log).state == "not_known"
    log.read("temperature_c", 21.0, hours_ago=73)
    job = fed(log)
    assert job.state == "not_known"
    assert "last read Sat 31 Oct" in job.reason


@pytest.mark.parametrize(("water_c", "state"), [(7.9, "held_back"), (8.0, "open"), (30.0, "open"), (30.1, "held_back")])
def test_cold_and_hot_water_hold_it_back(log, water_c, state):
    log.read("temperature_c", water_c)
    job = fed(log)
    assert job.state == state
    assert (job.source is None) == (state == "open")


def test_a_week_of_cold_is_winter_and_no_news_any_more(log):
    for day in range(8):
        log.read("temperature_c", 6.0, hours_ago=24 * (7 - day) + 1)
    job = fed(log)
    assert (job.state, job.reason) == ("stood_down", "Under 8 °C for 7 days: no food till it warms.")


def test_after_a_long_power_cut_nothing_is_fed_that_day(log):
    log.read("temperature_c", 21.0)
    log.write("power", NOW - 3 * HOUR, on=False)
    log.write("power", NOW - HOUR, on=True)
    assert fed(log).state == "held_back"
    assert fed(log, due_on=TODAY + DAY, opens_at=NOW + DAY).state == "open"


def test_the_keepers_own_floor_goes_before_ours(log):
    log.pond(feed_floor_c=10)
    log.read("temperature_c", 9.5)
    assert fed(log).state == "held_back"


def test_a_fast_drop_holds_it_back_for_a_day(log):
    log.read("temperature_c", 21.0, hours_ago=20)
    log.read("temperature_c", 17.9, hours_ago=6)
    job = fed(log)
    assert job.state == "held_back"
    assert "fell 3.1 °C" in job.reason
    assert job.source is not None and "Hodkovicova" in job.source
    tomorrow = {"opens_at": NOW + 19 * HOUR, "due_on": TODAY + DAY}
    assert fed(log, **tomorrow).state == "open"


def test_a_lesser_drop_halves_it(log):
    log.read("temperature_c", 23.0, hours_ago=20)
    log.read("temperature_c", 20.5, hours_ago=6)
    job = fed(log)
    assert (job.state, job.feed_g) == ("open", 100)
    assert "Half" in job.reason


def test_a_rise_is_no_drop(log):
    log.read("temperature_c", 17.0, hours_ago=20)
    log.read("temperature_c", 21.0, hours_ago=6)
    assert fed(log).feed_g == 200


def test_nitrite_out_of_range_holds_todays_food_back(log):
    log.read("temperature_c", 21.0)
    log.read("nitrite_n_mg_per_l", 0.3, hours_ago=10)
    job = fed(log)
    assert job.state == "held_back"
    assert job.reason == "Nitrite was 0.3 mg/L Tue 3 Nov: feed nothing until a test is back in range."


def test_a_better_test_lets_food_go_on(log):
    log.read("temperature_c", 21.0)
    log.read("nitrite_n_mg_per_l", 0.3, hours_ago=10)
    log.read("nitrite_n_mg_per_l", 0.02, hours_ago=2)
    assert fed(log).state == "open"


def test_food_given_today_is_taken_off(log):
    log.read("temperature_c", 21.0)
    log.write("feed", NOW - HOUR, feed_g=150)
    assert fed(log).feed_g == 50
    log.write("feed", NOW - HOUR, feed_g=60)
    job = fed(log)
    assert (job.state, job.reason) == ("stood_down", "210 g were given today: that is all of it.")


def test_a_tick_with_food_is_food_given(log):
    log.read("temperature_c", 21.0)
    log.tick("feed", TODAY, "morning", NOW - HOUR, feed_g=100)
    assert fed(log).feed_g == 100


def spring(log: CareLog, days_ago: int) -> None:
    starts_on = (TODAY - timedelta(days=days_ago)).isoformat()
    log.pond(feed_steps={"starts_on": starts_on, "first_fraction": 0.2, "step_fraction": 0.2, "days_per_step": 4})
    log.read("temperature_c", 21.0)


def test_in_spring_a_step_gives_its_share_and_says_when_the_next_may_come(log):
    spring(log, 1)
    job = fed(log)
    assert job.feed_g == 40
    assert job.reason == "Step 1 of 5, 20% of the usual; the next from Fri 6 Nov if TAN and nitrite are in range."


def test_a_step_waits_without_tests_and_says_why(log):
    spring(log, 6)
    job = fed(log)
    assert job.feed_g == 40
    assert job.reason == "Step 1 of 5, 20% of the usual; it stays: TAN was not tested within three days."


def test_a_step_is_taken_with_good_tests(log):
    spring(log, 4)
    for quantity, value in (("tan_mg_n_per_l", 0.1), ("ph", 7.4), ("nitrite_n_mg_per_l", 0.01)):
        log.read(quantity, value, hours_ago=5)
    assert fed(log).feed_g == 80


def test_a_restart_of_long_ago_holds_nothing_back(log):
    spring(log, 81)
    assert fed(log).feed_g == 200


def test_before_feeding_begins_again_the_job_is_stood_down(log):
    spring(log, -3)
    job = fed(log)
    assert (job.state, job.reason) == ("stood_down", "Feeding begins again on Fri 6 Nov, as you set.")


def test_the_amount_shows_its_workings(log):
    log.read("temperature_c", 21.0)
    workings = fed(log).workings
    assert workings is not None
    assert workings.result == "200 g"
