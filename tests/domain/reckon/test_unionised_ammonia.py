from msgspec.structs import replace

from evenwater.domain.reckon.unionised_ammonia import CALCULATOR, reckon

WATER = CALCULATOR.example


def test_the_share_makes_nitrogen_and_ammonia_of_the_total():
    result, _ = reckon(replace(WATER, tan_mg_n_per_l=1.0))
    assert round(result.nh3_fraction, 5) == 0.03807
    assert result.nh3_n_mg_per_l == result.nh3_fraction
    # 0.025 mg/L NH3 is 0.0206 mg/L NH3-N: plain arithmetic on 17.031 and 14.007 g/mol.
    assert round(0.025 * result.nh3_n_mg_per_l / result.nh3_mg_per_l, 4) == 0.0206


def test_a_conductivity_lowers_the_share_and_stands_in_the_workings():
    plain, _ = reckon(WATER)
    salted, workings = reckon(replace(WATER, ec25_us_per_cm=500.0))
    assert 0.9 < salted.nh3_fraction / plain.nh3_fraction < 0.95
    assert "ionic strength of 0.0070 mol/L" in workings.steps[0].text
    assert workings.inputs[-1].name == "ec25_us_per_cm"


def test_without_a_conductivity_the_workings_say_so():
    assert "no conductivity was given" in reckon(WATER)[1].steps[0].text
