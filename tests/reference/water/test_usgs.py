"""Oxygen's day and the traps of units in what the US Geological Survey measured. Sources: usgs.json."""

import json
from datetime import date, datetime, timedelta
from pathlib import Path

import gsw
import numpy as np
import pytest

from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.units import HPA_PER_ATM, NO2_PER_NO2_N, NO3_PER_NO3_N
from evenwater.domain.warmth.heat.sun import dawn_and_dusk
from evenwater.domain.water.doubts import PERCENT_OF_SATURATION, doubt
from evenwater.domain.water.oxygen import saturation_mg_per_l

CHECKS = json.loads(Path(__file__).with_name("usgs.json").read_text(encoding="utf-8"))
CREEK, VISITS = CHECKS["sligo_creek"], CHECKS["black_earth_creek"]["visits"]
MEASURED = ("temperature_c", "oxygen_mg_per_l", "ph", "ec25_us_per_cm")
HOUR = timedelta(hours=1)
START = datetime.fromisoformat(CREEK["start"])
BY_DATE = pytest.mark.parametrize("visit", VISITS, ids=[one["date"] for one in VISITS])


def percent(oxygen_mg_per_l: float, temperature_c: float, pressure_hpa: float = HPA_PER_ATM) -> float:
    return 100.0 * oxygen_mg_per_l / saturation_mg_per_l(temperature_c, 0.0, pressure_hpa)


def days_without_flood() -> list[tuple[date, list[float]]]:
    """Saturation [%] hour by hour from local midnight, of each day in which rain did not change the water."""
    days: list[tuple[date, list[float]]] = []
    for first in range(0, len(CREEK["ph"]), 24):
        oxygen, warmth, ec25 = (CREEK[name][first : first + 24] for name in ("oxygen_mg_per_l", *MEASURED[::3]))
        if min(ec25) > 0.9 * max(ec25):
            local = (START + first * HOUR - 4 * HOUR).date()
            days.append((local, [percent(*one) for one in zip(oxygen, warmth, strict=True)]))
    return days


@BY_DATE
def test_the_share_of_saturation_is_the_one_they_printed(visit):
    ours = percent(visit["oxygen_mg_per_l"], visit["temperature_c"], visit["pressure_mm_hg"] / 760.0 * HPA_PER_ATM)
    # Half a unit of a per cent printed, and half a tenth of a milligram in nine.
    assert ours == pytest.approx(visit["oxygen_percent"], abs=1.05)


def test_saturation_in_the_creek_ran_between_the_ends_known():
    found = [percent(one["oxygen_mg_per_l"], one["temperature_c"]) for one in CREEK["extremes"]]
    assert found == pytest.approx(CREEK["saturation_percent"], abs=CREEK["tolerance_percent"])
    low, high = CREEK["saturation_percent"]
    hourly = [percent(*one) for one in zip(CREEK["oxygen_mg_per_l"], CREEK["temperature_c"], strict=True)]
    assert low - 0.2 < min(hourly) < low + 1.0
    assert high - 1.0 < max(hourly) < high + 0.2


def test_saturation_hour_by_hour_is_that_of_teos_10():
    warmth = np.array(CREEK["temperature_c"])
    kg_per_l = gsw.rho(0.0, gsw.CT_from_t(0.0, warmth, 0.0), 0.0) / 1000.0
    theirs = gsw.O2sol_SP_pt(0.0, warmth) * 31.9988e-3 * kg_per_l
    ours = [saturation_mg_per_l(one, 0.0, HPA_PER_ATM) for one in CREEK["temperature_c"]]
    assert ours == pytest.approx(theirs.tolist(), abs=0.0015)


def test_oxygen_is_highest_after_noon_and_lowest_in_the_dark():
    days = days_without_flood()
    assert len(days) >= 10
    for day, saturations in days:
        dawn, dusk = dawn_and_dusk(day, CREEK["latitude"], CREEK["longitude"])
        noon, midnight = dawn + (dusk - dawn) / 2, datetime(day.year, day.month, day.day, 4, tzinfo=START.tzinfo)
        highest, lowest = (saturations.index(end(saturations)) for end in (max, min))
        assert -HOUR <= midnight + highest * HOUR - noon <= 4 * HOUR, day
        assert not dawn + HOUR < midnight + lowest * HOUR < dusk - HOUR, day


@pytest.mark.parametrize("quantity", MEASURED)
def test_nothing_measured_in_the_creek_is_asked_about(quantity):
    assert [one for one in CREEK[quantity] if doubt(QUANTITIES[quantity], one, None)] == []


def test_each_value_of_the_creek_typed_in_another_unit_is_recognised():
    for oxygen, warmth, ec25 in zip(*(CREEK[one] for one in ("oxygen_mg_per_l", *MEASURED[::3])), strict=True):
        told = doubt(QUANTITIES["oxygen_mg_per_l"], percent(oxygen, warmth), (6.0, 10.0))
        assert told is not None and told.unit == PERCENT_OF_SATURATION
        # 0 °C is 32 °F and 100 °C are 212 °F; a millisiemens is a thousand microsiemens.
        for quantity, typed, meant, unit in (
            ("temperature_c", 32.0 + 180.0 / 100.0 * warmth, warmth, "°F"),
            ("ec25_us_per_cm", ec25 / 1000.0, ec25, "mS/cm"),
        ):
            told = doubt(QUANTITIES[quantity], typed, None)
            assert told is not None and told.unit == unit
            assert told.meant == pytest.approx(meant, rel=1e-9)


@BY_DATE
def test_nitrogen_and_the_ion_stand_to_each_other_as_they_printed_both(visit):
    # Two or three figures each: half a unit of the last of both.
    assert visit["nitrate_ion_mg_per_l"] / visit["nitrate_n_mg_per_l"] == pytest.approx(NO3_PER_NO3_N, rel=0.006)
    assert visit["nitrite_ion_mg_per_l"] / visit["nitrite_n_mg_per_l"] == pytest.approx(NO2_PER_NO2_N, rel=0.035)


@BY_DATE
@pytest.mark.parametrize(
    ("name", "unit", "tolerance"), [("nitrate", "mg/L as NO₃", 0.006), ("nitrite", "mg/L as NO₂", 0.035)]
)
def test_the_ion_typed_for_the_nitrogen_is_recognised_where_the_water_is_known(visit, name, unit, tolerance):
    quantity = QUANTITIES[f"{name}_n_mg_per_l"]
    others = [one[f"{name}_n_mg_per_l"] for one in VISITS if one is not visit]
    expected = (0.8 * min(others), 1.25 * max(others))
    meant = visit[f"{name}_n_mg_per_l"]
    assert doubt(quantity, meant, expected) is None
    told = doubt(quantity, visit[f"{name}_ion_mg_per_l"], expected)
    assert told is not None
    assert (told.kind, told.unit) == ("unit", unit)
    assert told.meant == pytest.approx(meant, rel=tolerance)
