"""Losses of open water against printed and other forms. Sources and tolerances stand in surface.json."""

import json
from pathlib import Path

import psychrolib
import pytest

from evenwater.domain.errors import OutOfRange
from evenwater.domain.warmth.heat import surface
from evenwater.domain.warmth.heat.air import dew_point_c, saturation_kpa, vapour_kpa

CHECKS = json.loads(Path(__file__).with_name("surface.json").read_text(encoding="utf-8"))
MPH_M_PER_S, FT2_M2, BTU_J, IN_HG_KPA = 0.44704, 0.09290304, 1055.056, 3.386389


def ashrae_w_per_m2(water_c: float, air_kpa: float, wind_m_per_s: float) -> float:
    return 1000 * (0.0890 + 0.0782 * wind_m_per_s) * (saturation_kpa(water_c) - air_kpa)


def test_a_clear_cold_night_costs_what_the_equations_give_by_hand():
    night, air_kpa = CHECKS["night"], vapour_kpa(5, 0.8)
    clear = surface.sky_emissivity(dew_point_c(5, 0.8), 0)
    ours = {
        "evaporation_w_per_m2": surface.evaporation_w_per_m2(20, air_kpa, 1),
        "convection_w_per_m2": surface.convection_w_per_m2(20, 5, 1),
        "longwave_w_per_m2": surface.longwave_w_per_m2(20, 5, clear),
        "ashrae_evaporation_w_per_m2": ashrae_w_per_m2(20, air_kpa, 1),
    }
    assert ours == pytest.approx({name: night[name] for name in ours}, abs=night["tolerance_w_per_m2"])


def test_evaporation_stands_to_ashraes_as_it_was_measured():
    known, air_kpa = CHECKS["ashrae"], vapour_kpa(15, 0.5)
    for wind, printed, tolerance in (
        (0.0, known["calm"], known["calm_tolerance"]),
        (5 * MPH_M_PER_S, known["five_mph"], known["five_mph_tolerance"]),
    ):
        ratio = surface.evaporation_w_per_m2(25, air_kpa, wind) / ashrae_w_per_m2(25, air_kpa, wind)
        assert ratio == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize("wind_mph", CHECKS["imperial"]["winds_mph"])
def test_evaporation_is_that_of_the_equation_in_other_units(wind_mph):
    water_kpa, air_kpa = psychrolib_kpa(25), 0.5 * psychrolib_kpa(15)
    btu = (69.4 + 30.8 * wind_mph) * (water_kpa - air_kpa) / IN_HG_KPA
    theirs = btu * BTU_J / 3600 / FT2_M2
    ours = surface.evaporation_w_per_m2(25, vapour_kpa(15, 0.5), wind_mph * MPH_M_PER_S)
    assert ours == pytest.approx(theirs, rel=CHECKS["imperial"]["tolerance"])


def psychrolib_kpa(temperature_c: float) -> float:
    psychrolib.SetUnitSystem(psychrolib.SI)
    return psychrolib.GetSatVapPres(temperature_c) / 1000


def test_an_assumed_night_at_fort_collins_shows_where_we_differ_from_the_two_measured():
    known, air_kpa = CHECKS["two_nights"], vapour_kpa(12, 0.6)
    evaporation = surface.evaporation_w_per_m2(28, air_kpa, 0.5)
    convection = surface.convection_w_per_m2(28, 12, 0.5, 85)
    radiation = surface.longwave_w_per_m2(28, 12, surface.sky_emissivity(dew_point_c(12, 0.6), 0))
    whole = evaporation + convection + radiation
    assert evaporation / whole == pytest.approx(known["evaporation"], abs=known["evaporation_tolerance"])
    assert (radiation / whole > known["radiation_below"]) == (convection / whole < known["convection_above"])


@pytest.mark.parametrize(("air_c", "humidity"), CHECKS["sky"]["cases"])
def test_a_clear_sky_is_brutsaerts(air_c, humidity):
    theirs = 1.24 * (10 * vapour_kpa(air_c, humidity) / (air_c + 273.15)) ** (1 / 7)
    ours = surface.sky_emissivity(dew_point_c(air_c, humidity), 0)
    assert ours == pytest.approx(theirs, abs=CHECKS["sky"]["tolerance"])


@pytest.mark.parametrize(("dew_c", "printed"), CHECKS["sky_by_hand"]["cases"])
def test_a_clear_sky_is_the_equation_by_hand(dew_c, printed):
    assert surface.sky_emissivity(dew_c, 0) == pytest.approx(printed, abs=CHECKS["sky_by_hand"]["tolerance"])


def test_a_clouded_sky_radiates_nearly_as_the_air_and_midnight_more_than_noon():
    assert 0.95 < surface.sky_emissivity(5, 1) < 1
    day_and_night = [surface.sky_emissivity(5, 0, hour) - surface.sky_emissivity(5, 0) for hour in (0, 6, 12, 24)]
    # Berdahl & Martin: 0.013 cos(2 π h / 24).
    assert day_and_night == pytest.approx([0.013, 0, -0.013, 0.013], abs=1e-12)


def test_warm_moist_air_gives_heat_to_cold_water():
    assert surface.evaporation_w_per_m2(8, vapour_kpa(25, 0.9), 1) < 0
    assert surface.convection_w_per_m2(8, 25, 1) < 0


@pytest.mark.parametrize(
    ("quantity", "wrong"),
    [
        ("water_c", lambda: surface.evaporation_w_per_m2(46, 1, 1)),
        ("air_vapour_kpa", lambda: surface.evaporation_w_per_m2(20, 1000, 1)),
        ("wind_m_per_s", lambda: surface.evaporation_w_per_m2(20, 1, 1048)),
        ("air_c", lambda: surface.convection_w_per_m2(20, 293, 1)),
        ("pressure_kpa", lambda: surface.convection_w_per_m2(20, 5, 1, 1013)),
        ("cloud_fraction", lambda: surface.sky_emissivity(5, 8)),
        ("solar_hour", lambda: surface.sky_emissivity(5, 0, 25)),
        ("emissivity", lambda: surface.longwave_w_per_m2(20, 5, 1.1)),
    ],
)
def test_what_lies_outside_a_range_is_refused_by_name(quantity, wrong):
    with pytest.raises(OutOfRange) as refused:
        wrong()
    assert refused.value.where == quantity
