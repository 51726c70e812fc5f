"""Dawn and dusk against astral, an independent library."""

from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta

import pytest
from astral import Observer
from astral.sun import dawn, dusk

from evenwater.domain.errors import OutOfRange
from evenwater.domain.warmth.heat.sun import dawn_and_dusk

# Latitude, longitude: Amsterdam, Edinburgh, Chicago, Tokyo, Santiago, Quito, Wellington (near the date line).
PLACES = ((52.4, 4.9), (55.9, -3.2), (41.9, -87.6), (35.7, 139.7), (-33.4, -70.7), (-0.2, -78.5), (-41.3, 174.8))
# astral 3.2 and ours both follow Meeus at low precision; they differ in iterations and in rounding of the moment.
TOLERANCE = timedelta(seconds=60)


@pytest.mark.parametrize("place", PLACES, ids=str)
def test_a_year_of_dawns_and_dusks_agrees_with_astral_within_a_minute(place):
    latitude, longitude = place
    observer = Observer(latitude, longitude)
    for day in range(0, 365, 7):
        on = date(2026, 1, 4) + timedelta(days=day)
        ours = dawn_and_dusk(on, latitude, longitude)
        for side, edge in enumerate((dawn, dusk)):
            theirs = _nearby(edge, observer, on)
            if ours is None:
                assert theirs == [], (on, side)
            else:
                assert min(_apart(ours[side], one) for one in theirs) <= TOLERANCE, (on, side)


def _apart(one: datetime, other: datetime) -> timedelta:
    """Distance in the day: far from Greenwich astral sometimes names the moment with the date before or after."""
    apart = abs(one - other) % timedelta(days=1)
    return min(apart, timedelta(days=1) - apart)


def _nearby(edge: Callable[..., datetime], observer: Observer, on: date) -> list[datetime]:
    """astral's answers for the date and its neighbours: it counts in UTC dates, we in civil ones."""
    found = []
    for near in (on - timedelta(days=1), on, on + timedelta(days=1)):
        with suppress(ValueError):  # astral's word for a sun that does not sink so far, or not on that UTC date
            found.append(edge(observer, near, tzinfo=UTC))
    return found


def test_dusk_follows_dawn_within_the_civil_day():
    rise, fall = dawn_and_dusk(date(2026, 11, 3), 52.4, 4.9)
    assert (rise.date(), fall.date()) == (date(2026, 11, 3), date(2026, 11, 3))
    assert timedelta(hours=10) < fall - rise < timedelta(hours=11)


def test_a_midsummer_night_at_65_north_has_no_dusk():
    assert dawn_and_dusk(date(2026, 6, 21), 65.0, 25.0) is None


@pytest.mark.parametrize("place", ((66.1, 0.0), (float("nan"), 0.0), (0.0, 180.5)))
def test_a_place_outside_the_range_is_refused(place):
    with pytest.raises(OutOfRange):
        dawn_and_dusk(date(2026, 6, 21), *place)
