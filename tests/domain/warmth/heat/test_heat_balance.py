"""The hourly balance against an exact integrator on real weather, and what it must never do."""

from datetime import UTC, datetime

import numpy as np
import pytest
from real_weather import year
from scipy.integrate import solve_ivp

from evenwater.domain.warmth.heat.air import air_pump_loss_w, dew_point_c, vapour_kpa
from evenwater.domain.warmth.heat.heat_balance import (
    HeatModel,
    Weather,
    bubbled_loss,
    course_of,
    fluxes_of,
    net_gain,
    open_loss,
    simulate,
)
from evenwater.domain.warmth.heat.surface import (
    convection_w_per_m2,
    evaporation_w_per_m2,
    longwave_w_per_m2,
    sky_emissivity,
)

STARTS_AT = datetime(2025, 10, 1, tzinfo=UTC)
HOURS = 180 * 24


def pond(volume_l: float = 16_800.0, surface_m2: float = 12.0) -> HeatModel:
    return HeatModel(
        capacity_j_per_k=volume_l * 4185.0,
        surface_m2=surface_m2,
        ua_w_per_k=3.5 * surface_m2,
        open_multiplier=0.9,
        sun_covered_m2=0.5 * surface_m2,
        sun_open_m2=0.85 * surface_m2,
        ground_fraction=0.3,
        ground_c=11.0,
        inflow_w_per_k=volume_l * 0.025 * 4185 / 86_400,
        inflow_c=10.0,
        gain_w=150.0,
        dry_air_kg_per_s=0.002,
    )


def winter(hours: int = HOURS) -> Weather:
    at = (273 * 24 + np.arange(hours)) % 8760
    real = year()
    return Weather(
        starts_at=STARTS_AT,
        air_c=real["air_c"][at],
        humidity_fraction=real["humidity_fraction"][at],
        wind_m_per_s=0.3 * real["wind_m_per_s"][at],
        cloud_fraction=real["cloud_fraction"][at],
        sun_w_per_m2=real["sun"][at],
    )


def days_open(hours: int = HOURS) -> list[float]:
    return [0.0 if 9 <= hour % 24 < 17 else 1.0 for hour in range(hours)]


@pytest.mark.parametrize(("volume_l", "surface_m2"), [(50_000.0, 30.0), (16_800.0, 12.0), (5_000.0, 4.0)])
def test_a_winter_of_hourly_steps_stays_within_a_twentieth_of_a_degree_of_an_exact_integrator(volume_l, surface_m2):
    # scipy's solve_ivp (LSODA, 1e-8), hour by hour as the weather is; the pond left alone, covers off by day.
    model, fluxes, covered = pond(volume_l, surface_m2), fluxes_of(winter()), days_open()
    ours = simulate(model, fluxes, covered, 18.0).temperature_c
    exact, temperature_c = [], 18.0
    for hour in range(30 * 24):
        solved = solve_ivp(
            lambda _, t, hour=hour: [net_gain(model, fluxes, hour, t[0], covered[hour])[0] / model.capacity_j_per_k],
            (0, 3600),
            [temperature_c],
            method="LSODA",
            rtol=1e-8,
            atol=1e-8,
        )
        temperature_c = float(solved.y[0, -1])
        exact.append(temperature_c)
    assert np.abs(np.array(ours[: len(exact)]) - exact).max() < 0.05


def test_heat_put_in_is_heat_lost_and_heat_stored():
    model, fluxes, covered = pond(), fluxes_of(winter(48)), [1.0] * 48
    run = simulate(model, fluxes, covered, 15.0, [16.0] * 48, 3000.0)
    before = [15.0, *run.temperature_c[:-1]]
    # Lost at the middle of each hour; the hours are straight to a thousandth of a degree.
    gained = sum(
        net_gain(model, fluxes, hour, (before[hour] + run.temperature_c[hour]) / 2, 1.0)[0] for hour in range(48)
    )
    stored_w = (run.temperature_c[-1] - 15.0) * model.capacity_j_per_k / 3600
    assert sum(run.heat_w) + gained == pytest.approx(stored_w, rel=0.002)


def test_a_thermostat_never_heats_past_its_setting_nor_beyond_its_power():
    run = simulate(pond(), fluxes_of(winter(240)), days_open(240), 12.0, [16.0] * 240, 2500.0)
    assert max(run.heat_w) == 2500.0
    assert max(t for t, heat_w in zip(run.temperature_c, run.heat_w, strict=True) if heat_w > 0) <= 16.0 + 1e-9


def test_a_heater_that_is_off_gives_nothing():
    run = simulate(pond(), fluxes_of(winter(24)), [1.0] * 24, 12.0, [float("nan")] * 24, 2500.0)
    assert set(run.heat_w) == {0.0}


def test_a_cover_keeps_the_water_warmer_through_a_cold_night():
    fluxes = fluxes_of(winter(24))
    covered = simulate(pond(), fluxes, [1.0] * 24, 18.0).temperature_c[8]
    assert covered > simulate(pond(), fluxes, [0.0] * 24, 18.0).temperature_c[8] + 0.15


def test_the_straight_course_of_each_hour_goes_where_the_balance_goes():
    model, fluxes, covered = pond(), fluxes_of(winter(96)), days_open(96)
    curved = simulate(model, fluxes, covered, 16.0).temperature_c
    course = course_of(model, fluxes, 24, STARTS_AT, covered[24:], 18.0)
    temperature_c = curved[23]
    for hour in range(72):
        settles_c = course.gain_w[hour] / course.loss_w_per_k[hour]
        kept = np.exp(-course.loss_w_per_k[hour] * 3600 / course.capacity_j_per_k)
        temperature_c = settles_c + (temperature_c - settles_c) * kept
        # The straight line is drawn about 18 °C; the water goes two degrees to either side.
        assert temperature_c == pytest.approx(curved[24 + hour], abs=0.05)


@pytest.mark.parametrize(
    ("water_c", "air_c", "humidity", "wind", "cloud"), [(20, 5, 0.8, 1.0, 0.0), (8, 12, 0.6, 3.0, 1.0)]
)
def test_an_hour_s_fluxes_are_those_of_the_single_formulas(water_c, air_c, humidity, wind, cloud):
    ones = np.ones(1)
    fluxes = fluxes_of(
        Weather(
            starts_at=STARTS_AT,
            air_c=air_c * ones,
            humidity_fraction=humidity * ones,
            wind_m_per_s=wind * ones,
            cloud_fraction=cloud * ones,
            sun_w_per_m2=0 * ones,
        )
    )
    sky = sky_emissivity(dew_point_c(air_c, humidity), cloud)
    single = evaporation_w_per_m2(water_c, vapour_kpa(air_c, humidity), wind)
    single += convection_w_per_m2(water_c, air_c, wind) + longwave_w_per_m2(water_c, air_c, sky)
    loss, slope = open_loss(fluxes, 0, water_c)
    assert loss == pytest.approx(single, rel=1e-6)
    assert slope == pytest.approx(
        open_loss(fluxes, 0, water_c + 0.5)[0] - open_loss(fluxes, 0, water_c - 0.5)[0], rel=1e-3
    )
    bubbled = bubbled_loss(fluxes, 0, water_c, 0.002)[0]
    dry_kg_per_m3 = 1000 * (101.325 - vapour_kpa(air_c, humidity)) / (287.05 * (air_c + 273.15))
    litres = 0.002 / dry_kg_per_m3 * 1000 * 60
    assert bubbled == pytest.approx(air_pump_loss_w(litres, air_c, humidity, water_c), rel=2e-3)
