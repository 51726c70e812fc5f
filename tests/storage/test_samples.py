"""Samples: one value for a moment, read by the hour, thinned to hours when old."""

from datetime import UTC, datetime, timedelta
from itertools import count

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evenwater.storage.database import Database
from evenwater.storage.samples import (
    Fate,
    Sample,
    hourly_of_pond,
    keep_samples,
    last_heard,
    latest_forecast,
    measured_between,
    thin,
)

NOON = datetime(2026, 11, 3, 12, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


def sample(minutes: int, value: float, issued_at: datetime | None = None, series: str = "main/air_c") -> Sample:
    return Sample(series, NOON + timedelta(minutes=minutes), value, issued_at)


def verdicts(fates: list[Fate]) -> list[str]:
    return [one.verdict for one in fates]


async def air(database: Database) -> list[tuple[datetime, float]]:
    return [(one.at, one.value) for one in await measured_between(database, "main/air_c", NOON - DAY, NOON + DAY)]


async def test_what_was_measured_comes_back_in_order(database):
    assert verdicts(await keep_samples(database, [sample(20, 6.0), sample(0, 5.0)])) == ["accepted", "accepted"]
    measured = await measured_between(database, "main/air_c", NOON, NOON + DAY)
    assert measured == [sample(0, 5.0), sample(20, 6.0)]


async def test_the_same_again_is_nothing_new(database):
    await keep_samples(database, [sample(0, 5.0)])
    again = [sample(0, 5.0), sample(10, 5.5), sample(10, 5.5)]
    assert verdicts(await keep_samples(database, again)) == ["already", "accepted", "already"]
    assert await air(database) == [(NOON, 5.0), (NOON + timedelta(minutes=10), 5.5)]


async def test_another_value_is_refused_and_holds_up_no_other(database):
    await keep_samples(database, [sample(0, 5.0)])
    fates = await keep_samples(database, [sample(0, 9.0), sample(10, 5.5), sample(10, 7.0)])
    assert fates == [Fate("refused", 5.0), Fate("accepted"), Fate("refused", 5.5)]
    assert await air(database) == [(NOON, 5.0), (NOON + timedelta(minutes=10), 5.5)]


SENT = st.tuples(st.integers(0, 5), st.sampled_from([1.0, 2.0]))
examples = count()


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(batches=st.lists(st.lists(SENT, max_size=8), min_size=1, max_size=5))
async def test_however_it_is_cut_and_repeated_the_first_value_of_each_moment_stands(database, batches):
    series = f"main/{next(examples)}"  # one of its own, so that the examples share a database
    stands: dict[int, float] = {}
    for batch in [*batches, *batches]:
        fates = await keep_samples(database, [sample(minute, value, series=series) for minute, value in batch])
        expected = []
        for minute, value in batch:
            known = minute in stands
            first = stands.setdefault(minute, value)
            expected.append("refused" if first != value else "already" if known else "accepted")
        assert verdicts(fates) == expected
    kept = await measured_between(database, series, NOON, NOON + HOUR)
    assert [(one.at, one.value) for one in kept] == [
        (NOON + timedelta(minutes=minute), value) for minute, value in sorted(stands.items())
    ]


async def test_a_batch_larger_than_one_statement_is_kept_whole(database):
    many = [sample(minute, float(minute % 30)) for minute in range(-1440, 1440)]
    assert set(verdicts(await keep_samples(database, many))) == {"accepted"}
    assert set(verdicts(await keep_samples(database, many))) == {"already"}
    assert len(await air(database)) == 2880


async def test_a_batch_that_is_cut_off_leaves_nothing(database):
    unkeepable = Sample("main/air_c", NOON, None)  # type: ignore[arg-type]
    with pytest.raises(Exception, match="NOT NULL"):
        await keep_samples(database, [*(sample(minute, 1.0) for minute in range(1, 2500)), unkeepable])
    assert await air(database) == []


async def test_a_forecast_stands_once_for_each_time_it_was_issued_and_is_not_a_measurement(database):
    issued = [NOON - timedelta(hours=h) for h in (6, 3)]
    fates = await keep_samples(database, [sample(0, 4.0, issued[0]), sample(0, 4.5, issued[1])])
    assert verdicts(fates) == ["accepted", "accepted"]
    assert await air(database) == []
    assert await hourly_of_pond(database, "main", NOON, NOON + DAY) == {}


async def test_each_hour_has_what_its_series_asks_for(database):
    for series, values in {
        "air_c": (4.0, 9.0, 5.0),
        "heater_kwh": (100.0, 101.5, 101.0),  # a counter: the last, whether it grew or was set back
        "rain_mm": (0.5, 0.0, 1.0),
        "gust_m_per_s": (3.0, 14.0, 5.0),
    }.items():
        await keep_samples(
            database,
            [sample(m, value, series=f"main/{series}") for m, value in zip((0, 20, 59), values, strict=True)],
        )
    await keep_samples(database, [sample(60, 8.0), sample(0, 99.0, series="other/air_c")])
    assert await hourly_of_pond(database, "main", NOON, NOON + 2 * HOUR) == {
        "air_c": [(NOON, 6.0), (NOON + HOUR, 8.0)],
        "heater_kwh": [(NOON, 101.0)],
        "rain_mm": [(NOON, 1.5)],
        "gust_m_per_s": [(NOON, 14.0)],
    }


async def test_only_what_lies_in_the_span_counts(database):
    await keep_samples(database, [sample(-1, 1.0), sample(0, 2.0), sample(119, 3.0), sample(120, 4.0)])
    assert await hourly_of_pond(database, "main", NOON, NOON + 2 * HOUR) == {"air_c": [(NOON, 2.0), (NOON + HOUR, 3.0)]}


async def test_thinning_changes_nothing_that_is_read_by_the_hour(database):
    for series in ("air_c", "heater_kwh", "rain_mm", "gust_m_per_s", "service_air_c"):
        await keep_samples(
            database, [sample(minute, minute * 0.5, series=f"main/{series}") for minute in range(0, 150, 7)]
        )
    before = await hourly_of_pond(database, "main", NOON, NOON + DAY)
    assert before["heater_kwh"][0] == (NOON, 28.0)
    assert await thin(database, NOON + DAY) == 5 * (22 - 3)
    assert await hourly_of_pond(database, "main", NOON, NOON + DAY) == before
    assert await thin(database, NOON + DAY) == 0
    assert await hourly_of_pond(database, "main", NOON, NOON + DAY) == before


async def test_an_hour_that_was_thinned_takes_nothing_more(database):
    old = [sample(0, 4.0), sample(30, 6.0)]
    await keep_samples(database, old)
    await thin(database, NOON + DAY)
    assert verdicts(await keep_samples(database, [*old, sample(40, 20.0), sample(60, 7.0)])) == [
        *("already", "already", "already"),
        "accepted",
    ]
    await thin(database, NOON + DAY)
    assert await air(database) == [(NOON, 5.0), (NOON + HOUR, 7.0)]


async def test_the_hour_under_way_is_left_as_it_is(database):
    await keep_samples(database, [sample(0, 4.0), sample(30, 6.0)])
    assert await thin(database, NOON + timedelta(minutes=45)) == 0
    assert len(await air(database)) == 2


async def test_each_series_tells_when_it_was_last_heard(database):
    later = NOON + timedelta(days=1)
    await keep_samples(
        database,
        [
            sample(0, 4.0),
            sample(25, 4.5),
            sample(-10, 18.0, series="main/water_c"),
            sample(30, 9.0, series="other/air_c"),
            Sample("main/service_air_c", later, 3.0, NOON),
        ],
    )
    heard = await last_heard(database, "main")
    assert heard == {"air_c": NOON + timedelta(minutes=25), "water_c": NOON - timedelta(minutes=10)}


async def test_the_latest_forecast_is_the_one_issued_last_that_reaches_beyond_now(database):
    def issue(hours: int, first: float) -> list[Sample]:
        issued_at = NOON + hours * HOUR
        return [
            Sample(f"main/service_{series}", issued_at + step * HOUR, first + step, issued_at)
            for step in range(1, 4)
            for series in ("air_c", "wind_m_per_s")
        ]

    assert await latest_forecast(database, "main", NOON) is None
    await keep_samples(database, [*issue(-5, 0.0), *issue(-2, 10.0), *issue(4, 20.0)])
    found = await latest_forecast(database, "main", NOON)
    assert found is not None
    hours = [(NOON + step * HOUR, 12.0 + step) for step in (-1, 0, 1)]
    assert found == (NOON - 2 * HOUR, {"air_c": hours, "wind_m_per_s": hours})
    assert await latest_forecast(database, "other", NOON) is None
    assert await latest_forecast(database, "main", NOON + DAY) is None
