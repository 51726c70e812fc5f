"""Numbered bags: whole or shut, by the keeper's weight, and what was too much is made up for."""

from datetime import UTC, datetime, timedelta

import pytest
from helper_phone import JO
from written_log import Log, starter

from evenwater.domain.away.helper_plan import helper_plan
from evenwater.domain.away.scope import scope_of
from evenwater.domain.fold import fold
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.standing_job import StandingJob, Window

NOW = datetime(2026, 11, 13, 16, 30, tzinfo=UTC)
DAY = timedelta(days=1)
NAHCO3 = {"substance": "sodium_bicarbonate"}
MEALS = {"early": Window("morning", "07:00", "10:00"), "late": Window("dusk", "15:00", "20:00")}


class Round:
    """A pond with buffer and food, handed over since three days ago for ten."""

    def __init__(self, kh_dkh: float = 4.0, bag_g: float | None = 60.0, water_c: float | None = 15.0, **more: object):
        self.log = Log()
        self.log.pond(volume_l=20_000, feed_g_per_day=80)
        self.log.job(starter("buffer"))
        self.log.job(StandingJob(id="feed", pond="", text="Feed", shape="feed"), windows=MEALS)
        self.log.kh(kh_dkh, NOW - DAY)
        if water_c is not None:
            self.log.write("reading", NOW - DAY, quantity="temperature_c", value=water_c)
        ceiling = {"pond": "main", "buffer_g_per_day": bag_g, "feed_g_per_day": 45} | more
        fields = {"begins_on": "2026-11-10", "ends_on": "2026-11-19", "helpers": [{"id": JO, "name": "Jo"}]}
        fields |= {"jobs": ["main/buffer", "main/feed"], "ceilings": [ceiling]}
        for field, value in fields.items():
            self.log.write("set", NOW - 9 * DAY, target="hand-over/autumn", field=field, value=value)

    def gave(self, days_ago: int, grams: float, **more: object) -> "Round":
        self.log.write("dose", NOW - days_ago * DAY, amount_g=grams, **(NAHCO3 | more))
        return self

    def job(self, name: str = "buffer", ahead: int = 0) -> Job:
        known = fold(self.log.entries)
        scope = scope_of(known, "autumn", JO, NOW)
        day = helper_plan(self.log.plan(NOW), scope, known).days[ahead]
        return next(job for job in day.jobs if job.standing_job == name)


def test_a_bag_is_what_the_keeper_weighed_whatever_the_plan_would_give():
    job = Round().job()
    assert (job.state, job.amount_g, job.bag, job.reason, job.fixed) == ("open", 60, 4, "Bag 4 of 10", True)
    assert Round().job(ahead=6).reason == "Bag 10 of 10"


def test_where_kh_is_high_no_bag_is_needed():
    job = Round(kh_dkh=9.0).job()
    assert (job.state, job.amount_g, job.bag) == ("stood_down", None, None)
    assert "high enough" in job.reason


def test_a_bag_above_the_days_rise_stays_shut():
    job = Round(bag_g=900).job()
    assert job.state == "held_back" and "is the most for a day" in job.reason


@pytest.mark.parametrize(
    ("given", "state"),
    [
        ([(1, 60)], "open"),  # yesterday's bag
        ([(1, 120)], "held_back"),  # two bags
        ([(1, 80)], "open"),  # a little more than one
        ([(1, 90)], "held_back"),  # half a bag more
        ([(2, 120)], "open"),  # made up for yesterday, when none was given
        ([(2, 120), (1, 60)], "held_back"),  # not made up for
        ([(2, 180)], "held_back"),  # three bags take two days
        ([(5, 600)], "open"),  # before the first day
        ([(3, 0), (2, 0), (1, 0)], "open"),  # missed ones are not made up for
    ],
)
def test_more_than_a_bag_is_made_up_for_and_less_is_not(given, state):
    pond = Round(kh_dkh=3.5)
    for days_ago, grams in given:
        pond.gave(days_ago, grams)
    job = pond.job()
    assert job.state == state
    assert job.amount_g == (60 if state == "open" else None)


def test_other_substances_count_as_what_they_are_worth():
    worth_88_g = Round(kh_dkh=3.5).gave(1, 105, substance="potassium_bicarbonate").job()
    worth_101_g = Round(kh_dkh=3.5).gave(1, 120, substance="potassium_bicarbonate").job()
    assert (worth_88_g.state, worth_101_g.state) == ("open", "held_back")


def test_meals_share_the_days_bag():
    pond = Round()
    known = fold(pond.log.entries)
    plan = helper_plan(pond.log.plan(NOW), scope_of(known, "autumn", JO, NOW), known)
    meals = [job for job in plan.days[1].jobs if job.shape == "feed"]
    assert [(job.feed_g, job.limit_g_24h, job.bag) for job in meals] == [(22.5, 45, 5)] * 2
    assert meals[0].reason == "Bag 5 of 10, in 2 meals: this is one of them"


def test_food_is_held_back_in_cold_water_and_stands_where_nobody_measured():
    cold, unknown = Round(water_c=5.0).job("feed", 1), Round(water_c=None).job("feed", 1)
    assert (cold.state, cold.feed_g) == ("held_back", None)
    assert (unknown.state, unknown.feed_g) == ("open", 22.5)


def test_what_is_not_weighed_is_not_given():
    pond = Round(bag_g=None)
    known = fold(pond.log.entries)
    plan = helper_plan(pond.log.plan(NOW), scope_of(known, "autumn", JO, NOW), known)
    assert {job.standing_job for day in plan.days for job in day.jobs} == {"feed"}
