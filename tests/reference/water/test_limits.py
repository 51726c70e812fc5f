"""Ammonia limits against the tables that print them. Sources and tolerances stand in limits.json."""

import json
import math
from pathlib import Path

import pytest

from evenwater.domain.reckon.ammonia_limit import AmmoniaLimitInput, reckon
from evenwater.domain.water.ammonia_limits import (
    NH3_LIMIT_MG_PER_L,
    acute_tan_mg_n_per_l,
    chronic_tan_mg_n_per_l,
    tan_for_nh3_mg_n_per_l,
)

CHECKS = json.loads(Path(__file__).with_name("limits.json").read_text(encoding="utf-8"))


def cells(table: str) -> list[tuple[float, float, float]]:
    rows = CHECKS[table]["rows"].items()
    return [
        (float(row), ph, limit) for row, limits in rows for ph, limit in zip(CHECKS[table]["ph"], limits, strict=True)
    ]


def half_a_digit(printed: float, significant: int) -> float:
    """Half a unit of the last digit printed."""
    return 0.5 * 10.0 ** (math.floor(math.log10(printed)) - significant + 1)


@pytest.mark.parametrize(("temperature_c", "ph", "limit"), cells("acute"))
def test_the_limit_of_an_hour_is_the_one_printed(temperature_c, ph, limit):
    ours = acute_tan_mg_n_per_l(temperature_c, ph)
    assert ours == pytest.approx(limit, abs=half_a_digit(limit, CHECKS["acute"]["significant"]))


@pytest.mark.parametrize(("temperature_c", "ph", "limit"), cells("chronic"))
def test_the_limit_of_a_month_is_the_one_printed(temperature_c, ph, limit):
    ours = chronic_tan_mg_n_per_l(temperature_c, ph)
    assert ours == pytest.approx(limit, abs=half_a_digit(limit, CHECKS["chronic"]["significant"]))


def test_the_limits_at_ph_7_and_20_degrees_are_those_announced():
    assert acute_tan_mg_n_per_l(20.0, 7.0) == pytest.approx(CHECKS["summary"]["acute"], abs=0.5)
    assert chronic_tan_mg_n_per_l(20.0, 7.0) == pytest.approx(CHECKS["summary"]["chronic"], abs=0.05)


@pytest.mark.parametrize("case", CHECKS["nh3"]["cases"])
def test_the_total_that_holds_the_nh3_allowed(case):
    ours = tan_for_nh3_mg_n_per_l(NH3_LIMIT_MG_PER_L, 20.0, case["ph"])
    assert ours == pytest.approx(case["tan_mg_n_per_l"], abs=CHECKS["nh3"]["tolerance"])


@pytest.mark.parametrize(("ph", "governs"), [(7.0, "chronic"), (7.5, "chronic"), (8.0, "nh3"), (8.5, "nh3")])
def test_neither_limit_is_always_the_stricter(ph, governs):
    assert reckon(AmmoniaLimitInput(temperature_c=20.0, ph=ph))[0].governs == governs


@pytest.mark.parametrize("ph", CHECKS["acute"]["ph"])
def test_ph_weighs_on_the_limits_as_in_the_equations_of_1999(ph):
    # EPA-822-R-99-014 as printed in South Dakota rule 74:51:01, appendix A: the same curves, not brought to pH 8.
    def acute(at: float) -> float:
        return 0.411 / (1.0 + 10.0 ** (7.204 - at)) + 58.4 / (1.0 + 10.0 ** (at - 7.204))

    def chronic(at: float) -> float:
        return 0.0577 / (1.0 + 10.0 ** (7.688 - at)) + 2.487 / (1.0 + 10.0 ** (at - 7.688))

    assert acute_tan_mg_n_per_l(20.0, ph) / acute_tan_mg_n_per_l(20.0, 8.0) == pytest.approx(
        acute(ph) / acute(8.0), rel=0.001
    )
    assert chronic_tan_mg_n_per_l(20.0, ph) / chronic_tan_mg_n_per_l(20.0, 8.0) == pytest.approx(
        chronic(ph) / chronic(8.0), rel=0.001
    )
