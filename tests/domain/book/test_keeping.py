"""Which forecasts of a plan are kept, and in what shape."""

from datetime import UTC, date, datetime, timedelta

import pytest
from msgspec.structs import replace
from written_log import NOW, Log, starter

from evenwater.domain.book.keeping import to_keep
from evenwater.domain.kit import Cover, Heater
from evenwater.domain.warmth.outlook import MonthCost, PondWarmth, Tonight
from evenwater.domain.water.outlook import ChlorineDay

DAWN = datetime(2026, 11, 4, 7, 30, tzinfo=UTC)
HOUR = timedelta(hours=1)
TONIGHT = Tonight(
    dawn_at=DAWN,
    covered=(),
    bare=(),
    covered_dawn=(13.0, 13.4, 13.8),
    bare_dawn=(11.0, 11.6, 12.2),
    planned=((DAWN - HOUR / 2, 14.0), (DAWN + HOUR / 2, 14.2)),
)


@pytest.fixture
def plan():
    log = Log()
    log.pond(volume_l=20_000, capful_g=27)
    log.job(starter("cover"))
    log.job(starter("buffer"))
    log.kh(4.5, NOW - timedelta(hours=2))
    return log.plan()


def with_night(plan, tonight: Tonight = TONIGHT, **pond: object):
    (only,) = plan.ponds
    return replace(plan, ponds=(replace(only, **pond),), warmth=(PondWarmth(pond="main", tag="", tonight=tonight),))


def kept(plan, subject: str):
    return next(((version, what) for name, version, what in to_keep(plan) if name == subject), None)


def covers_left_off(plan):
    today, *later = plan.days
    jobs = tuple(replace(job, state="stood_down") if job.slot == "on" else job for job in today.jobs)
    return replace(plan, days=(replace(today, jobs=jobs), *later))


def test_a_trend_is_kept_without_its_past_and_its_workings(plan):
    version, trend = kept(plan, "trend/main/kh_dkh")
    assert version == "kh-filter-1"
    assert (trend.past, trend.workings) == ((), None)
    assert trend.forecast == plan.water[0].trends[0].forecast != ()


def test_an_unheated_pond_s_dawn_is_kept_covered_and_open(plan):
    version, dawn = kept(with_night(plan), "dawn/main")
    assert version == "heat-balance-1"
    assert (dawn.dawn_at, dawn.covered, dawn.bare) == (DAWN, TONIGHT.covered_dawn, TONIGHT.bare_dawn)


def test_a_heated_pond_s_dawn_is_kept_as_planned_with_the_band_of_how_its_covers_are_to_lie(plan):
    heated = with_night(plan, heater=Heater(), cover=Cover())
    assert kept(heated, "dawn/main")[1].covered == (13.7, 14.1, 14.5)
    assert kept(heated, "dawn/main")[1].bare is None
    mild = kept(covers_left_off(heated), "dawn/main")[1]
    assert (mild.covered, mild.bare) == (None, (13.5, 14.1, 14.7))


def test_a_heated_pond_without_a_plan_for_its_heater_keeps_no_dawn(plan):
    assert kept(with_night(plan, replace(TONIGHT, planned=()), heater=Heater()), "dawn/main") is None
    assert kept(with_night(plan, replace(TONIGHT, planned=TONIGHT.planned[:1]), heater=Heater()), "dawn/main") is None


def test_the_day_of_chlorine_and_the_cost_of_the_month_are_kept_where_the_pages_have_them(plan):
    assert {name for name, _, _ in to_keep(plan)} == {"trend/main/kh_dkh"}
    day = date(2026, 11, 9)
    chlorine = ChlorineDay(serviced_on=day, low=day, middle=day, high=day, limit_ug_per_l=20)
    cost = MonthCost(month=date(2026, 3, 1), currency="£", so_far=1, band=(20, 30, 40), before=35.5, metered=False)
    (water,) = plan.water
    plan = replace(
        plan,
        water=(replace(water, trends=(), chlorine_day=chlorine),),
        warmth=(PondWarmth(pond="main", tag="", month=cost),),
    )
    assert kept(plan, "chlorine_day/main") == ("carbon-life-1", chlorine)
    assert kept(plan, "month_cost/main")[1].band == (20, 30, 40)
    spent = kept(plan, "month_spent/main")[1]
    assert (spent.month, spent.cost, spent.metered) == (date(2026, 2, 1), 35.5, False)
