"""What the trickle carries: readings before settings, settings before reckoning."""

from datetime import timedelta

import pytest
from written_log import NOW

from evenwater.domain.fold import fold
from evenwater.domain.water.page import water_of
from evenwater.domain.water.source_findings import source_findings
from evenwater.domain.water.source_water import SourceProfile, carbon_flow_l_per_day, trickle_of

DAY = timedelta(days=1)
MAINS = {"disinfectant": "chloramine", "kh_dkh": 10.0, "gh_dgh": 14.0, "ec25_us_per_cm": 500.0}
MAINS |= {"nitrate_n_mg_per_l": 5.0, "total_chlorine_ug_per_l": 500.0}


@pytest.fixture
def pond(log):
    """The pond with these settings, as of now."""

    def settled(**settings: object):
        log.pond(inflow_l_per_day=400.0, **settings)
        return fold(log.entries).ponds(NOW.date())[0]

    return settled


def trickle(log, pond, now=NOW):
    return trickle_of(pond, fold(log.entries).of_pond("main"), now)


def found(log, pond, now=NOW):
    return {one.id: one for one in source_findings(pond, fold(log.entries).of_pond("main"), now)}


def test_nothing_is_known_where_nothing_was_set_or_read(log, pond):
    assert trickle(log, pond()) == SourceProfile()
    assert "source-profile" not in found(log, pond())


def test_mains_water_comes_as_it_is_where_there_is_no_membrane(log, pond):
    water = trickle(log, pond(mains=MAINS))
    assert (water.kh_dkh, water.gh_dgh, water.total_chlorine_ug_per_l) == (10.0, 14.0, 500.0)
    assert water.origins["kh_dkh"] == "setting"


def test_a_reading_of_the_mains_wins_over_the_setting(log, pond):
    log.read("kh_dkh", 8.0, NOW - 3 * DAY, point="mains")
    water = trickle(log, pond(mains=MAINS))
    assert (water.kh_dkh, water.origins["kh_dkh"]) == (8.0, "reading")


def test_a_reading_of_two_years_ago_and_one_of_tomorrow_do_not_count(log, pond):
    log.read("kh_dkh", 8.0, NOW - 730 * DAY, point="mains")
    log.read("kh_dkh", 9.0, NOW + DAY, point="mains")
    assert trickle(log, pond(mains=MAINS)).kh_dkh == 10.0


def test_the_membrane_holds_back_what_is_set_until_it_is_measured(log, pond):
    assert trickle(log, pond(mains=MAINS, membrane={"rejection_fraction": 0.95})).kh_dkh == pytest.approx(0.5)
    log.read("ec25_us_per_cm", 500.0, NOW - 2 * DAY, point="mains")
    log.read("ec25_us_per_cm", 50.0, NOW - DAY, point="after_membrane")
    assert trickle(log, pond()).kh_dkh == pytest.approx(1.0)


def test_conductivities_read_a_month_apart_are_not_compared(log, pond):
    log.read("ec25_us_per_cm", 500.0, NOW - 40 * DAY, point="mains")
    log.read("ec25_us_per_cm", 50.0, NOW - DAY, point="after_membrane")
    assert trickle(log, pond(mains=MAINS, membrane={"rejection_fraction": 0.95})).kh_dkh == pytest.approx(0.5)


def test_the_bypass_mixes_both_waters(log, pond):
    water = trickle(log, pond(mains=MAINS, membrane={"rejection_fraction": 0.95}, bypass_fraction=0.2))
    assert water.kh_dkh == pytest.approx(0.2 * 10.0 + 0.8 * 0.5)
    assert trickle(log, pond(bypass_fraction=1.0)).kh_dkh == 10.0


def test_the_keepers_own_source_kh_wins_over_all(log, pond):
    log.read("kh_dkh", 8.0, NOW - 3 * DAY, point="mains")
    assert trickle(log, pond(mains=MAINS, source_kh_dkh=1.5)).kh_dkh == 1.5


def test_readings_that_do_not_mix_are_left_out(log, pond):
    log.read("ph", 7.0, NOW - DAY, point="mains")
    log.read("temperature_c", 9.0, NOW - DAY, point="mains")
    assert trickle(log, pond()) == SourceProfile()


