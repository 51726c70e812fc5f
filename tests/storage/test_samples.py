"""Samples: one value for a moment, thinned to hours when old."""

from datetime import UTC, datetime, timedelta

import pytest

from evenwater.storage.samples import OtherValue, Sample, hourly_means, keep_samples, measured_between, thin

NOON = datetime(2026, 11, 3, 12, 0, tzinfo=UTC)
DAY = timedelta(days=1)


def air(minutes: int, value: float, issued_at: datetime | None = None) -> Sample:
    return Sample("air_c", NOON + timedelta(minutes=minutes), value, issued_at)


async def test_what_was_measured_comes_back_in_order(database):
    assert await keep_samples(database, [air(20, 6.0), air(0, 5.0)]) == 2
    assert await measured_between(database, "air_c", NOON, NOON + DAY) == [air(0, 5.0), air(20, 6.0)]


async def test_the_same_again_is_nothing_new(database):
    await keep_samples(database, [air(0, 5.0)])
    assert await keep_samples(database, [air(0, 5.0), air(10, 5.5)]) == 1


async def test_another_value_is_refused_and_nothing_of_its_batch_is_kept(database):
    await keep_samples(database, [air(0, 5.0)])
    with pytest.raises(OtherValue, match="another value"):
        await keep_samples(database, [air(10, 5.5), air(0, 9.0)])
    assert await measured_between(database, "air_c", NOON, NOON + DAY) == [air(0, 5.0)]


async def test_a_forecast_stands_once_for_each_time_it_was_issued_and_is_not_a_measurement(database):
    issued = [NOON - timedelta(hours=h) for h in (6, 3)]
    assert await keep_samples(database, [air(0, 4.0, issued[0]), air(0, 4.5, issued[1])]) == 2
    assert await measured_between(database, "air_c", NOON, NOON + DAY) == []


async def test_old_values_become_hourly_means_and_stay_so(database):
    await keep_samples(database, [air(0, 4.0), air(30, 6.0), air(70, 9.0), Sample("water_c", NOON, 18.0)])
    means = await hourly_means(database, "air_c", NOON, NOON + DAY)
    assert means == [air(0, 5.0), air(60, 9.0)]
    assert await thin(database, NOON + DAY) == 1
    assert await measured_between(database, "air_c", NOON, NOON + DAY) == means
    assert await thin(database, NOON + DAY) == 0
    assert len(await measured_between(database, "water_c", NOON, NOON + DAY)) == 1


async def test_the_hour_under_way_is_left_as_it_is(database):
    await keep_samples(database, [air(0, 4.0), air(30, 6.0)])
    assert await thin(database, NOON + timedelta(minutes=45)) == 0
    assert len(await measured_between(database, "air_c", NOON, NOON + DAY)) == 2
