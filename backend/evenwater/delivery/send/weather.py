"""Asks an open weather service what the weather is and will be, in Open-Meteo's public forecast format.

- What goes out: the pond's place to 0.1 degree, some ten kilometres, and nothing else of the household.
- What comes back is believed only as far as it was checked: size, time taken, shape, units, hours. A null, or a value
  no instrument shows, is left out; without a day of air temperatures ahead the whole answer counts for nothing.
- An hour is told by its beginning. The service tells sun, gusts, rain and snow of the hour BEFORE its time, so those
  move back by one; temperature, humidity, wind and cloud are those of the moment.

Source:
    Open-Meteo, Weather Forecast API, "Hourly Parameter Definition" (open-meteo.com/en/docs): which values are instant,
    and which a mean, a sum or a maximum of the preceding hour.
"""

import asyncio
from datetime import UTC, datetime, timedelta
from typing import Annotated

import httpx
import msgspec
from msgspec import Meta, Struct

from evenwater.domain.units import SECONDS_PER_HOUR
from evenwater.domain.warmth.series import OWN

MAX_BYTES = 1_000_000
TIME_LIMIT_S = 10.0
PAST_DAYS, FORECAST_DAYS = 2, 4
_LEAST_HOURS_AHEAD = 24
_HOUR = timedelta(hours=1)

Values = Annotated[list[float | None], Meta(max_length=400)]


class NoWeather(Exception):
    """Nothing usable came back; the text is one plain sentence."""


class Told(Struct, frozen=True):
    """A value for the hour that begins at `at`; `is_forecast` when that hour, or that moment, is still to come."""

    series: str
    at: datetime
    value: float
    is_forecast: bool


class _Variable(Struct, frozen=True):
    """How the service names a series, the unit it gives it in, and by what that is divided to get ours."""

    series: str
    unit: str
    divisor: float = 1.0
    of_hour_before: bool = False


_VARIABLES = {
    "temperature_2m": _Variable("air_c", "°C"),
    "relative_humidity_2m": _Variable("humidity_fraction", "%", 100.0),
    "wind_speed_10m": _Variable("wind_m_per_s", "m/s"),
    "wind_gusts_10m": _Variable("gust_m_per_s", "m/s", of_hour_before=True),
    "cloud_cover": _Variable("cloud_fraction", "%", 100.0),
    "shortwave_radiation": _Variable("sun_w_per_m2", "W/m²", of_hour_before=True),
    "precipitation": _Variable("rain_mm", "mm", of_hour_before=True),
    "snowfall": _Variable("snow_cm", "cm", of_hour_before=True),
}


class _Hourly(Struct):
    """The table of hours. A variable the service does not know is not there."""

    time: Annotated[list[int], Meta(min_length=1, max_length=400)]
    temperature_2m: Values
    relative_humidity_2m: Values = []
    wind_speed_10m: Values = []
    wind_gusts_10m: Values = []
    cloud_cover: Values = []
    shortwave_radiation: Values = []
    precipitation: Values = []
    snowfall: Values = []


class _Answer(Struct):
    hourly_units: dict[str, str]
    hourly: _Hourly


async def ask_weather(url: str, latitude: float, longitude: float, now: datetime) -> list[Told]:
    """The weather of two days back and four ahead at a place [°], rounded to 0.1 degree.

    Raises:
        NoWeather: the service is silent, slow, refuses, or what it sends cannot be used.
    """
    asked = {
        "latitude": f"{latitude:.1f}",
        "longitude": f"{longitude:.1f}",
        "hourly": ",".join(_VARIABLES),
        "wind_speed_unit": "ms",
        "timezone": "UTC",
        "timeformat": "unixtime",
        "past_days": str(PAST_DAYS),
        "forecast_days": str(FORECAST_DAYS),
    }
    return read_weather(await _fetch(url, asked), now)


async def _fetch(url: str, asked: dict[str, str]) -> bytes:
    # Unpacked by nobody: a small packed answer can be a very large one.
    headers = {"Accept-Encoding": "identity", "User-Agent": "evenwater"}
    try:
        async with (
            asyncio.timeout(TIME_LIMIT_S),
            httpx.AsyncClient(timeout=TIME_LIMIT_S, headers=headers) as client,
            client.stream("GET", url, params=asked) as response,
        ):
            _require_good(response)
            return await _body(response)
    except (TimeoutError, httpx.TimeoutException):
        raise NoWeather(f"the weather service did not answer within {TIME_LIMIT_S:.0f} seconds") from None
    except (httpx.HTTPError, httpx.InvalidURL) as error:
        raise NoWeather("the weather service cannot be reached") from error


def _require_good(response: httpx.Response) -> None:
    if response.status_code == 429:
        raise NoWeather("the weather service has been asked too often (429)")
    if response.status_code != 200:
        raise NoWeather(f"the weather service answered with an error ({response.status_code})")
    if response.headers.get("content-encoding", "identity") != "identity":
        raise NoWeather("the weather service packs its answer though asked not to")


async def _body(response: httpx.Response) -> bytes:
    body = bytearray()
    async for piece in response.aiter_raw():
        body += piece
        if len(body) > MAX_BYTES:
            raise NoWeather("the weather service sent more than 1 MB")
    return bytes(body)


def read_weather(body: bytes, now: datetime) -> list[Told]:
    """What an answer says, checked.

    Raises:
        NoWeather: it cannot be used.
    """
    try:
        answer = msgspec.json.decode(body, type=_Answer)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise NoWeather("what the weather service sent cannot be read") from error
    hours = _hours(answer.hourly.time, now)
    told: list[Told] = []
    for name, variable in _VARIABLES.items():
        values: list[float | None] = getattr(answer.hourly, name)
        if not values:
            continue
        if len(values) != len(hours):
            raise NoWeather(f"the weather service tells {len(hours)} hours, but {len(values)} values of {name}")
        if answer.hourly_units.get(name) != variable.unit:
            raise NoWeather(f"the weather service tells {name} in another unit than {variable.unit}")
        told += _told(variable, hours, values, now)
    ahead = sum(one.is_forecast for one in told if one.series == "air_c")
    if ahead < _LEAST_HOURS_AHEAD:
        raise NoWeather(f"the weather service tells air temperatures for {ahead} hours ahead, too few to plan by")
    return told


def _hours(times: list[int], now: datetime) -> list[datetime]:
    first, step_s = times[0], int(SECONDS_PER_HOUR)
    earliest, latest = now - timedelta(days=PAST_DAYS + 2), now + timedelta(days=FORECAST_DAYS + 1)
    if first % step_s or times != list(range(first, first + len(times) * step_s, step_s)):
        raise NoWeather("the hours the weather service tells do not follow each other")
    if not earliest.timestamp() <= first <= times[-1] <= latest.timestamp():
        raise NoWeather("the weather service tells other days than those asked for")
    return [datetime.fromtimestamp(one, UTC) for one in times]


def _told(variable: _Variable, hours: list[datetime], values: list[float | None], now: datetime) -> list[Told]:
    known = OWN[variable.series]
    back = _HOUR if variable.of_hour_before else timedelta(0)
    return [
        Told(variable.series, at - back, value / variable.divisor, at > now)
        for at, value in zip(hours, values, strict=True)
        if value is not None and known.low <= value / variable.divisor <= known.high
    ]
