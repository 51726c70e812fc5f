"""Mixing, conductivity, carbon and membrane against solvers, PHREEQC, TEOS-10 and print. Sources: mixing.json."""

import json
from pathlib import Path

import gsw
import phreeqpython
import pytest
from phreeqpython.utility import convert_units
from scipy.integrate import solve_ivp

from evenwater.domain.units import MEQ_PER_L_PER_DKH
from evenwater.domain.water.carbon_bed import ammonia_freed_mg_n_per_l, bed_volumes, contact_min
from evenwater.domain.water.conductivity import SHARE_PER_KELVIN, ec25_us_per_cm
from evenwater.domain.water.membrane import concentrate_level, permeate_level
from evenwater.domain.water.mixing import (
    FlowThrough,
    Water,
    blend,
    exhausted_after_days,
    level_after_mg_per_l,
    share_for,
    steady_mg_per_l,
)

CHECKS = json.loads(Path(__file__).with_name("mixing.json").read_text(encoding="utf-8"))


def pond_of(case: dict[str, float]) -> FlowThrough:
    return FlowThrough(
        volume_l=1000.0 * case["volume_m3"],
        inflow_l_per_day=1000.0 * case["inflow_m3"],
        inflow_mg_per_l=case["inflow"],
        source_g_per_day=case.get("source_g", 0.0),
        evaporation_l_per_day=1000.0 * case.get("evaporation_m3", 0.0),
        decay_per_day=case.get("decay", 0.0),
    )


def solved(case: dict[str, float], days: float) -> tuple[float, float | None]:
    """Level [mg/L] by integrating in steps, and when it crosses nothing [days]; case in m³ and mg/L = g/m³."""
    volume, inflow = case["volume_m3"], case["inflow_m3"]
    out = inflow - case.get("evaporation_m3", 0.0)

    def rate(_: float, level: list[float]) -> list[float]:
        coming = inflow * case["inflow"] + case.get("source_g", 0.0)
        return [(coming - out * level[0]) / volume - case.get("decay", 0.0) * level[0]]

    def empty(_: float, level: list[float]) -> float:
        return level[0]

    found = solve_ivp(rate, (0.0, days), [case["start"]], rtol=1e-10, atol=1e-12, events=empty, method="LSODA")
    return float(found.y[0][-1]), float(found.t_events[0][0]) if len(found.t_events[0]) else None


@pytest.mark.parametrize("case", CHECKS["flow_through"]["cases"])
def test_the_pond_goes_where_a_solver_takes_it(case):
    ours = level_after_mg_per_l(pond_of(case), case["start"], case["days"])
    assert ours == pytest.approx(case["value"], rel=CHECKS["flow_through"]["tolerance_fraction"])
    assert ours == pytest.approx(solved(case, case["days"])[0], rel=1e-6)


@pytest.mark.parametrize("use_g", [-40.0, -7.5, -100.0])
def test_a_pond_is_empty_when_the_solver_crosses_nothing(use_g):
    case = {"start": 2.0, "inflow": 6.0, "inflow_m3": 1.0, "volume_m3": 20.0, "source_g": use_g}
    _, crossed_days = solved(case, 60.0)
    ours = exhausted_after_days(pond_of(case), 2.0)
    assert crossed_days is not None
    assert ours == pytest.approx(crossed_days, rel=1e-6)
    assert level_after_mg_per_l(pond_of(case), 2.0, crossed_days * 1.01) == 0.0
    assert level_after_mg_per_l(pond_of(case), 2.0, crossed_days * 0.99) > 0.0


@pytest.mark.parametrize("case", CHECKS["chlorine"]["cases"])
def test_chlorine_settles_where_it_was_reckoned_by_hand(case):
    pond = FlowThrough(volume_l=20_000.0, inflow_l_per_day=1000.0, inflow_mg_per_l=0.5, decay_per_day=case["decay"])
    tolerance = CHECKS["chlorine"]["tolerance_mg_per_l"]
    assert steady_mg_per_l(pond) == pytest.approx(case["steady"], abs=tolerance)


def test_evaporation_concentrates_as_the_flows_say():
    pond = FlowThrough(volume_l=20_000.0, inflow_l_per_day=400.0, inflow_mg_per_l=50.0, evaporation_l_per_day=100.0)
    # Q / (Q - E) = 400 / 300.
    assert steady_mg_per_l(pond) == pytest.approx(50.0 * 400.0 / 300.0, rel=1e-12)


def test_a_weeks_trickle_replaces_what_was_printed():
    pond = FlowThrough(volume_l=20_000.0, inflow_l_per_day=1000.0, inflow_mg_per_l=1.0)
    # 29.53 % by a week at 5 % a day: computed with Python v3.11.7.
    assert level_after_mg_per_l(pond, 0.0, 7.0) == pytest.approx(0.2953, abs=5e-5)


