import pytest
from msgspec.structs import replace

from evenwater.domain.errors import Contradiction, Missing
from evenwater.domain.reckon.oxygen_saturation import CALCULATOR, reckon

HERE = CALCULATOR.example


def test_height_and_the_mean_pressure_there_give_the_same():
    by_height = reckon(replace(HERE, altitude_m=500.0))[0]
    by_pressure = reckon(replace(HERE, altitude_m=None, pressure_hpa=954.608))[0]
    assert round(by_height.oxygen_mg_per_l, 3) == round(by_pressure.oxygen_mg_per_l, 3) == 8.554


def test_height_and_pressure_together_are_refused():
    with pytest.raises(Contradiction) as refused:
        reckon(replace(HERE, altitude_m=0.0, pressure_hpa=1000.0))
    assert refused.value.where == "pressure_hpa"


def test_neither_height_nor_pressure_is_refused_instead_of_taking_the_sea():
    with pytest.raises(Missing) as refused:
        reckon(replace(HERE, altitude_m=None))
    assert refused.value.right == "one of the two; 0 m at the sea"


def test_the_workings_show_the_pressure_used():
    assert reckon(HERE)[1].steps[1].value == "998.9 hPa"
    given = reckon(replace(HERE, altitude_m=None, pressure_hpa=990.0))[1]
    assert given.steps[1].text == "air pressure, as given"
    assert given.steps[1].value == "990.0 hPa"
