"""The air at the pond hour by hour, put together from whoever tells it: a probe, the keeper, a weather service.

- Each source is asked in turn and fills the hours it knows; the nearer to the pond wins: its own probe, then what the
  keeper typed, then the service. A forecast somebody typed wins over the service's.
- What nobody tells stays NaN in the air's temperature; humidity, wind, cloud and sun fall back on usual values.
"""

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import pairwise
from math import cos, exp, pi, radians, sin
from typing import Final

import numpy as np
from msgspec import Struct

from evenwater.domain.entries import AirForecast, Reading, zone_named
from evenwater.domain.fold import Seen, readings_of
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.heat.heat_balance import Numbers, Weather
from evenwater.domain.warmth.heat.sun import sun_height_deg, sunrise_and_sunset

HOUR = timedelta(hours=1)
Points = Sequence[tuple[datetime, float]]
ByHour = Mapping[str, Points]

# Where nobody tells; all common practice, no source.
_HUMIDITY, _WIND_M_PER_S, _CLOUD, _DAILY_SPAN_K = 0.85, 0.8, 0.6, 7.0
_SHELTER: Final = 0.3
"""Wind at the water, of what a station's mast has [–]. Our own: hedges and walls stand about a pond."""
_JOINED: Final = timedelta(hours=15)
"""Readings of the air nearer together than this are joined by a straight line."""


class Samples(Struct, frozen=True, kw_only=True):
    """What probes and the weather service sent of a pond: values by the hour, the last forecast, when heard last.

    `forecast`: when it was issued, and its hours. `failure`: why the service could not be asked lately, in a sentence.
    """

    measured: ByHour = {}
    forecast: tuple[datetime, ByHour] | None = None
    last_heard: Mapping[str, datetime] = {}
    failure: str | None = None


class PondAir(Struct, frozen=True, kw_only=True):
    """The air from `weather.starts_at` on, hour by hour; `says` where it comes from; `missing` days have hours without.

    `ahead`: hours from now on that are foretold; `gust_m_per_s`, `snow_cm` of those to come, NaN where not known.
    """

    weather: Weather
    says: str
    ahead: int
    missing: tuple[date, ...]
    gust_m_per_s: Numbers
    snow_cm: Numbers


def air_of(
    pond: Pond, facts: Sequence[Seen], samples: Samples, since: datetime, until: datetime, now: datetime
) -> PondAir:
    """The air at a pond from a whole hour on, up to another.

    Args:
        pond: Its place and zone.
        facts: The pond's standing facts, oldest first.
        samples: What probes and the service sent.
        since: First hour, UTC.
        until: End, UTC.
        now: The moment, aware.
    """
    hours = round((until - since) / HOUR)
    frame = _Frame(since, hours, (now - since) / HOUR)
    air = frame.filled(samples.measured.get("service_air_c", ()))
    forecast: ByHour = samples.forecast[1] if samples.forecast else {}
    frame.fill_ahead(air, forecast.get("air_c", ()))
    typed = read(facts, "air_temperature_c", "outside")
    _join(frame, air, typed)
    told = _typed_forecasts(frame, air, pond, facts, typed)
    own = frame.filled(samples.measured.get("air_c", ()))
    air = np.where(np.isnan(own), air, own)
    cloud = _or_usual(frame, samples, forecast, "cloud_fraction", _CLOUD)
    wind = _or_usual(frame, samples, forecast, "wind_m_per_s", _WIND_M_PER_S / _SHELTER) * _SHELTER
    sun = _told(frame, samples, forecast, "sun_w_per_m2")
    now_h = min(hours, max(0, int(frame.now_h)))
    return PondAir(
        weather=Weather(
            starts_at=since,
            air_c=air,
            humidity_fraction=_or_usual(frame, samples, forecast, "humidity_fraction", _HUMIDITY),
            wind_m_per_s=wind,
            cloud_fraction=cloud,
            sun_w_per_m2=np.where(np.isnan(sun), usual_sun(pond, since, cloud, every=4), sun)
            if np.isnan(sun).any()
            else sun,
        ),
        says=_says(samples, told, bool(np.isfinite(own[:now_h]).any()), bool(typed), now),
        ahead=int(np.argmax(np.isnan(np.append(air[now_h:], np.nan)))),
        missing=_missing(frame, air[:now_h], pond),
        gust_m_per_s=_told(frame, samples, forecast, "gust_m_per_s"),
        snow_cm=_told(frame, samples, forecast, "snow_cm"),
    )


def read(facts: Sequence[Seen], quantity: str, point: str) -> list[tuple[datetime, float]]:
    """Readings of a quantity at a point as (at, value), oldest first."""
    return [(one.at, one.entry.value) for one in readings_of(facts, quantity, point) if isinstance(one.entry, Reading)]


class _Frame(Struct, frozen=True):
    """The hours that are asked for."""

    since: datetime
    hours: int
    now_h: float

    def place(self, at: datetime) -> float:
        return (at - self.since) / HOUR

    def filled(self, points: Points) -> Numbers:
        """Values at their hours, NaN elsewhere."""
        found = np.full(self.hours, np.nan)
        for at, value in points:
            hour = int(self.place(at))
            if 0 <= hour < self.hours:
                found[hour] = value
        return found

    def fill_ahead(self, values: Numbers, points: Points) -> None:
        """Put a forecast into the hours from now on, and into those before that nothing else tells."""
        for hour, value in enumerate(self.filled(points)):
            if np.isfinite(value) and (hour >= int(self.now_h) or np.isnan(values[hour])):
                values[hour] = value


