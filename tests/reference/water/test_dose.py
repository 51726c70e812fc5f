"""The bicarbonate dose against printed factors and against PHREEQC. Sources and tolerances stand in dose.json."""

import json
from pathlib import Path

import phreeqpython
import pytest
from phreeqpython.utility import convert_units

from evenwater.domain import units
from evenwater.domain.water.buffer import bicarbonate_dose_g, rise_dkh

CHECKS = json.loads(Path(__file__).with_name("dose.json").read_text(encoding="utf-8"))
FORMULAS = {"sodium_bicarbonate": "NaHCO3", "potassium_bicarbonate": "KHCO3"}
# Equivalents of alkalinity per mole of species; what is not named here has none in these waters.
EQUIVALENTS = {"HCO3-": 1, "CO3-2": 2, "OH-": 1, "H+": -1, "NaOH": 1, "CaOH+": 1, "MgOH+": 1} | {
    "NaHCO3": 1,
    "NaCO3-": 2,
    "CaHCO3+": 1,
    "CaCO3": 2,
    "MgHCO3+": 1,
    "MgCO3": 2,
}
NO_EQUIVALENTS = {"H2O", "H2", "O2", "CO2", "CH4", "Na+", "K+", "Ca+2", "Mg+2", "Cl-"}


@pytest.fixture(scope="module")
def engine() -> phreeqpython.PhreeqPython:
    return phreeqpython.PhreeqPython()


def alkalinity_meq_per_l(solution: phreeqpython.Solution) -> float:
    found = solution.species_molalities
    assert set(found) <= set(EQUIVALENTS) | NO_EQUIVALENTS
    return 1000.0 * sum(EQUIVALENTS.get(name, 0) * molality for name, molality in found.items())


def test_the_degree_of_hardness_is_the_one_in_print():
    ours = {
        "meq_per_l_per_dkh": units.MEQ_PER_L_PER_DKH,
        "mg_caco3_per_l_per_dkh": units.MG_CACO3_PER_L_PER_DKH,
        "dkh_per_meq_per_l": 1.0 / units.MEQ_PER_L_PER_DKH,
        "mg_caco3_per_meq": units.MG_CACO3_PER_MEQ,
    }
    for case in CHECKS["degree"]["cases"]:
        assert ours[case["name"]] == pytest.approx(case["printed"], rel=CHECKS["degree"]["tolerance_fraction"]), case


@pytest.mark.parametrize("case", CHECKS["rise"]["cases"])
def test_a_dose_lifts_alkalinity_as_phreeqc_once_printed(case):
    rise = rise_dkh(1000.0, case["dose_g_per_m3"], case["substance"], 1.0) * units.MEQ_PER_L_PER_DKH
    assert rise == pytest.approx(case["rise_meq_per_l"], rel=CHECKS["rise"]["tolerance_fraction"])


@pytest.mark.parametrize("case", CHECKS["live"]["cases"])
def test_our_dose_lifts_tap_water_in_phreeqc_by_what_was_asked(engine, case):
    tap = {"units": "mmol/kgw", "temp": 15, "pH": 7.4, "Ca": 0.9, "Mg": 0.2, "Alkalinity": 1.5, "Cl": "1.0 charge"}
    water = engine.add_solution(tap)
    before = alkalinity_meq_per_l(water)
    dose_g = bicarbonate_dose_g(case["volume_l"], case["rise_dkh"], case["substance"], case["purity_fraction"])
    pure_mg_per_l = dose_g * case["purity_fraction"] * 1000.0 / case["volume_l"]
    water.add(FORMULAS[case["substance"]], pure_mg_per_l, "mg")
    # 10 mg of lime per litre is one degree; the mass of lime is the engine's, not ours.
    asked_meq_per_l = case["rise_dkh"] * 2.0 * convert_units("CaO", 10.0, "mg", "mmol")
    risen = alkalinity_meq_per_l(water) - before
    assert risen == pytest.approx(asked_meq_per_l, rel=CHECKS["live"]["tolerance_fraction"])


def test_twenty_cubic_metres_by_two_degrees_take_what_the_printed_factors_say():
    check = CHECKS["by_hand"]
    ours = bicarbonate_dose_g(20_000.0, 2.0, "sodium_bicarbonate", 0.99)
    assert ours == pytest.approx(check["dose_g"], abs=check["tolerance_g"])


def test_molar_masses_are_sums_of_the_standard_atomic_weights():
    ours = {
        "CaO": units.MOLAR_MASS_CAO,
        "CaCO3": units.MOLAR_MASS_CACO3,
        "NaHCO3": units.MOLAR_MASS_NAHCO3,
        "KHCO3": units.MOLAR_MASS_KHCO3,
        "N": units.MOLAR_MASS_N,
        "NH3": units.MOLAR_MASS_NH3,
    }
    for formula, mass in ours.items():
        expected = convert_units(formula, 1.0, "mmol", "mg")
        assert mass == pytest.approx(expected, rel=CHECKS["molar_masses"]["tolerance_fraction"]), formula
