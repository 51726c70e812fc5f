"""The series of numbers that probes, loggers and a weather service send: one name, unit and possible range each.

- A stored name is "{pond}/{series}". What a weather service says of air, wind and sky has names of its own,
  "service_air_c": it never stands in the way of the pond's own probe.
- The range is what an instrument can show at all; outside it a value is a fault of the instrument, and refused.
- `over_hour`: what one number stands for a whole hour. Of a counter (heater_kwh) that is the last it showed, since a
  mean of a counter is nothing it ever showed; of rain and snow the sum; of gusts the greatest; else the mean.
"""

from datetime import UTC, datetime, timedelta
from typing import Literal

from msgspec import Struct

from evenwater.domain.errors import Contradiction, Missing, NotOneOf, require_between

OverHour = Literal["mean", "last", "sum", "greatest"]

SERVICE = "service_"
EARLIEST = datetime(2000, 1, 1, tzinfo=UTC)
CLOCK_MAY_LEAD = timedelta(minutes=10)
PRICES_AHEAD = timedelta(days=400)


class Series(Struct, frozen=True):
    """A series: `low` to `high` in `unit`, both allowed; `ahead`: how far in the future a value may lie."""

    series: str
    label: str
    unit: str
    low: float
    high: float
    over_hour: OverHour = "mean"
    ahead: timedelta = CLOCK_MAY_LEAD


_POND = (
    Series("water_c", "Water temperature", "°C", -1, 40),
    Series("house_c", "Air in the filter house", "°C", -40, 70),
    Series("house_humidity_fraction", "Humidity in the filter house", "", 0, 1),
    Series("heater_kwh", "Heater's energy, as its counter shows it", "kWh", 0, 10_000_000, "last"),
    Series("heater_w", "Heater's power", "W", 0, 100_000),
    Series("price_per_kwh", "Price of a kWh", "per kWh", -100, 1000, ahead=PRICES_AHEAD),
)
_WEATHER = (
    Series("air_c", "Air temperature", "°C", -60, 60),
    Series("humidity_fraction", "Humidity of the air", "", 0, 1),
    Series("wind_m_per_s", "Wind", "m/s", 0, 120),
    Series("gust_m_per_s", "Gusts", "m/s", 0, 150, "greatest"),
    Series("cloud_fraction", "Cloud", "", 0, 1),
    Series("sun_w_per_m2", "Sun on a level surface", "W/m²", 0, 1500),
    Series("rain_mm", "Rain, and snow as water", "mm", 0, 500, "sum"),
    Series("snow_cm", "Fresh snow", "cm", 0, 300, "sum"),
)

# What a probe, a logger or a file may send.
OWN: dict[str, Series] = {one.series: one for one in (*_POND, *_WEATHER)}
WEATHER: tuple[str, ...] = tuple(one.series for one in _WEATHER)
OVER_HOUR: dict[str, OverHour] = {one.series: one.over_hour for one in OWN.values()}
OVER_HOUR.update({SERVICE + one.series: one.over_hour for one in _WEATHER})


def series_name(pond: str, series: str) -> str:
    """The name a pond's series is stored by.

    >>> series_name("main", "water_c")
    'main/water_c'
    """
    return f"{pond}/{series}"


def check_sample(series: str, at: datetime, value: float, now: datetime) -> None:
    """Look at one value of a series before it is kept.

    Raises:
        NotOneOf: there is no such series.
        Missing: the time names no zone.
        Contradiction: the time lies before 2000 or in the future.
        OutOfRange: no instrument shows such a value, NaN included.
    """
    known = OWN.get(series)
    if known is None:
        raise NotOneOf("series", series[:60], OWN)
    if at.tzinfo is None:
        raise Missing("the time names no zone", where="at", right="2026-11-03T16:30:00Z, or with +01:00")
    if at < EARLIEST:
        raise Contradiction("the time lies before 2000", where="at", right="the logger's clock set right")
    if at > now + known.ahead:
        right = f"at most {known.ahead // timedelta(minutes=1)} minutes ahead of {now.isoformat(timespec='seconds')}"
        raise Contradiction("the time lies in the future", where="at", right=right)
    require_between("value", value, known.low, known.high, known.unit)
