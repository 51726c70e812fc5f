"""Salt and chloride against PHREEQC, sea water and print. Sources and tolerances stand in salt.json."""

import json
from pathlib import Path

import gsw
import phreeqpython
import pytest

from evenwater.domain.water.nitrite import SHIELD_RATIO, chloride_per_nitrite_n, salt_mg_per_l
from evenwater.domain.water.salt import salt_for_salinity_g, us_per_cm_per_g_per_l, volume_by_salt_l

CHECKS = json.loads(Path(__file__).with_name("salt.json").read_text(encoding="utf-8"))
# Molar masses by name, apart from those under test: IUPAC 2021, as a chemist would look them up.
CL, N, NACL = 35.45, 14.007, 58.44


@pytest.fixture(scope="module")
def engine() -> phreeqpython.PhreeqPython:
    return phreeqpython.PhreeqPython()


def rise(engine: phreeqpython.PhreeqPython, water: dict, salt_g_per_l: float) -> float:
    """Rise of conductivity at 25 °C [µS/cm] that salt brings in that water."""
    solution = engine.add_solution({"units": "mmol/kgw", "temp": 25, "pH": 7.8} | water)
    before = solution.sc
    solution.add("NaCl", salt_g_per_l / NACL * 1000.0)
    return solution.sc - before


def test_the_volume_is_the_one_the_salt_went_into():
    check = CHECKS["volume"]
    volume_l, sd_l = volume_by_salt_l(check["salt_g"], 1.0, check["before"], check["after"])
    assert volume_l == pytest.approx(check["volume_l"], rel=check["tolerance_fraction"])
    assert abs(volume_l - check["volume_l"]) < sd_l < 0.05 * volume_l


@pytest.mark.parametrize("salt_g_per_l", CHECKS["waters"]["salt_g_per_l"])
def test_a_gram_of_salt_brings_the_conductivity_phreeqc_gives_it(engine, salt_g_per_l):
    checks = CHECKS["waters"]
    found = rise(engine, checks["medium"], salt_g_per_l)
    assert us_per_cm_per_g_per_l(found) * salt_g_per_l == pytest.approx(found, rel=checks["medium_tolerance_fraction"])


@pytest.mark.parametrize("water", CHECKS["waters"]["others"])
@pytest.mark.parametrize("salt_g_per_l", CHECKS["waters"]["salt_g_per_l"])
def test_the_volume_found_in_another_water_is_within_two_standard_deviations(engine, water, salt_g_per_l):
    found = rise(engine, water, salt_g_per_l)
    volume_l, sd_l = volume_by_salt_l(1000.0 * salt_g_per_l, 1.0, 0.0, found)
    assert volume_l == pytest.approx(1000.0, rel=CHECKS["waters"]["tolerance_fraction"])
    assert abs(volume_l - 1000.0) < 2.0 * sd_l


@pytest.mark.parametrize("salt_g_per_l", CHECKS["sea_water"]["salt_g_per_l"])
def test_a_gram_of_salt_brings_nearly_what_sea_salt_does(salt_g_per_l):
    found = 1000.0 * float(gsw.C_from_SP(salt_g_per_l, 25.0, 0.0))
    ours = us_per_cm_per_g_per_l(found) * salt_g_per_l
    assert ours == pytest.approx(found, rel=CHECKS["sea_water"]["tolerance_fraction"])


@pytest.mark.parametrize("case", CHECKS["measured"]["cases"])
def test_a_gram_of_salt_brings_nearly_what_was_measured_in_pure_water(case):
    found = 1000.0 * case["mol_per_l"] * case["s_cm2_per_mol"]
    ours = us_per_cm_per_g_per_l(min(found, 10_000.0)) * case["mol_per_l"] * NACL
    assert ours == pytest.approx(found, rel=CHECKS["measured"]["tolerance_fraction"])


def test_salt_for_a_salinity_is_volume_times_what_is_missing():
    kilograms = salt_for_salinity_g(20_000.0, 0.0, 3.0, 1.0) / 1000.0
    assert kilograms == pytest.approx(CHECKS["amounts"]["salt_kg_for_20_m3_to_3_g_per_l"])


@pytest.mark.parametrize("number", [0, 1])
def test_the_ratios_of_the_carp_that_died_and_lived_are_by_weight(number):
    check = CHECKS["nitrite"]
    chloride, nitrite = check["chloride_mmol_per_l"][number], check["nitrite_mmol_per_l"]
    assert chloride / nitrite == pytest.approx(check["molar_ratios"][number], abs=0.005)
    ours = chloride_per_nitrite_n(nitrite * N, chloride * CL)
    assert ours == pytest.approx(check["weight_ratios"][number], abs=0.005)
    assert ours is not None and ours < SHIELD_RATIO


def test_salt_for_a_milligram_of_nitrite_nitrogen_brings_ten_of_chloride():
    check = CHECKS["nitrite"]
    salt = salt_mg_per_l(1.0, 0.0, SHIELD_RATIO)
    assert salt == pytest.approx(check["salt_mg_per_l_for_1_mg_n"], abs=0.05)
    assert salt * CL / NACL == pytest.approx(10.0, rel=1e-9)
