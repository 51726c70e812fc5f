import pytest
from msgspec.structs import replace

from evenwater.domain.errors import Contradiction, Missing
from evenwater.domain.reckon.carbonate_balance import CALCULATOR, reckon

WATER = CALCULATOR.example


def test_ph_gives_the_pressure_and_the_pressure_gives_the_ph_back():
    from_ph, _ = reckon(WATER)
    from_pressure, _ = reckon(replace(WATER, ph=None, pco2_atm=from_ph.pco2_atm))
    assert from_pressure.ph == pytest.approx(WATER.ph, abs=1e-9)
    assert from_pressure.co2_mg_per_l == pytest.approx(from_ph.co2_mg_per_l, rel=1e-9)


def test_ten_times_the_pressure_is_one_ph_less():
    open_air, stuffy = (reckon(replace(WATER, ph=None, pco2_atm=one))[0] for one in (0.0004, 0.004))
    assert open_air.ph - stuffy.ph == pytest.approx(1.0, abs=0.03)
    assert stuffy.co2_mg_per_l == pytest.approx(10.0 * open_air.co2_mg_per_l, rel=1e-9)


def test_both_or_neither_are_refused():
    with pytest.raises(Contradiction) as both:
        reckon(replace(WATER, pco2_atm=0.001))
    with pytest.raises(Missing) as neither:
        reckon(replace(WATER, ph=None))
    assert both.value.where == neither.value.where == "ph"


def test_a_ph_that_carbonate_cannot_hold_is_refused_and_not_answered_below_nothing():
    with pytest.raises(Contradiction) as refused:
        reckon(replace(WATER, kh_dkh=0.1, ph=10.0))
    assert refused.value.where == "ph"


def test_water_without_any_buffer_is_answered_from_the_pressure():
    result, _ = reckon(replace(WATER, kh_dkh=0.0, ph=None, pco2_atm=0.0004))
    # Rain in balance with the air has pH 5.6: textbook value, from memory.
    assert result.ph == pytest.approx(5.6, abs=0.05)
