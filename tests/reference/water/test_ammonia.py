"""The toxic share of ammonia against printed tables and PHREEQC. Sources and tolerances stand in ammonia.json."""

import json
import math
from pathlib import Path

import phreeqpython
import pytest

from evenwater.domain.water.ammonia import equal_parts_ph, log10_activity, unionised_fraction

CHECKS = json.loads(Path(__file__).with_name("ammonia.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def engine() -> phreeqpython.PhreeqPython:
    return phreeqpython.PhreeqPython()


def share_in(solution: phreeqpython.Solution) -> float:
    nh3, total = solution.molality("Amm"), solution.total_element("Amm")
    assert total == pytest.approx(0.01, rel=1e-3)
    return nh3 / total


@pytest.mark.parametrize("case", CHECKS["table"]["cases"])
def test_the_share_is_that_of_the_published_table(case):
    ours = unionised_fraction(case["temperature_c"], case["ph"])
    assert ours == pytest.approx(case["fraction"], abs=CHECKS["table"]["tolerance"])


@pytest.mark.parametrize("case", CHECKS["independent"]["cases"])
def test_the_share_is_near_an_independent_table(case):
    ours = unionised_fraction(case["temperature_c"], case["ph"])
    assert ours == pytest.approx(case["fraction"], rel=CHECKS["independent"]["tolerance_fraction"])


@pytest.mark.parametrize("temperature_c", CHECKS["salts"]["temperatures_c"])
@pytest.mark.parametrize("strength", CHECKS["salts"]["ionic_strengths_mol_per_l"])
def test_salts_lower_the_share_as_phreeqc_has_it(engine, temperature_c, strength):
    salt = {"units": "mmol/kgw", "temp": temperature_c, "pH": 8.0, "Amm": 0.01}
    water = engine.add_solution(salt | {"Na": strength * 1000.0, "Cl": f"{strength * 1000.0} charge"})
    pka = equal_parts_ph(temperature_c) - log10_activity(temperature_c, strength)
    ours = 1.0 / (1.0 + 10.0 ** (pka - 8.0))
    assert ours == pytest.approx(share_in(water), rel=CHECKS["salts"]["tolerance_fraction"])


@pytest.mark.parametrize("temperature_c", CHECKS["activity"]["temperatures_c"])
@pytest.mark.parametrize("sodium", CHECKS["activity"]["sodium_mmol_per_l"])
def test_the_activity_of_an_ion_is_that_of_davies_in_phreeqc(engine, temperature_c, sodium):
    salt = {"units": "mmol/kgw", "temp": temperature_c, "pH": 8.0, "Na": sodium, "S(6)": 0.1}
    water = engine.add_solution(salt | {"Cl": f"{sodium} charge"})
    theirs = math.log10(water.activity("HSO4-") / water.molality("HSO4-"))
    ours = log10_activity(temperature_c, water.I)
    assert ours == pytest.approx(theirs, rel=CHECKS["activity"]["tolerance_fraction"])


@pytest.mark.parametrize("case", CHECKS["tap_water"]["cases"])
@pytest.mark.parametrize("temperature_c", [8, 20, 27])
def test_a_conductivity_brings_the_share_near_phreeqc_in_tap_water(engine, case, temperature_c):
    made = {"units": "mmol/kgw", "temp": temperature_c, "pH": 7.8, "Amm": 0.01} | case["water"]
    water = engine.add_solution(made)
    at_25 = engine.add_solution(made | {"temp": 25})
    ours = unionised_fraction(temperature_c, 7.8, at_25.sc)
    assert ours == pytest.approx(share_in(water), rel=CHECKS["tap_water"]["tolerance_fraction"])
    assert abs(ours - share_in(water)) < abs(unionised_fraction(temperature_c, 7.8) - share_in(water))
