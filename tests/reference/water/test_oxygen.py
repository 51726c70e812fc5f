"""Oxygen at saturation against printed tables and TEOS-10. Sources and tolerances stand in oxygen.json."""

import json
import math
from pathlib import Path

import gsw
import pytest

from evenwater.domain.units import HPA_PER_ATM
from evenwater.domain.water.oxygen import saturation_mg_per_l, standard_pressure_hpa

CHECKS = json.loads(Path(__file__).with_name("oxygen.json").read_text(encoding="utf-8"))
HPA_PER_MM_HG = HPA_PER_ATM / 760.0


def gsw_mg_per_l(temperature_c: float, salinity_g_per_kg: float) -> tuple[float, float]:
    """Oxygen and salt in a litre of this water, as TEOS-10 has them [mg/L, g/L]."""
    absolute = gsw.SR_from_SP(salinity_g_per_kg)
    kg_per_l = gsw.rho(absolute, gsw.CT_from_t(absolute, temperature_c, 0.0), 0.0) / 1000.0
    oxygen = gsw.O2sol_SP_pt(salinity_g_per_kg, temperature_c) * 31.9988e-3 * kg_per_l
    return float(oxygen), float(salinity_g_per_kg * kg_per_l)


@pytest.mark.parametrize("case", CHECKS["table"]["cases"])
def test_saturation_is_that_of_the_published_table(case):
    digits = len(case["printed"].partition(".")[2])
    ours = saturation_mg_per_l(case["temperature_c"], 0.0, HPA_PER_ATM)
    slack = 0.5 * 10.0**-digits + CHECKS["table"]["slack_mg_per_l"]
    assert ours == pytest.approx(float(case["printed"]), abs=slack)


@pytest.mark.parametrize("temperature_c", CHECKS["gsw"]["temperatures_c"])
def test_saturation_in_fresh_water_is_that_of_teos_10(temperature_c):
    expected, _ = gsw_mg_per_l(temperature_c, 0.0)
    ours = saturation_mg_per_l(temperature_c, 0.0, HPA_PER_ATM)
    assert ours == pytest.approx(expected, abs=CHECKS["fresh"]["tolerance_mg_per_l"])


@pytest.mark.parametrize("temperature_c", CHECKS["gsw"]["temperatures_c"])
@pytest.mark.parametrize("salinity_g_per_kg", CHECKS["gsw"]["salinities_g_per_kg"])
def test_saturation_in_salted_water_is_that_of_teos_10(temperature_c, salinity_g_per_kg):
    expected, salinity_g_per_l = gsw_mg_per_l(temperature_c, salinity_g_per_kg)
    ours = saturation_mg_per_l(temperature_c, salinity_g_per_l, HPA_PER_ATM)
    assert ours == pytest.approx(expected, abs=CHECKS["gsw"]["tolerance_mg_per_l"])


@pytest.mark.parametrize("case", CHECKS["height"]["cases"])
def test_pressure_falls_with_height_as_in_the_standard_atmosphere(case):
    ours = standard_pressure_hpa(case["altitude_m"])
    assert ours == pytest.approx(case["pressure_hpa"], abs=CHECKS["height"]["tolerance_hpa"])


@pytest.mark.parametrize("pressure_hpa", CHECKS["pressure"]["pressures_hpa"])
@pytest.mark.parametrize("case", CHECKS["pressure"]["cases"])
def test_saturation_goes_with_the_pressure_of_the_dry_air(pressure_hpa, case):
    at_sea, here = (saturation_mg_per_l(case["temperature_c"], 0.0, hpa) for hpa in (HPA_PER_ATM, pressure_hpa))
    dry = (pressure_hpa - case["vapour_hpa"]) / (HPA_PER_ATM - case["vapour_hpa"])
    rt_hpa_cm3_per_mol = 83_144.62618 * (case["temperature_c"] + 273.15)
    real_gas = math.exp(case["virial_cm3_per_mol"] / rt_hpa_cm3_per_mol * (pressure_hpa - HPA_PER_ATM))
    assert here / at_sea == pytest.approx(dry * real_gas, rel=CHECKS["pressure"]["tolerance_fraction"])


@pytest.mark.parametrize(("temperature_c", "row"), CHECKS["meters_table"]["rows"].items())
def test_saturation_under_other_pressures_is_near_a_meter_makers_table(temperature_c, row):
    for mm_hg, printed in zip(CHECKS["meters_table"]["pressures_mm_hg"], row, strict=True):
        ours = saturation_mg_per_l(float(temperature_c), 0.0, mm_hg * HPA_PER_MM_HG)
        assert ours == pytest.approx(printed, abs=CHECKS["meters_table"]["tolerance_mg_per_l"]), mm_hg
