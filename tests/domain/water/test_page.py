"""The Water page put together, whatever somebody has set."""

from datetime import timedelta

import pytest
from written_log import NOW, starter

from evenwater.domain.fold import fold

CARBON = {"bed_l": 0.01}
MEMBRANE = {"rejection_fraction": 0.5, "recovery_fraction": 0.05}
ODD = {
    "a trickle of the most, at the least recovery": {"inflow_l_per_day": 100_000, "membrane": MEMBRANE},
    "a trickle of next to nothing": {"inflow_l_per_day": 5e-324, "mains": {"kh_dkh": 10.0}},
    "the smallest pond": {"volume_l": 100, "inflow_l_per_day": 100_000, "source_kh_dkh": 25.0},
    "a pond of a thousand cubic metres": {"volume_l": 1_000_000, "feed_g_per_day": 100_000},
}


@pytest.mark.parametrize("settings", ODD.values(), ids=list(ODD))
def test_no_setting_within_its_range_takes_the_plan_away(log, settings):
    log.job(starter("buffer"))
    log.pond(**{"carbon": CARBON, **settings})
    for day in range(9, 0, -1):
        log.kh(5.0, NOW - timedelta(days=day))
        log.read("ph", 7.5, NOW - timedelta(days=day))
        log.read("temperature_c", 14.0, NOW - timedelta(days=day))
        log.read("total_chlorine_ug_per_l", 20.0, NOW - timedelta(days=day), point="after_carbon")
    plan = log.plan()
    assert plan.water[0].judged
    assert [job.standing_job for job in plan.days[0].jobs] == ["buffer"]


@pytest.mark.parametrize("step", [1e-18, 100_000.0])
@pytest.mark.parametrize("quantity", ["kh_dkh", "ec25_us_per_cm"])
def test_no_kit_s_step_within_its_range_does_either(log, step, quantity):
    log.job(starter("buffer"))
    for day in range(4, 0, -1):
        log.read(quantity, 5.0 + day, NOW - timedelta(days=day), step=step)
    assert log.plan().days[0].jobs


def test_a_section_that_cannot_be_worked_out_says_so_and_leaves_the_others(log, monkeypatch):
    from evenwater.domain.errors import OutOfRange
    from evenwater.domain.water import page

    def fails(*_):
        raise OutOfRange("flow_l_per_min", 3000.0, 0.001, 2000.0, "L/min")

    monkeypatch.setattr(page, "carbon_findings", fails)
    log.pond(inflow_l_per_day=400, mains={"kh_dkh": 10.0}, carbon={"bed_l": 9.0})
    found = {one.id: one for one in log.plan().water[0].findings}
    assert "flow_l_per_min is 3000 L/min" in found["carbon-not-worked-out"].says
    assert "source-profile" in found


def test_a_setting_this_version_would_refuse_leaves_the_one_before(log):
    log.pond(inflow_l_per_day=400)
    log.pond(inflow_l_per_day=-5, no_such_setting=3)
    assert fold(log.entries).ponds(NOW.date())[0].inflow_l_per_day == 400
