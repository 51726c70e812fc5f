"""The slow change of the setpoint in autumn and spring, as the dates on which it is set, and to what."""

from collections.abc import Iterator
from datetime import date, timedelta
from math import ceil
from typing import Final

from msgspec import Struct

from evenwater.domain.errors import require_between
from evenwater.domain.kit import SeasonSteps
from evenwater.domain.warmth.heater.tariff_clock import YEARS

SETPOINT_C: Final = (1.0, 32.0)
"""What a pond's thermostat is set to [°C]."""

DEGREES_PER_STEP: Final = (0.1, 3.0)
"""One step [K]. A degree every two to three days is common practice, no source."""

DAYS_PER_STEP: Final = (1.0, 30.0)
"""From one step to the next [days]."""

# Days that come out whole but for the last digit of a float.
_ROUNDING = 1e-9
_DIGITS = 6


class DatedSetting(Struct, frozen=True):
    """From this date on the setpoint [°C] is this."""

    on: date
    setpoint_c: float


def dated_settings(steps: SeasonSteps) -> tuple[DatedSetting, ...]:
    """Every setting of a step-down or step-up, with its date.

    Args:
        steps: From and to [°C], 1 to 32; 0.1 to 3 K a step; 1 to 30 days from one to the next; begins 1970 to 2200.

    Returns:
        First what it is on `starts_on`, last what it comes to, which the last step may reach with less. A step that
        would fall within a day is made on the day after: never sooner than was agreed.

    Raises:
        OutOfRange: A number is outside its range, or is NaN.

    Source:
        Arithmetic. No study fixes how fast is safe; harm was shown at 7 °C and more at once.

    >>> [one.setpoint_c for one in dated_settings(SeasonSteps(from_c=15, to_c=12.5, starts_on=date(2026, 11, 1)))]
    [15.0, 14.0, 13.0, 12.5]
    """
    require_between("starts_on", steps.starts_on.year, *YEARS)
    require_between("from_c", steps.from_c, *SETPOINT_C, "°C")
    require_between("to_c", steps.to_c, *SETPOINT_C, "°C")
    require_between("degrees_per_step", steps.degrees_per_step, *DEGREES_PER_STEP, "K")
    require_between("days_per_step", steps.days_per_step, *DAYS_PER_STEP, "days")
    return tuple(_settings(steps))


def _settings(steps: SeasonSteps) -> Iterator[DatedSetting]:
    way_c = steps.to_c - steps.from_c
    count = ceil(abs(way_c) / steps.degrees_per_step - _ROUNDING)
    step_c = steps.degrees_per_step if way_c > 0 else -steps.degrees_per_step
    for number in range(count + 1):
        days = ceil(number * steps.days_per_step - _ROUNDING)
        setpoint_c = steps.to_c if number == count else steps.from_c + number * step_c
        yield DatedSetting(steps.starts_on + timedelta(days=days), round(float(setpoint_c), _DIGITS))