def test_weekly_doses_rise_and_fall_as_the_iterated_map_printed():
    pond = FlowThrough(volume_l=20_000.0, inflow_l_per_day=1000.0, inflow_mg_per_l=50.0)
    level = 50.0
    for _ in range(200):
        peak = level + 300_000.0 / 20_000.0
        level = level_after_mg_per_l(pond, peak, 7.0)
    # 300 g weekly into 20 m³ at 1 m³ a day of 50 g/m³: peak 100.794, trough 85.794, iterated map in Python v3.11.7.
    assert (peak, level) == pytest.approx((100.794, 85.794), abs=5e-4)


def test_conductivity_of_potassium_chloride_is_the_standards():
    check = CHECKS["conductivity"]
    ours = ec25_us_per_cm(check["ec_at_20_us_per_cm"], 20.0)
    assert ours == pytest.approx(check["ec_at_25_us_per_cm"], rel=check["tolerance_fraction"])
    assert pytest.approx(CHECKS["coefficient"]["share_per_kelvin"], rel=0.003) == SHARE_PER_KELVIN


@pytest.mark.parametrize("case", CHECKS["sea_salt"]["cases"])
def test_conductivity_of_thin_sea_water_is_brought_to_25_as_near_as_was_found(case):
    at, at_25 = (1000.0 * float(gsw.C_from_SP(0.5, warmth, 0.0)) for warmth in (case["temperature_c"], 25.0))
    error = ec25_us_per_cm(at, case["temperature_c"]) / at_25 - 1.0
    assert error == pytest.approx(case["error"], abs=CHECKS["sea_salt"]["tolerance"])


def test_phreeqc_blends_alkalinity_and_hardness_as_we_do_and_conductivity_a_little_higher():
    engine = phreeqpython.PhreeqPython()
    mix = {"units": "mmol/kgw", "temp": 15, "pH": 7.6}
    tap = engine.add_solution(mix | {"Ca": 1.2, "Mg": 0.25, "Alkalinity": 2.0, "S(6)": 0.3, "Cl": "0.5 charge"})
    soft = engine.add_solution(mix | {"Na": 0.06, "Alkalinity": 0.05, "Cl": "0.01 charge"})
    ours = blend([water_of(tap, 0.3), water_of(soft, 0.7)])
    theirs = water_of(engine.mix_solutions({tap: 0.3, soft: 0.7}), 1.0)
    tolerance = CHECKS["blend"]["tolerance_fraction"]
    assert ours.kh_dkh == pytest.approx(theirs.kh_dkh, rel=tolerance)
    assert ours.gh_dgh == pytest.approx(theirs.gh_dgh, rel=tolerance)
    low, high = CHECKS["blend"]["ec_low"]
    assert low <= 1.0 - ours.ec25_us_per_cm / theirs.ec25_us_per_cm <= high


def water_of(solution: phreeqpython.Solution, fraction: float) -> Water:
    """A solution of the engine in our units; its alkalinity from its own species."""
    equivalents = {"HCO3-": 1, "CO3-2": 2, "OH-": 1, "H+": -1, "CaHCO3+": 1, "CaCO3": 2, "MgHCO3+": 1, "MgCO3": 2}
    equivalents |= {"NaHCO3": 1, "NaCO3-": 2, "CaOH+": 1, "MgOH+": 1, "HSO4-": -1, "NaOH": 1}
    found = solution.species_molalities
    meq_per_l = 1000.0 * sum(equivalents.get(name, 0) * molality for name, molality in found.items())
    hard_mmol_per_l = solution.total("Ca", "mmol") + solution.total("Mg", "mmol")
    return Water(
        fraction=fraction,
        kh_dkh=meq_per_l / MEQ_PER_L_PER_DKH,
        gh_dgh=2.0 * hard_mmol_per_l / MEQ_PER_L_PER_DKH,
        ec25_us_per_cm=solution.sc,
    )


def test_a_blend_for_a_target_takes_the_printed_share():
    check = CHECKS["share"]
    assert share_for(4.0, 12.0, 0.5) == pytest.approx(check["share"], abs=check["tolerance"])


def test_chloramine_leaves_the_ammonia_its_molar_masses_say():
    check = CHECKS["ammonia"]
    ours = ammonia_freed_mg_n_per_l(1000.0)
    assert ours == pytest.approx(check["mg_n_per_mg_cl2"], rel=check["tolerance_fraction"])
    engine = convert_units("N", 1.0, "mmol", "mg") / convert_units("Cl2", 1.0, "mmol", "mg")
    assert ours == pytest.approx(engine, rel=check["tolerance_fraction"])


def test_contact_and_bed_volumes_are_the_definitions():
    assert contact_min(30.0, 2.0) == CHECKS["contact"]["contact_min"]
    assert bed_volumes(30.0, 2.0, 1.0) == pytest.approx(60.0 * 2.0 / 30.0)


def test_the_membranes_balance_closes():
    check = CHECKS["membrane"]
    permeate, concentrate = permeate_level(450.0, 0.95), concentrate_level(450.0, 0.95, 0.33)
    assert permeate == pytest.approx(check["permeate"], rel=1e-9)
    assert 0.33 * permeate + 0.67 * concentrate == pytest.approx(check["feed"], rel=1e-12)
