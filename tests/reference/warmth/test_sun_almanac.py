"""Sunrise, sunset and the sun's height against skyfield with JPL's DE421, the best there is offline.

The ephemeris comes inside the package skyfield-data, and no network is asked.
"""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
import skyfield_data
from skyfield import almanac
from skyfield.api import Loader, wgs84

from evenwater.domain.errors import Contradiction, OutOfRange
from evenwater.domain.warmth.heat.sun import dawn_and_dusk, sun_height_deg, sunrise_and_sunset

# Latitude, longitude; all below 60 degrees.
PLACES = ((59.9, 10.7), (52.4, 4.9), (41.9, -87.6), (35.7, 139.7), (-0.2, -78.5), (-33.4, -70.7), (-54.8, -68.3))
# A minute would do for covers; the worst of every day of 2026 is 5.3 seconds.
TOLERANCE = timedelta(seconds=10)
# NOAA states 0.01 degrees for its declination's series; the sun moves a quarter of a degree a minute.
HEIGHT_DEG = 0.02


@pytest.fixture(scope="module")
def sky():
    # Its own function for this path warns once its table of the earth's rotation is old, which is not read here.
    load = Loader(Path(skyfield_data.__file__).with_name("data"), verbose=False, expire=False)
    ephemeris = load("de421.bsp")
    yield load.timescale(builtin=True), ephemeris
    ephemeris.close()


@pytest.mark.parametrize("place", PLACES, ids=str)
def test_a_year_of_sunrises_and_sunsets_is_the_almanacs_within_ten_seconds(sky, place):
    timescale, ephemeris = sky
    observer = ephemeris["earth"] + wgs84.latlon(*place)
    first = timescale.utc(2026, 1, 1)
    last = timescale.utc(2027, 1, 3)
    rises, _ = almanac.find_risings(observer, ephemeris["sun"], first, last)
    sets, _ = almanac.find_settings(observer, ephemeris["sun"], first, last)
    theirs = [one.utc_datetime() for one in rises], [one.utc_datetime() for one in sets]
    for day in range(2, 365, 9):
        ours = sunrise_and_sunset(date(2026, 1, 1) + timedelta(days=day), *place)
        assert ours is not None
        for one, known in zip(ours, theirs, strict=True):
            assert min(abs(one - other) for other in known) <= TOLERANCE, (day, one)


@pytest.mark.parametrize("place", PLACES[:3], ids=str)
def test_dawn_and_dusk_are_the_almanacs_within_ten_seconds(sky, place):
    timescale, ephemeris = sky
    observer = ephemeris["earth"] + wgs84.latlon(*place)
    first, last = timescale.utc(2026, 3, 1), timescale.utc(2026, 3, 22)
    rises, _ = almanac.find_risings(observer, ephemeris["sun"], first, last, horizon_degrees=-6)
    sets, _ = almanac.find_settings(observer, ephemeris["sun"], first, last, horizon_degrees=-6)
    for day in (4, 11, 18):
        ours = dawn_and_dusk(date(2026, 3, day), *place)
        assert ours is not None
        for one, known in zip(ours, (rises, sets), strict=True):
            assert min(abs(one - other.utc_datetime()) for other in known) <= TOLERANCE


@pytest.mark.parametrize("place", PLACES, ids=str)
def test_the_suns_height_is_that_of_the_ephemeris(sky, place):
    timescale, ephemeris = sky
    observer = ephemeris["earth"] + wgs84.latlon(*place)
    moments = [datetime(2026, month, 11, hour, 20, tzinfo=UTC) for month in range(1, 13) for hour in range(0, 24, 5)]
    height, _, _ = observer.at(timescale.from_datetimes(moments)).observe(ephemeris["sun"]).apparent().altaz()
    for at, theirs in zip(moments, height.degrees, strict=True):
        assert sun_height_deg(at, *place) == pytest.approx(theirs, abs=HEIGHT_DEG)


def test_it_is_light_before_the_sun_rises_and_after_it_sets():
    on = date(2026, 11, 3)
    dawn, dusk = dawn_and_dusk(on, 52.4, 4.9)
    rises, falls = sunrise_and_sunset(on, 52.4, 4.9)
    assert dawn < rises < falls < dusk
    assert sun_height_deg(rises, 52.4, 4.9) == pytest.approx(-0.833, abs=0.01)
    assert sun_height_deg(dusk, 52.4, 4.9) == pytest.approx(-6, abs=0.01)


def test_the_midnight_sun_does_not_set():
    assert sunrise_and_sunset(date(2026, 6, 21), 66.0, 25.0) is None


def test_a_place_outside_the_range_or_a_moment_without_zone_is_refused():
    with pytest.raises(OutOfRange, match="latitude"):
        sunrise_and_sunset(date(2026, 6, 21), 67.0, 0.0)
    with pytest.raises(OutOfRange, match="longitude"):
        sun_height_deg(datetime(2026, 6, 21, tzinfo=UTC), 50.0, 181.0)
    with pytest.raises(Contradiction):
        sun_height_deg(datetime(2026, 6, 21), 50.0, 0.0)  # noqa: DTZ001
