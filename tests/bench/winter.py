"""Gate 7: a winter of hours through the heat balance, against scipy's solve_ivp on the same balance and weather."""

import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from figures import Report
from scipy.integrate import solve_ivp

from evenwater.domain.warmth.heat.heat_balance import Fluxes, HeatModel, Weather, fluxes_of, net_gain, simulate

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "simulations"))
from real_weather import year

_DAYS, _EXACT_DAYS = 180, 20
_POND = HeatModel(
    capacity_j_per_k=16_800 * 4187.0,
    surface_m2=12.0,
    ua_w_per_k=45.0,
    open_multiplier=0.9,
    sun_covered_m2=6.0,
    sun_open_m2=10.0,
    ground_fraction=0.3,
    ground_c=11.0,
    inflow_w_per_k=20.0,
    inflow_c=10.0,
    gain_w=150.0,
    dry_air_kg_per_s=0.002,
)


def measure(report: Report, folder: Path, rounds: int) -> None:
    """Add gate 7 to the report.

    Source of the limits: the wanted speed, so that a page can hold a winter against another; and a twentieth of a
    degree, half of what a thermometer shows.
    """
    fluxes = fluxes_of(_winter())
    covered = [0.0 if 9 <= hour % 24 < 17 else 1.0 for hour in range(24 * _DAYS)]
    ours_ms, ratios, off_k = [], [], []
    for _ in range(rounds):
        begun = time.process_time()
        ours = simulate(_POND, fluxes, covered, 18.0).temperature_c
        ours_ms.append(1000 * (time.process_time() - begun))
        begun = time.process_time()
        exact = _exactly(fluxes, covered)
        per_hour_ms = 1000 * (time.process_time() - begun) / len(exact)
        ratios.append(per_hour_ms * len(covered) / ours_ms[-1])
        off_k.append(float(np.abs(np.array(ours[: len(exact)]) - exact).max()))
    report.add(7, "a winter of 180 days by the hour", ours_ms, "ms", limit=100, digits=1)
    report.add(7, "times faster than solve_ivp (LSODA, 1e-6)", ratios, "×", digits=0)
    report.add(7, "furthest from it in twenty days", off_k, "K", limit=0.05, digits=3)


def _winter() -> Weather:
    at = (273 * 24 + np.arange(24 * _DAYS)) % 8760
    real = year()
    return Weather(
        starts_at=datetime(2025, 10, 1, tzinfo=UTC),
        air_c=real["air_c"][at],
        humidity_fraction=real["humidity_fraction"][at],
        wind_m_per_s=0.3 * real["wind_m_per_s"][at],
        cloud_fraction=real["cloud_fraction"][at],
        sun_w_per_m2=real["sun"][at],
    )


def _exactly(fluxes: Fluxes, covered: list[float]) -> list[float]:
    found, temperature_c = [], 18.0
    for hour in range(24 * _EXACT_DAYS):
        solved = solve_ivp(
            lambda _, t, hour=hour: [net_gain(_POND, fluxes, hour, t[0], covered[hour])[0] / _POND.capacity_j_per_k],
            (0, 3600),
            [temperature_c],
            method="LSODA",
            rtol=1e-6,
            atol=1e-6,
        )
        temperature_c = float(solved.y[0, -1])
        found.append(temperature_c)
    return found
