"""What is foretold is kept as it is shown, and handed on to be scored."""

from datetime import timedelta

import pytest
from msgspec.structs import replace
from written_log import NOW, Log, starter

from evenwater.domain.warmth.outlook import MonthCost, PondWarmth
from evenwater.web.plans.shown_keeping import ShownKeeper, trends_of

SUBJECTS = "SELECT subject, model_version FROM shown ORDER BY id"


def planned(kh: float = 4.5, now=NOW):
    log = Log()
    log.pond(volume_l=20_000, capful_g=27, inflow_l_per_day=400)
    log.job(starter("buffer"))
    for days in (6, 4, 2):
        log.kh(kh, NOW - timedelta(days=days))
    return log.plan(now)


@pytest.fixture
def plan():
    """A plan that foretells KH."""
    return planned()


async def test_a_forecast_is_kept_under_its_subject_with_the_model_that_made_it(database, plan):
    assert await ShownKeeper(database).keep(plan, NOW)
    assert [tuple(row) for row in await database.reader.execute_fetchall(SUBJECTS)] == [
        ("trend/main/kh_dkh", "kh-filter-1")
    ]


async def test_the_same_shown_again_is_not_kept_again_by_a_fresh_server_either(database, plan):
    keeper = ShownKeeper(database)
    await keeper.keep(plan, NOW)
    assert not await keeper.keep(plan, NOW + timedelta(minutes=5))
    assert not await ShownKeeper(database).keep(plan, NOW + timedelta(minutes=9))
    assert len(list(await database.reader.execute_fetchall(SUBJECTS))) == 1


async def test_of_a_day_the_last_one_is_held_before_and_after_a_restart(database, plan):
    keeper = ShownKeeper(database)
    shown = [(plan, 0), (planned(5.0), 1), (planned(5.5), 30)]
    for one, hours in shown:
        assert await keeper.keep(one, NOW + timedelta(hours=hours))
    for held in (keeper, ShownKeeper(database)):
        found = (await held.of_ponds(["main", "other"], "UTC", NOW + timedelta(hours=31)))["main"]
        assert [one.shown_at for one in found.trends["kh_dkh"]] == [NOW + timedelta(hours=1), NOW + timedelta(hours=30)]
        assert trends_of(found)[-1][1].forecast == shown[-1][0].water[0].trends[0].forecast
        assert (await held.of_ponds(["other"], "UTC", NOW))["other"].trends == {}


async def test_a_month_s_cost_and_what_it_came_to_are_read_back_for_years(database, plan):
    cost = MonthCost(
        month=NOW.date().replace(day=1), currency="£", so_far=1, band=(20, 30, 40), before=35, metered=True
    )
    warm = replace(plan, water=(), warmth=(PondWarmth(pond="main", tag="", month=cost),))
    await ShownKeeper(database).keep(warm, NOW)
    found = (await ShownKeeper(database).of_ponds(["main"], "UTC", NOW + timedelta(days=500)))["main"]
    assert [(one.what.band, one.model_version) for one in found.months] == [((20, 30, 40), "month-cost-1")]
    assert [(one.what.month.isoformat(), one.what.cost) for one in found.spent] == [("2026-10-01", 35)]
