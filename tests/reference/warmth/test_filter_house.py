"""Condensation against printed values and a solver. Sources and tolerances stand in condensation.json."""

import json
from pathlib import Path

import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI
from scipy.optimize import brentq

from evenwater.domain.kit import FilterHouse
from evenwater.domain.warmth.filter_house import HouseNow, house_answer
from evenwater.domain.warmth.heat.air import dew_point_c, latent_heat_kj_per_kg, saturation_kpa, vapour_kpa
from evenwater.domain.warmth.heat.condensation import condenses, surface_c, surface_share

CHECKS = json.loads(Path(__file__).with_name("condensation.json").read_text(encoding="utf-8"))
HOUSE = FilterHouse(volume_m3=12, ua_w_per_k=25, open_water_m2=2, air_changes_per_h=0.5)


@pytest.mark.parametrize("case", CHECKS["surface"]["cases"])
def test_a_surface_is_as_near_the_inside_air_as_printed(case):
    ours = surface_share(case["u_w_per_m2_k"], case["rsi_m2_k_per_w"])
    assert ours == pytest.approx(case["share"], abs=CHECKS["surface"]["tolerance"])


def test_dew_falls_just_below_the_share_psychrolib_asks_for():
    known = CHECKS["needed_share"]
    vapour = vapour_kpa(known["inside_c"], known["humidity"])
    for share, wet in ((known["share"] - known["tolerance"], True), (known["share"] + known["tolerance"], False)):
        assert condenses(surface_c(known["inside_c"], 0, share), vapour) is wet


@pytest.mark.parametrize("surface", [-1, -5, -10])
def test_frost_comes_to_a_freezing_surface_when_psychrolib_has_it_full_over_ice(surface):
    psychrolib.SetUnitSystem(psychrolib.SI)
    full_kpa = psychrolib.GetSatVapPres(surface) / 1000
    assert condenses(surface, 1.006 * full_kpa)
    assert not condenses(surface, 0.994 * full_kpa)


def air_at(inside_c: float, house: FilterHouse = HOUSE, outside_c: float = 0.0):
    """The house with heat enough beside the water's to stand at a temperature."""
    warm = HouseNow(water_c=15, outside_c=outside_c, outside_humidity_fraction=0.9, inside_c=inside_c)
    return house_answer(house, warm).now


def test_the_vapour_in_the_house_is_the_printed_one():
    known, air = CHECKS["house"], air_at(10)
    assert air.vapour_kpa == pytest.approx(known["vapour_kpa"], abs=known["tolerance_kpa"])
    assert air.humidity_fraction == pytest.approx(known["humidity"], abs=known["tolerance"])
    lidded = FilterHouse(volume_m3=12, ua_w_per_k=25, open_water_m2=2, air_changes_per_h=0.5, lidded_fraction=0.9)
    assert air_at(10, lidded).humidity_fraction == pytest.approx(known["humidity_under_lids"], abs=known["tolerance"])


@pytest.mark.parametrize(("inside_c", "outside_c"), [(10, 0), (14, 5), (6, -8)])
def test_the_vapour_in_the_house_is_where_a_solver_finds_no_more_coming_than_going(inside_c, outside_c):
    per_m2_kpa = 0.0638 + 0.0669 * 0.05  # Smith, Lof & Jones in kW/(m² kPa), as printed in round numbers
    water, outside = saturation_kpa(15), vapour_kpa(outside_c, 0.9)

    def gain_kg_per_s(inside_kpa: float) -> float:
        comes = 2 * per_m2_kpa * (water - inside_kpa) / latent_heat_kj_per_kg(15)
        return comes - 0.5 * 12 / 3600 * (inside_kpa - outside) / (0.4615 * (inside_c + 273.15))

    theirs = brentq(gain_kg_per_s, outside, water)
    assert air_at(inside_c, outside_c=outside_c).vapour_kpa == pytest.approx(theirs, rel=1e-3)


@pytest.mark.parametrize(("ua_w_per_k", "changes_per_h", "volume_m3", "watts"), CHECKS["heater"]["cases"])
def test_holding_a_house_ten_degrees_warmer_takes_the_watts_printed(ua_w_per_k, changes_per_h, volume_m3, watts):
    # Dry, so that the water warms nothing: only walls and air are paid for.
    dry = FilterHouse(volume_m3=volume_m3, ua_w_per_k=ua_w_per_k, air_changes_per_h=changes_per_h, heater_w=watts)
    air = house_answer(dry, HouseNow(water_c=15, outside_c=0, outside_humidity_fraction=0.5)).now
    assert air.inside_c == pytest.approx(10, abs=10 * CHECKS["heater"]["tolerance_w"] / watts)
    assert air.dew_point_c == pytest.approx(dew_point_c(0, 0.5), abs=1e-9)


def test_the_air_changed_carries_nearly_the_heat_coolprop_has():
    known, moist = CHECKS["heat_of_air"], ("T", 293.15, "P", 101_325, "R", 0.5)
    theirs = HAPropsSI("C", *moist) / HAPropsSI("Vda", *moist) / 3600  # per kilogram and cubic metre of dry air
    assert theirs == pytest.approx(known["wh_per_m3_k"], abs=0.0006)
    airy = FilterHouse(volume_m3=1000, ua_w_per_k=0.001, air_changes_per_h=10, heater_w=10_000)
    air = house_answer(airy, HouseNow(water_c=15, outside_c=15, outside_humidity_fraction=0.5)).now
    assert 10_000 / (air.inside_c - 15) / 10_000 == pytest.approx(theirs, rel=known["tolerance"])
