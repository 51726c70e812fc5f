"""What a probe may send: known series, possible values, times that can be."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from evenwater.domain.errors import DomainError
from evenwater.domain.warmth.series import CLOCK_MAY_LEAD, OVER_HOUR, OWN, check_sample, series_name

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)


def problem(series: str, at: datetime, value: float) -> tuple[str, str, str]:
    with pytest.raises(DomainError) as caught:
        check_sample(series, at, value, NOW)
    return caught.value.code, caught.value.where, caught.value.right


@pytest.mark.parametrize("series", OWN.values(), ids=lambda one: one.series)
def test_the_edges_of_a_series_are_possible_and_what_is_beyond_is_not(series):
    for value in (series.low, series.high):
        check_sample(series.series, NOW, value, NOW)
    for value in (series.low - 0.01, series.high * 1.01 + 0.01, float("nan"), float("inf")):
        code, where, right = problem(series.series, NOW, value)
        assert (code, where) == ("out_of_range", "value")
        assert right.startswith(f"{series.low:.10g} to {series.high:.10g}")


def test_an_unknown_series_is_told_which_there_are():
    code, where, right = problem("pond_temp", NOW, 12.0)
    assert (code, where) == ("not_one_of", "series")
    assert "water_c" in right and "service_" not in right


def test_the_name_a_service_has_is_not_for_probes():
    assert problem("service_air_c", NOW, 5.0)[0] == "not_one_of"
    assert OVER_HOUR["service_rain_mm"] == "sum"


def test_a_clock_may_lead_by_ten_minutes_and_no_more():
    check_sample("air_c", NOW + CLOCK_MAY_LEAD, 5.0, NOW)
    check_sample("air_c", (NOW + CLOCK_MAY_LEAD).astimezone(timezone(timedelta(hours=5))), 5.0, NOW)
    code, where, right = problem("air_c", NOW + CLOCK_MAY_LEAD + timedelta(seconds=1), 5.0)
    assert (code, where) == ("contradiction", "at")
    assert right == "at most 10 minutes ahead of 2026-11-03T16:30:00+00:00"


def test_prices_are_known_ahead():
    check_sample("price_per_kwh", NOW + timedelta(days=2), -0.04, NOW)
    assert problem("price_per_kwh", NOW + timedelta(days=500), 0.3)[1] == "at"


def test_a_time_before_2000_is_a_clock_that_was_never_set():
    check_sample("air_c", datetime(2000, 1, 1, tzinfo=UTC), 5.0, NOW)
    assert problem("air_c", datetime(1970, 1, 1, tzinfo=UTC), 5.0)[:2] == ("contradiction", "at")


def test_a_time_without_a_zone_is_no_moment():
    assert problem("air_c", datetime(2026, 11, 3, 16, 30), 5.0)[:2] == ("missing", "at")  # noqa: DTZ001


def test_a_stored_name_begins_with_the_pond():
    assert series_name("koi-2", "air_c") == "koi-2/air_c"
