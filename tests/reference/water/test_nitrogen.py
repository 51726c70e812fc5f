"""What nitrifying takes, against PHREEQC and print. Sources and tolerances stand in nitrogen.json."""

import json
from pathlib import Path

import pytest

from evenwater.domain.reckon.nitrification_demand import NitrificationDemandInput, reckon
from evenwater.domain.units import MEQ_PER_L_PER_DKH, MOLAR_MASS_N
from evenwater.domain.water.nitrification import alkalinity_dkh, alkalinity_g_caco3, bicarbonate_g, oxygen_g
from evenwater.domain.water.nitrification import tan_g_n_per_day as tan

CHECKS = json.loads(Path(__file__).with_name("nitrogen.json").read_text(encoding="utf-8"))


def test_alkalinity_falls_by_as_much_as_in_phreeqc():
    check = CHECKS["alkalinity"]
    nitrogen_g = check["nitrogen_mmol_per_l"] * MOLAR_MASS_N / 1000.0 * 1000.0
    fall_meq_per_l = alkalinity_dkh(nitrogen_g, 1000.0) * MEQ_PER_L_PER_DKH
    assert fall_meq_per_l == pytest.approx(check["alkalinity_meq_per_l"], rel=check["tolerance_fraction"])


def test_alkalinity_and_oxygen_for_each_gram_are_those_of_the_textbook():
    check = CHECKS["textbook"]
    assert alkalinity_g_caco3(1.0) == pytest.approx(check["caco3"], rel=check["tolerance_fraction"])
    assert oxygen_g(1.0) == pytest.approx(check["oxygen"], rel=check["tolerance_fraction"])


def test_alkalinity_for_each_gram_lies_within_what_was_measured():
    assert CHECKS["measured"]["low"] < alkalinity_g_caco3(1.0) < CHECKS["measured"]["high"]


def test_food_gives_off_the_ammonia_of_the_textbook():
    check = CHECKS["food"]
    ours = tan(check["feed_g"], check["protein_fraction"])
    assert ours == pytest.approx(check["tan_g"], rel=check["tolerance_fraction"])


def test_bicarbonate_makes_up_for_the_alkalinity_used():
    # JECFA's monograph gives sodium bicarbonate 84.01 g/mol; 50.04 g of calcium carbonate are one equivalent.
    assert bicarbonate_g(10.0) / 84.01 == pytest.approx(alkalinity_g_caco3(10.0) / 50.04, rel=0.0005)


def test_a_kilogram_of_food_takes_what_the_design_reckoned():
    result, _ = reckon(NitrificationDemandInput(feed_g_per_day=1000.0, protein_fraction=0.4))
    # Computed with Python apart from this: 36.8 g of nitrogen.
    assert result.alkalinity_g_caco3_per_day == pytest.approx(263.0, abs=0.5)
    assert result.bicarbonate_g_per_day == pytest.approx(441.0, abs=0.5)
    assert result.oxygen_g_per_day == pytest.approx(168.0, abs=0.5)
