"""When it gets light and dark at the pond."""

from datetime import UTC, date, datetime, timedelta
from math import acos, asin, cos, degrees, radians, sin, tan

from evenwater.domain.errors import require_between

# Civil twilight: the sun's centre 6 degrees below the horizon; one can still see what one does.
_ZENITH_DEG = 96.0


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
        (after Meeus, Astronomical Algorithms, ch. 25); the moment is found by two passes. Within a minute below 60°.
    """
    require_between("latitude", latitude, -66, 66, "°")
    require_between("longitude", longitude, -180, 180, "°")
    edges: list[datetime] = []
    for side in (-1, 1):
        minutes = 720.0 - 4 * longitude
        for _ in range(3):
            declination, equation_min = _sun(_century(on, minutes))
            hour_angle = _hour_angle(radians(latitude), declination)
            if hour_angle is None:
                return None
            minutes = 720.0 - 4 * longitude - equation_min + side * 4 * degrees(hour_angle)
        edges.append(datetime(on.year, on.month, on.day, tzinfo=UTC) + timedelta(minutes=minutes))
    return edges[0], edges[1]


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


def _hour_angle(latitude_rad: float, declination_rad: float) -> float | None:
    cosine = (cos(radians(_ZENITH_DEG)) - sin(latitude_rad) * sin(declination_rad)) / (
        cos(latitude_rad) * cos(declination_rad)
    )
    return acos(cosine) if -1 <= cosine <= 1 else None