def _told(frame: _Frame, samples: Samples, forecast: ByHour, series: str) -> Numbers:
    found = frame.filled(samples.measured.get(f"service_{series}", ()))
    frame.fill_ahead(found, forecast.get(series, ()))
    own = frame.filled(samples.measured.get(series, ()))
    return np.where(np.isnan(own), found, own)


def _or_usual(frame: _Frame, samples: Samples, forecast: ByHour, series: str, usual: float) -> Numbers:
    found = _told(frame, samples, forecast, series)
    return np.where(np.isnan(found), usual, found)


def _join(frame: _Frame, air: Numbers, points: Points) -> None:
    """Straight lines between readings that are near enough, where nothing is known; an hour about a lone one."""
    for at, value in points:
        hour = int(frame.place(at))
        if 0 <= hour < frame.hours and np.isnan(air[hour]):
            air[hour] = value
    for (at, value), (next_at, next_value) in pairwise(points):
        if timedelta(0) < next_at - at <= _JOINED:
            _fill(frame, air, at, value, next_at, next_value, curved=False)


def _typed_forecasts(frame: _Frame, air: Numbers, pond: Pond, facts: Sequence[Seen], typed: Points) -> bool:
    """A night's low as typed, and the next day's high: a soft curve through them. Whether there is one to come."""
    told = {one.entry.on: one.entry for one in facts if isinstance(one.entry, AirForecast)}
    zone, ahead = zone_named(pond.zone), False
    for on, forecast in sorted(told.items()):
        low_at, high_at = _dawn(pond, on + timedelta(days=1)), _local(on + timedelta(days=1), 15, zone)
        high_c = forecast.low_c + _DAILY_SPAN_K if forecast.high_c is None else forecast.high_c
        start_at = _local(on, 15, zone)
        before = [(at, value) for at, value in typed if start_at - HOUR * 4 <= at < low_at]
        yesterday = told.get(on - timedelta(days=1))
        start_c = yesterday.high_c if yesterday and yesterday.high_c is not None else forecast.low_c + _DAILY_SPAN_K
        if before:
            start_at, start_c = before[-1]
        ahead = ahead or frame.place(high_at) > frame.now_h
        _fill(frame, air, start_at, start_c, low_at, forecast.low_c, curved=True)
        _fill(frame, air, low_at, forecast.low_c, high_at, high_c, curved=True)
    return ahead


def _fill(
    frame: _Frame, air: Numbers, at: datetime, value: float, until: datetime, next_value: float, *, curved: bool
) -> None:
    """From one value to the next, in hours nothing is known of; a typed forecast also stands before a service's."""
    first, last = frame.place(at), frame.place(until)
    for hour in range(max(0, int(first)), min(frame.hours, int(last) + 1)):
        if np.isnan(air[hour]) or (curved and hour >= int(frame.now_h)):
            share = min(1.0, max(0.0, (hour + 0.5 - first) / max(last - first, 1e-9)))
            eased = (1 - cos(pi * share)) / 2 if curved else share
            air[hour] = value + (next_value - value) * eased


def _local(on: date, hour: int, zone: tzinfo) -> datetime:
    return datetime.combine(on, time(hour), zone).astimezone(UTC)


def _dawn(pond: Pond, on: date) -> datetime:
    """When it is coldest: sunrise, or 6:30 where the place is not known."""
    if pond.latitude is not None and pond.longitude is not None:
        edges = sunrise_and_sunset(on, pond.latitude, pond.longitude)
        if edges is not None:
            return edges[0]
    return _local(on, 6, zone_named(pond.zone)) + HOUR / 2


def usual_sun(pond: Pond, starts_at: datetime, cloud: Numbers, every: int = 1) -> Numbers:
    """Sun on level ground by its height and the clouds [W/m²], by the hour; its height anew `every` so many days.

    Source:
        Clear sky: Haurwitz (1945), J. Meteorol. 2, 154-166. Clouds: Kasten & Czeplak (1980), Solar Energy 24, 177-189.
        Both from memory.
    """
    latitude = 50.0 if pond.latitude is None else pond.latitude
    longitude = 0.0 if pond.longitude is None else pond.longitude
    found = np.zeros(len(cloud))
    for hour in range(len(cloud)):
        if hour >= 24 and hour // 24 % every:
            found[hour] = found[hour - 24]
            continue
        height = sin(radians(sun_height_deg(starts_at + HOUR * (hour + 0.5), latitude, longitude)))
        if height > 0.02:
            found[hour] = 1098 * height * exp(-0.057 / height)
    return found * (1 - 0.75 * cloud**3.4)


def _missing(frame: _Frame, past: Numbers, pond: Pond) -> tuple[date, ...]:
    zone = zone_named(pond.zone)
    days = {(frame.since + HOUR * int(hour)).astimezone(zone).date() for hour in np.flatnonzero(np.isnan(past))}
    return tuple(sorted(days))


def _says(samples: Samples, typed_ahead: bool, probe: bool, typed: bool, now: datetime) -> str:
    """Where the air comes from, and how old a forecast is."""
    parts: list[str] = []
    if probe:
        parts.append("air by the pond's own probe")
    elif samples.measured.get("service_air_c"):
        parts.append("air by the weather service")
    elif typed:
        parts.append("air as typed in")
    if typed_ahead:
        parts.append("forecast as typed in")
    elif samples.forecast is not None:
        hours = (now - samples.forecast[0]) / HOUR
        age = "of this hour" if hours < 1 else f"{hours:.0f} hours old" if hours < 48 else f"{hours / 24:.0f} days old"
        parts.append(f"forecast {age}")
    if samples.failure and not typed_ahead:
        parts.append(samples.failure.rstrip("."))
    return "; ".join(parts)
