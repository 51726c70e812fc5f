"""pH, carbon dioxide and calcite against PHREEQC and PyCO2SYS. Sources and tolerances stand in carbonate.json."""

import itertools
import json
import math
from pathlib import Path

import numpy as np
import phreeqpython
import PyCO2SYS
import pytest

from evenwater.domain.units import MEQ_PER_L_PER_DKH, MOLAR_MASS_CA
from evenwater.domain.water.carbonate import calcite_saturation_index, co2_mg_per_l, pco2_atm, ph_of

CHECKS = json.loads(Path(__file__).with_name("carbonate.json").read_text(encoding="utf-8"))
GRID = list(itertools.product(*(CHECKS["grid"][name] for name in ("kh_dkh", "temperatures_c", "log_pco2"))))


@pytest.fixture(scope="module")
def engine() -> phreeqpython.PhreeqPython:
    return phreeqpython.PhreeqPython(database="phreeqc.dat")


@pytest.mark.parametrize("case", CHECKS["balance"]["cases"])
def test_ph_and_carbon_dioxide_are_those_of_phreeqc(case):
    ours = ph_of(case["kh_dkh"], case["temperature_c"], 10.0 ** case["log_pco2"])
    assert ours == pytest.approx(case["ph"], abs=CHECKS["balance"]["tolerance_ph"])
    co2 = co2_mg_per_l(case["kh_dkh"], case["temperature_c"], case["ph"])
    assert co2 == pytest.approx(case["co2_mg_per_l"], rel=CHECKS["balance"]["tolerance_co2_fraction"])


@pytest.mark.parametrize(("kh_dkh", "temperature_c", "log_pco2"), GRID)
def test_ph_follows_phreeqc_over_all_ponds(engine, kh_dkh, temperature_c, log_pco2):
    alkalinity = kh_dkh * MEQ_PER_L_PER_DKH
    made = {"units": "mmol/kgw", "temp": temperature_c, "pH": 7.0, "Na": alkalinity, "Alkalinity": alkalinity}
    water = engine.add_solution(made)
    water.equalize(["CO2(g)"], [log_pco2])
    ours = ph_of(kh_dkh, temperature_c, 10.0**log_pco2)
    assert ours == pytest.approx(water.pH, abs=CHECKS["grid"]["tolerance_ph"])


def test_ph_is_near_that_of_other_measurements():
    # All at once: each call takes half a second however many waters are in it.
    kh_dkh, temperatures_c, log_pco2 = np.array(GRID).T
    theirs = PyCO2SYS.sys(
        par1=1000.0 * kh_dkh * MEQ_PER_L_PER_DKH,
        par1_type=1,
        par2=1e6 * 10.0**log_pco2,
        par2_type=4,
        temperature=temperatures_c,
        salinity=0,
        opt_k_carbonic=8,
    )["pH"]
    gaps = theirs - [ph_of(kh, warmth, 10.0**log) for kh, warmth, log in GRID]
    assert gaps.shape == (len(GRID),)
    assert gaps.min() > 0.0 and gaps.max() < CHECKS["independent"]["tolerance_ph"]


@pytest.mark.parametrize(("kh_dkh", "temperature_c", "log_pco2"), GRID)
def test_the_pressure_is_the_one_the_ph_came_from(kh_dkh, temperature_c, log_pco2):
    ph = ph_of(kh_dkh, temperature_c, 10.0**log_pco2, 400.0)
    assert math.log10(pco2_atm(kh_dkh, temperature_c, ph, 400.0)) == pytest.approx(log_pco2, abs=1e-9)


def test_ph_of_tap_water_is_near_that_of_phreeqc():
    case = CHECKS["tap_water"]
    # 1.4e-5 mol/L for each µS/cm; the water's own ions come to 0.00465 mol/L.
    kh_dkh = case["alkalinity_meq_per_l"] / MEQ_PER_L_PER_DKH
    ours = ph_of(kh_dkh, case["temperature_c"], 10.0 ** case["log_pco2"], 0.00465 / 1.4e-5)
    assert ours == pytest.approx(case["ph"], abs=case["tolerance_ph"])


@pytest.mark.parametrize("case", CHECKS["chart"]["cases"])
def test_the_chart_of_ph_and_kh_has_its_true_constant(case):
    ours = co2_mg_per_l(4.0, case["temperature_c"], 7.5) / 4.0 * 10.0**0.5
    assert ours == pytest.approx(case["c"], rel=CHECKS["chart"]["tolerance_fraction"])


@pytest.mark.parametrize("case", CHECKS["calcite"]["cases"])
def test_calcite_is_saturated_a_little_less_far_in_phreeqc(case):
    checks = CHECKS["calcite"]
    ph = ph_of(case["kh_dkh"], checks["temperature_c"], 10.0 ** checks["log_pco2"])
    calcium = case["calcium_mmol_per_l"] * MOLAR_MASS_CA
    ours = calcite_saturation_index(case["kh_dkh"], calcium, checks["temperature_c"], ph)
    assert 0.0 < ours - case["index"] < checks["tolerance"]


def test_calcium_weighs_what_its_oxide_does_without_the_oxygen():
    # periodictable 2.1: CaO 56.077 g/mol; oxygen 15.999. A calcite index moves too little to tell.
    assert pytest.approx(56.077 - 15.999, rel=1e-6) == MOLAR_MASS_CA


@pytest.mark.parametrize("temperature_c", [5, 25])
def test_carbon_dioxide_in_weak_alkaline_water_is_that_of_phreeqc(engine, temperature_c):
    # A tenth to a quarter of this alkalinity is OH⁻: here the constant of water itself shows.
    alkalinity = 0.5 * MEQ_PER_L_PER_DKH
    made = {"units": "mmol/kgw", "temp": temperature_c, "pH": 9.0, "Na": alkalinity, "Alkalinity": alkalinity}
    water = engine.add_solution(made)
    water.equalize(["CO2(g)"], [-6.0])
    # Molality is in mmol/kg; 44.01 g/mol, periodictable 2.1.
    theirs = 44.01 * water.molality("CO2")
    assert co2_mg_per_l(0.5, temperature_c, water.pH) == pytest.approx(theirs, rel=0.01)