def test_carbon_leaves_the_ammonia_of_chloramine_and_nothing_of_free_chlorine(log, pond):
    # 0.1976 mg N per mg Cl2, on 500 µg/L less what passed.
    log.read("total_chlorine_ug_per_l", 20.0, NOW - DAY, point="after_carbon")
    water = trickle(log, pond(mains=MAINS, carbon={"bed_l": 9.0}))
    assert water.tan_mg_n_per_l == pytest.approx(0.48 * 0.1976, rel=1e-3)
    assert water.total_chlorine_ug_per_l == 20.0
    free = trickle(log, pond(mains=MAINS | {"disinfectant": "free_chlorine"}))
    assert free.tan_mg_n_per_l is None


def test_what_carbon_lets_through_is_not_known_until_it_is_read(log, pond):
    assert trickle(log, pond(mains=MAINS, carbon={"bed_l": 9.0})).total_chlorine_ug_per_l is None


def test_the_carbon_treats_the_membranes_reject_too(log, pond):
    one = pond(membrane={"recovery_fraction": 0.4}, bypass_fraction=0.25)
    assert carbon_flow_l_per_day(one) == pytest.approx(400.0 * (0.25 + 0.75 / 0.4))


def test_the_blend_for_a_target_is_told_and_whether_it_is_set(log, pond):
    settings = {"mains": MAINS, "membrane": {"rejection_fraction": 0.95}, "blend_for": "kh_dkh", "blend_target": 4.0}
    # (4 - 0.5) / (10 - 0.5)
    one = found(log, pond(**settings))["source-blend"]
    assert (one.big, one.answer) == ("37% bypass", "drifting")
    assert found(log, pond(bypass_fraction=0.37))["source-blend"].answer == "in_range"
    assert found(log, pond(blend_target=12.0))["source-blend"].big == "out of reach"


def test_the_pond_settles_where_trickle_and_food_take_it(log, pond):
    one = found(log, pond(mains=MAINS, feed_g_per_day=50.0, protein_fraction=0.4))["source-steady"]
    rows = dict(one.rows)
    # 50 g × 0.4 × 0.092 = 1.84 g N a day into 400 L: +4.6 mg/L, and 1.84 × 7.145 g CaCO3 off the alkalinity.
    assert rows["Nitrate [mg/L as N]"] == "9.6"
    assert float(rows["KH [°dKH]"]) == pytest.approx(10.0 - 1.84 * 7.145 / 0.4 / 17.848, abs=0.06)
    assert one.big == "half way in 35 days"


def test_water_and_buffer_of_a_month_are_added_up(log, pond):
    one = found(log, pond(mains=MAINS, source_kh_dkh=0.0, kh_target_dkh=5.0, purity_fraction=1.0))["source-month"]
    rows = dict(one.rows)
    assert rows["Mains water"] == "12.0 m³"
    # 0.4 m³ × 5 °dKH × 29.96 g a day, thirty days.
    assert rows["Buffer"] == "1.8 kg"
    assert "for want of readings" in one.says


def test_the_pond_s_own_loss_tells_the_buffer_of_a_month_better(log, pond):
    log.pond(volume_l=20_000, inflow_l_per_day=400, source_kh_dkh=0.0, purity_fraction=1.0)
    for day in range(12, 0, -2):
        log.read("kh_dkh", 4.0 + 0.2 * day, NOW - day * DAY, step=0.5)
    known = fold(log.entries)
    page = water_of(known, known.ponds(NOW.date())[0], NOW.date(), NOW, [], ())
    one = next(one for one in page.findings if one.id == "source-month")
    # 0.2 °dKH a day in 20 m³ are 20 × 0.2 × 29.96 g a day: 3.6 kg in thirty days.
    assert 3.2 <= float(dict(one.rows)["Buffer"].removesuffix(" kg")) <= 4.0
    assert "what this pond loses now" in one.says


def test_nothing_hangs_on_the_minute(log, pond):
    log.read("kh_dkh", 8.0, NOW - 3 * DAY, point="mains")
    one = pond(mains=MAINS, carbon={"bed_l": 9.0}, membrane={})
    assert found(log, one) == found(log, one, NOW + timedelta(minutes=7)) == found(log, one, NOW + 30 * DAY)
