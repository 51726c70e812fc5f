"""What the flow-through calculator answers at its corners."""

import pytest
from msgspec.structs import replace

from evenwater.domain.errors import Contradiction
from evenwater.domain.reckon.calculator import answer
from evenwater.domain.reckon.flow_through import CALCULATOR

PLAIN = replace(CALCULATOR.example, source_g_per_day=0.0, evaporation_l_per_day=0.0)


def reckoned(**changes):
    return answer(CALCULATOR, replace(PLAIN, **changes))


def test_a_still_pond_has_no_level_to_settle_at():
    result, _ = reckoned(inflow_l_per_day=0.0, source_g_per_day=10.0)
    assert result.steady_mg_per_l is None
    assert result.value_mg_per_l == pytest.approx(90.0 + 14.0 * 10_000.0 / 16_800.0)


def test_dilution_alone_never_uses_all_of_it_up():
    result, _ = reckoned(inflow_mg_per_l=0.0, days=3650.0)
    assert (result.steady_mg_per_l, result.exhausted_after_days) == (0.0, None)
    assert result.value_mg_per_l > 0.0


def test_what_is_used_up_within_the_days_is_warned_of():
    result, workings = reckoned(source_g_per_day=-200.0)
    assert result.value_mg_per_l == 0.0
    assert 0.0 < result.exhausted_after_days < 14.0
    assert workings.warnings
    later, quiet = reckoned(source_g_per_day=-60.0, days=1.0)
    assert later.exhausted_after_days > 1.0
    assert not quiet.warnings


def test_an_empty_pond_that_loses_is_used_up_at_once():
    assert reckoned(start_mg_per_l=0.0, source_g_per_day=-60.0)[0].exhausted_after_days == 0.0


def test_a_pond_that_loses_more_water_than_it_gets_is_refused():
    with pytest.raises(Contradiction) as refused:
        reckoned(evaporation_l_per_day=421.0)
    assert refused.value.where == "evaporation_l_per_day"
