"""What the blend calculator takes and refuses."""

import pytest
from msgspec.structs import replace

from evenwater.domain.errors import Contradiction, OutOfRange
from evenwater.domain.reckon.blend import CALCULATOR, BlendInput
from evenwater.domain.reckon.calculator import answer

EXAMPLE = CALCULATOR.example.waters


def test_the_blend_is_the_weighted_mean():
    result, workings = answer(CALCULATOR, CALCULATOR.example)
    assert result.kh_dkh == pytest.approx(0.3 * 12.0 + 0.7 * 0.5)
    assert workings.inputs[0].name == "waters[0].fraction"


@pytest.mark.parametrize("fraction", [0.2, 0.302, 0.9])
def test_shares_that_do_not_add_up_are_refused_with_their_sum(fraction):
    waters = [replace(EXAMPLE[0], fraction=fraction), EXAMPLE[1]]
    with pytest.raises(Contradiction) as refused:
        answer(CALCULATOR, BlendInput(waters=waters))
    assert refused.value.where == "waters"
    assert f"{fraction + 0.7:.6g}" in refused.value.what


def test_thirds_typed_with_three_digits_are_taken():
    thirds = [replace(EXAMPLE[0], fraction=0.333)] * 3
    assert answer(CALCULATOR, BlendInput(waters=thirds))[0].kh_dkh == pytest.approx(12.0)


def test_no_water_at_all_is_refused():
    with pytest.raises(Contradiction):
        answer(CALCULATOR, BlendInput(waters=[]))


def test_the_water_that_is_wrong_is_named():
    with pytest.raises(OutOfRange) as refused:
        answer(CALCULATOR, BlendInput(waters=[EXAMPLE[0], replace(EXAMPLE[1], kh_dkh=26.0)]))
    assert refused.value.where == "waters[1].kh_dkh"
