"""Forecasts as they were shown, against what was then measured."""

from datetime import UTC, datetime, timedelta

from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.learn.track_record import track_of
from evenwater.domain.pond import Pond
from evenwater.domain.water.outlook import Trend

POND = Pond(id="main", zone="UTC")


def shown(at: datetime, *forecast: tuple[datetime, float, float, float]) -> tuple[datetime, Trend]:
    return at, Trend(
        quantity="kh_dkh",
        point="pond",
        label="KH",
        unit="°dKH",
        past=(),
        forecast=forecast,
        wanted=(None, None),
        says="",
    )


def evening(ahead: int) -> datetime:
    return datetime(2026, 11, 3 + ahead, 18, tzinfo=UTC)


def test_without_a_forecast_that_met_a_reading_there_is_no_record():
    log = Log()
    log.kh(5.0, NOW)
    facts = fold(log.entries).of_pond("main")
    assert track_of([], facts, "kh_dkh", POND) is None
    assert track_of([shown(NOW, (evening(0), 4.0, 5.0, 6.0))], facts, "kh_dkh", POND) is None


def test_the_last_forecast_of_an_earlier_day_counts():
    log = Log()
    log.kh(5.0, NOW)
    log.kh(6.5, NOW + timedelta(days=1))
    facts = fold(log.entries).of_pond("main")
    forecasts = [
        shown(NOW - timedelta(days=2), (evening(0), 3.0, 4.0, 5.0), (evening(1), 2.0, 3.0, 4.0)),
        shown(NOW - timedelta(days=1), (evening(0), 4.0, 4.8, 5.6), (evening(1), 4.0, 5.0, 6.0)),
        shown(NOW, (evening(0), 4.9, 5.0, 5.1)),
    ]
    found = track_of(forecasts, facts, "kh_dkh", POND)
    assert found is not None
    assert [(row.middle, row.measured) for row in found.rows] == [(4.8, 5.0), (5.0, 6.5)]
    assert found.inside == 1
    assert found.mean_error == 0.85
    assert found.says == "Off by 0.85 °dKH typically; 1 of 2 inside the band."
