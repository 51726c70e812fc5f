"""The air from whoever tells it: the nearer to the pond wins, what nobody tells is not made up."""

from datetime import UTC, datetime, timedelta

import numpy as np
from written_log import Log

from evenwater.domain.fold import fold
from evenwater.domain.warmth.pond_air import PondAir, Samples, air_of

NOW = datetime(2026, 11, 3, 17, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
SINCE, UNTIL = NOW - 48 * HOUR, NOW + 24 * HOUR


def air(log: Log, samples: Samples | None = None) -> PondAir:
    known = fold(log.entries)
    return air_of(known.ponds(NOW.date())[0], known.of_pond("main"), samples or Samples(), SINCE, UNTIL, NOW)


def at(found: PondAir, moment: datetime) -> float:
    return float(found.weather.air_c[int((moment - SINCE) / HOUR)])


def log() -> Log:
    written = Log()
    written.pond(latitude=52.0, longitude=0.0)
    return written


def read(written: Log, value: float, moment: datetime) -> None:
    written.write("reading", moment, quantity="air_temperature_c", value=value, point="outside")


def hours(value: float, first: datetime, count: int) -> list[tuple[datetime, float]]:
    return [(first + HOUR * nth, value) for nth in range(count)]


def test_with_nobody_to_tell_it_nothing_is_known_and_every_day_is_named():
    found = air(log())
    assert np.isnan(found.weather.air_c).all()
    assert (found.ahead, len(found.missing), found.says) == (0, 3, "")


def test_two_readings_a_day_are_joined_and_a_missing_day_is_not():
    written = log()
    read(written, 4.0, NOW - 34 * HOUR)
    read(written, 8.0, NOW - 24 * HOUR)
    read(written, 6.0, NOW - 1 * HOUR)
    found = air(written)
    assert at(found, NOW - 29 * HOUR) == 6.2
    assert np.isnan(at(found, NOW - 12 * HOUR))
    assert found.says == "air as typed in"


def test_a_low_as_typed_comes_at_dawn_and_the_high_in_the_afternoon():
    written = log()
    read(written, 9.0, NOW - HOUR)
    written.write("air_forecast", NOW, on=NOW.date().isoformat(), low_c=3, high_c=11)
    found = air(written)
    night = found.weather.air_c[48:72]
    assert abs(float(np.nanmin(night)) - 3) < 0.1
    # Sunrise on 4 November at 52° north is about 7 o'clock.
    assert int(np.nanargmin(night)) in (13, 14)
    assert abs(at(found, NOW + 22 * HOUR) - 11) < 0.2
    assert found.says == "air as typed in; forecast as typed in"
    assert found.ahead >= 22


def test_a_typed_low_wins_over_the_service_and_the_pond_s_probe_over_both():
    written = log()
    written.write("air_forecast", NOW, on=NOW.date().isoformat(), low_c=-4, high_c=2)
    service = {"air_c": hours(8.0, NOW, 24)}
    found = air(written, Samples(measured={"service_air_c": hours(5.0, SINCE, 48)}, forecast=(NOW - HOUR, service)))
    assert at(found, NOW - 3 * HOUR) == 5.0
    assert float(found.weather.air_c[48:72].min()) < -3.8
    probed = air(written, Samples(measured={"air_c": hours(6.5, SINCE, 48), "service_air_c": hours(5.0, SINCE, 48)}))
    assert at(probed, NOW - 3 * HOUR) == 6.5
    assert probed.says == "air by the pond's own probe; forecast as typed in"


def test_a_forecast_says_how_old_it_is_and_why_there_is_no_newer():
    forecast = (NOW - 7 * HOUR, {"air_c": hours(5.0, NOW - 7 * HOUR, 40)})
    samples = Samples(
        measured={"service_air_c": hours(5.0, SINCE, 41)}, forecast=forecast, failure="The service did not answer."
    )
    found = air(log(), samples)
    assert found.says == "air by the weather service; forecast 7 hours old; The service did not answer"
    assert found.ahead == 24


def test_sun_wind_and_clouds_fall_back_on_usual_values():
    found = air(log()).weather
    noon, midnight = int((NOW.replace(hour=12) - SINCE) / HOUR), int((NOW.replace(hour=0) - SINCE) / HOUR)
    assert 100 < found.sun_w_per_m2[noon] < 450
    assert found.sun_w_per_m2[midnight] == 0
    assert np.isfinite(found.wind_m_per_s).all()
    assert np.isfinite(found.humidity_fraction).all()
