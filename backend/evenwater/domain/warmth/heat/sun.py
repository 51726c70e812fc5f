"""When it gets light and dark at the pond, and how high the sun stands."""

from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from math import acos, asin, cos, degrees, radians, sin, tan
from typing import Final

from evenwater.domain.errors import Contradiction, require_between

# Civil twilight: the sun's centre 6 degrees below the horizon; one can still see what one does.
_TWILIGHT_DEG = 96.0
# The sun's upper edge on a level horizon: half its width, and 34' by which air bends its light.
_RISE_DEG = 90.833

LATITUDE: Final = (-66.0, 66.0)
"""Within the polar circles [°]."""

LONGITUDE: Final = (-180.0, 180.0)
"""[°], east positive."""


@lru_cache(maxsize=1000)
def dawn_and_dusk(on: date, latitude: float, longitude: float) -> tuple[datetime, datetime] | None:
    """Begin of civil dawn and end of civil dusk on a date, in UTC; None where the sun does not sink that far.

    Args:
        on: Civil date at the place.
        latitude: [°], -66 to 66, north positive.
        longitude: [°], -180 to 180, east positive.

    Raises:
        OutOfRange: latitude or longitude outside its range, or NaN.

    Source:
        NOAA Global Monitoring Laboratory, "General Solar Position Calculations" and the solar calculator's spreadsheet
        (after Meeus, Astronomical Algorithms, ch. 25); the moment is found by three passes. Within a minute below 60°.
    """
    return _passes(on, latitude, longitude, _TWILIGHT_DEG)


def sunrise_and_sunset(on: date, latitude: float, longitude: float) -> tuple[datetime, datetime] | None:
    """Rise and set of the sun's upper edge on a date, in UTC, on a level horizon; None where it does neither.

    Args:
        on: Civil date at the place.
        latitude: [°], -66 to 66, north positive.
        longitude: [°], -180 to 180, east positive.

    Raises:
        OutOfRange: latitude or longitude outside its range, or NaN.

    Source:
        As `dawn_and_dusk`; the sun's centre at 90.833°, as almanacs have it.
    """
    return _passes(on, latitude, longitude, _RISE_DEG)


def sun_height_deg(at: datetime, latitude: float, longitude: float) -> float:
    """Height of the sun's centre over the horizon [°], below 0 at night; what the air bends is not in it.

    Args:
        at: Aware.
        latitude: [°], -66 to 66, north positive.
        longitude: [°], -180 to 180, east positive.

    Raises:
        OutOfRange: latitude or longitude outside its range, or NaN.
        Contradiction: the moment has no zone.

    Source:
        As `dawn_and_dusk`.
    """
    _require_place(latitude, longitude)
    if at.tzinfo is None:
        raise Contradiction("at has no zone", where="at", right="a moment with its offset")
    at = at.astimezone(UTC)
    minutes = (at - datetime(at.year, at.month, at.day, tzinfo=UTC)) / timedelta(minutes=1)
    declination, equation_min = _sun(_century(at.date(), minutes))
    hour_angle = radians((minutes + equation_min + 4 * longitude) / 4 - 180)
    sine = sin(radians(latitude)) * sin(declination)
    sine += cos(radians(latitude)) * cos(declination) * cos(hour_angle)
    return degrees(asin(max(-1.0, min(1.0, sine))))


def _passes(on: date, latitude: float, longitude: float, zenith_deg: float) -> tuple[datetime, datetime] | None:
    """When the sun's centre comes up and down through an angle from straight above [°]."""
    _require_place(latitude, longitude)
    edges: list[datetime] = []
    for side in (-1, 1):
        minutes = 720.0 - 4 * longitude
        for _ in range(3):
            declination, equation_min = _sun(_century(on, minutes))
            hour_angle = _hour_angle(radians(latitude), declination, radians(zenith_deg))
            if hour_angle is None:
                return None
            minutes = 720.0 - 4 * longitude - equation_min + side * 4 * degrees(hour_angle)
        edges.append(datetime(on.year, on.month, on.day, tzinfo=UTC) + timedelta(minutes=minutes))
    return edges[0], edges[1]


def _require_place(latitude: float, longitude: float) -> None:
    require_between("latitude", latitude, *LATITUDE, "°")
    require_between("longitude", longitude, *LONGITUDE, "°")


def _century(on: date, minutes: float) -> float:
    """Julian centuries since J2000 at so many minutes after 0 h UTC."""
    return (on.toordinal() - date(2000, 1, 1).toordinal() - 0.5 + minutes / 1440) / 36_525


def _sun(t: float) -> tuple[float, float]:
    """Declination [rad] and equation of time [min]."""
    mean_longitude = radians((280.46646 + t * (36_000.76983 + t * 0.0003032)) % 360)
    anomaly = radians(357.52911 + t * (35_999.05029 - 0.0001537 * t))
    eccentricity = 0.016708634 - t * (0.000042037 + 0.0000001267 * t)
    centre = radians(
        sin(anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t))
        + sin(2 * anomaly) * (0.019993 - 0.000101 * t)
        + sin(3 * anomaly) * 0.000289
    )
    node = radians(125.04 - 1934.136 * t)
    apparent = mean_longitude + centre - radians(0.00569) - radians(0.00478) * sin(node)
    mean_obliquity = 23 + (26 + (21.448 - t * (46.815 + t * (0.00059 - t * 0.001813))) / 60) / 60
    obliquity = radians(mean_obliquity + 0.00256 * cos(node))
    declination = asin(sin(obliquity) * sin(apparent))
    y = tan(obliquity / 2) ** 2
    equation = (
        y * sin(2 * mean_longitude)
        - 2 * eccentricity * sin(anomaly)
        + 4 * eccentricity * y * sin(anomaly) * cos(2 * mean_longitude)
        - 0.5 * y * y * sin(4 * mean_longitude)
        - 1.25 * eccentricity**2 * sin(2 * anomaly)
    )
    return declination, 4 * degrees(equation)


def _hour_angle(latitude_rad: float, declination_rad: float, zenith_rad: float) -> float | None:
    cosine = (cos(zenith_rad) - sin(latitude_rad) * sin(declination_rad)) / (cos(latitude_rad) * cos(declination_rad))
    return acos(cosine) if -1 <= cosine <= 1 else None
