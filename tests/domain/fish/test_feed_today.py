"""Today's food on the Fish page: by the fish there are, the water, and what they left."""

from datetime import timedelta

import pytest
from fish_log import FishLog
from written_log import NOW

from evenwater.domain.fish.outlook import PondFish
from evenwater.domain.fish.page import fish_of, register_of
from evenwater.domain.fold import fold
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.pond_air import Samples

TODAY = NOW.date()


@pytest.fixture
def log() -> FishLog:
    log = FishLog()
    log.pond(volume_l=20_000)
    return log


def water(log: FishLog, level_c: float) -> None:
    log.write("reading", NOW - timedelta(hours=2), quantity="temperature_c", value=level_c)


def page_of(log: FishLog) -> PondFish:
    known = fold(log.entries)
    (pond,) = known.ponds(TODAY)
    return fish_of(known, pond, register_of(known, {}, NOW), warmth_now(known, pond, Samples(), NOW).page, NOW)


def ten_fish(log: FishLog, cm: float = 50, days_ago: int = 30) -> None:
    for nth in range(10):
        log.fish(f"fish-{nth}")
        log.measure(f"fish-{nth}", days_ago, cm)


def test_the_mass_of_the_register_is_what_the_food_begins_with(log):
    ten_fish(log)
    water(log, 20.0)
    page = page_of(log)
    assert page.feed.day_g == pytest.approx(0.01 * page.stock.mass_g.middle, abs=5)
    assert (page.feed.meals, page.feed.state) == (3, "open")
    assert "protein" in page.feed.kind
    assert page.feed.workings.result


def test_cold_water_is_nothing_with_the_reason_and_no_kind(log):
    ten_fish(log)
    water(log, 6.0)
    feed = page_of(log).feed
    assert (feed.state, feed.day_g, feed.kind) == ("held_back", None, "")
    assert "left to rot" in feed.reason


def test_without_a_temperature_it_is_not_known(log):
    ten_fish(log)
    assert page_of(log).feed.state == "not_known"


def test_with_nothing_to_reckon_from_it_is_not_known_rather_than_nothing(log):
    water(log, 20.0)
    feed = page_of(log).feed
    assert (feed.state, feed.day_g, feed.kind) == ("not_known", None, "")
    assert feed.reason == "How much they usually get is not set, nor how much fish there is."


def test_what_was_given_today_is_taken_off(log):
    ten_fish(log)
    water(log, 20.0)
    before = page_of(log).feed
    log.write("feed", NOW - timedelta(hours=1), feed_g=50)
    after = page_of(log).feed
    assert (after.fed_g, after.left_g) == (50, pytest.approx(before.left_g - 50, abs=5))


def test_the_usual_food_grows_with_the_fish(log):
    log.write("set", NOW - timedelta(days=300), target="pond", field="feed_g_per_day", value=60)
    for nth in range(10):
        log.fish(f"fish-{nth}")
        log.measure(f"fish-{nth}", 310, 40)
        log.measure(f"fish-{nth}", 10, 46)
    water(log, 21.0)
    page = page_of(log)
    grown = page.stock.mass_g.middle / page.stock.mass_then_g
    assert 1.3 < grown < 1.7
    assert page.feed.day_g == pytest.approx(60 * grown, abs=2)


def test_what_they_left_is_fed_less_from_the_third_day_on_in_the_round_too(log):
    log.pond(feed_g_per_day=100, fish_mass_g=20_000, fish_count=10)
    log.job(StandingJob(id="feed", pond="", text="Feed", shape="feed"))
    water(log, 21.0)
    for days_ago in (3, 2, 1):
        on = TODAY - timedelta(days=days_ago)
        at = NOW - timedelta(days=days_ago)
        log.tick("feed", on, "day", at, feed_g=100, appetite="some_left")
        if days_ago == 2:
            assert page_of(log).feed.appetite_says is None
    page = page_of(log)
    assert "left on 3 of 3 days" in page.feed.appetite_says
    assert 50 <= page.feed.day_g < 85
    assert page.feed.last_appetite == "some_left"
    known = fold(log.entries)
    plan = make_plan(known, 1, {}, NOW, fish=[page])
    (job,) = [job for job in plan.days[0].jobs if job.standing_job == "feed"]
    assert job.feed_g == page.feed.left_g
    assert "Something was left" in job.reason


def test_the_round_feeds_by_the_register_where_no_mass_was_set(log):
    ten_fish(log)
    log.job(StandingJob(id="feed", pond="", text="Feed", shape="feed"))
    water(log, 20.0)
    page = page_of(log)
    plan = make_plan(fold(log.entries), 1, {}, NOW, fish=[page])
    (job,) = [job for job in plan.days[0].jobs if job.standing_job == "feed"]
    assert job.feed_g == page.feed.left_g > 0


def test_the_food_that_is_left_stands_on_the_page(log):
    log.pond(food={"stock_g": 5000, "counted_on": str(TODAY - timedelta(days=9)), "price_per_kg": 8})
    for days_ago in range(8):
        log.write("feed", NOW - timedelta(days=days_ago, hours=1), feed_g=100)
    food = page_of(log).food
    assert food.left_g == 4200
    assert food.days_left == pytest.approx(47.25)
    assert food.currency == "€"
