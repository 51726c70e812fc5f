"""The heat that water holds against CoolProp. Sources and tolerances stand in stored_heat.json."""

import json
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI

from evenwater.domain.errors import OutOfRange
from evenwater.domain.warmth.heat import stored_heat

CHECKS = json.loads(Path(__file__).with_name("stored_heat.json").read_text(encoding="utf-8"))


def coolprop_j_per_m3_k(temperature_c: float) -> float:
    state = ("T", temperature_c + 273.15, "P", 101_325, "Water")
    return PropsSI("D", *state) * PropsSI("C", *state)


@pytest.mark.parametrize("temperature_c", [0.5, 2, 5, 8, 10, 15, 20, 25, 30, 35, 40])
def test_heat_capacity_is_coolprops(temperature_c):
    theirs = coolprop_j_per_m3_k(temperature_c)
    ours = stored_heat.heat_capacity_j_per_m3_k(temperature_c)
    assert ours == pytest.approx(theirs, rel=CHECKS["capacity"]["tolerance"])
    printed = CHECKS["capacity"]["printed_kwh"].get(str(temperature_c))
    assert printed is None or theirs / 3.6e6 == pytest.approx(printed, abs=6e-6)
    assert stored_heat.capacity_j_per_k(20_000, temperature_c) == pytest.approx(20 * ours)


def test_a_cubic_metre_by_a_degree_is_1_16_kwh():
    # "1 m³ by 1 K = 1.16 kWh": what handbooks round it to.
    assert round(stored_heat.heat_kwh(1000, 15, 16), 2) == 1.16


@pytest.mark.parametrize(("from_c", "to_c"), [(4, 20), (20, 4), (12, 13)])
def test_heat_between_two_temperatures_is_coolprops_in_small_steps(from_c, to_c):
    step = (to_c - from_c) / 200
    theirs = sum(coolprop_j_per_m3_k(from_c + (number + 0.5) * step) * step for number in range(200)) * 20 / 3.6e6
    assert stored_heat.heat_kwh(20_000, from_c, to_c) == pytest.approx(theirs, rel=CHECKS["capacity"]["tolerance"])


@pytest.mark.parametrize(
    ("quantity", "wrong"),
    [
        ("temperature_c", lambda: stored_heat.heat_capacity_j_per_m3_k(-1)),
        ("volume_l", lambda: stored_heat.capacity_j_per_k(0, 20)),
        ("from_c", lambda: stored_heat.heat_kwh(1000, 41, 20)),
        ("to_c", lambda: stored_heat.heat_kwh(1000, 20, float("nan"))),
    ],
)
def test_what_lies_outside_a_range_is_refused_by_name(quantity, wrong):
    with pytest.raises(OutOfRange) as refused:
        wrong()
    assert refused.value.where == quantity
