"""What a pond's log says lately, sorted once: its readings by quantity and point, heater settings, salt.

All of it is asked for as of a reading, never as of the clock, so that what is judged changes only with an entry.
"""

from bisect import bisect
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from statistics import median

from msgspec import Struct

from evenwater.domain.entries import Reading, Salt, Tick
from evenwater.domain.fold import Seen
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES, Point
from evenwater.domain.water.ranges import Around

KEPT = 120
"""Readings of a quantity at a point that are looked at, from the latest back."""
SALT_COURSE = timedelta(days=28)
"""How long after salt was put in a salt course is under way. Common practice, no source."""
_SETTING_HOLDS = timedelta(days=35)
_WATER_FOLLOWS = timedelta(days=2)
_USUAL_OVER = timedelta(days=30)
_USUAL_READINGS = 3


class Read(Struct, frozen=True):
    """A reading: value and step in the stored unit, the step being the kit's or else a common kit's."""

    id: str
    quantity: str
    point: Point
    at: datetime
    on: date
    value: float
    step: float

    @property
    def day(self) -> str:
        """The day it was read, in words."""
        return f"{self.on.day} {self.on:%B}"


class Recent(Struct, frozen=True):
    """The latest of everything an answer rests on; each list oldest first.

    `settings`: when the heater was set to what [°C]. `salts`: when how much sodium chloride was put in [g].
    """

    readings: dict[tuple[str, Point], tuple[Read, ...]]
    settings: tuple[tuple[datetime, float], ...]
    salts: tuple[tuple[datetime, float], ...]

    def of(self, quantity: str, point: Point = "pond") -> tuple[Read, ...]:
        """The latest readings of a quantity at a point, oldest first."""
        return self.readings.get((quantity, point), ())

    def latest(self, quantity: str, point: Point = "pond") -> Read | None:
        """The latest reading, None when there is none."""
        return next(reversed(self.of(quantity, point)), None)

    def nearest(self, quantity: str, at: datetime, within: timedelta) -> Read | None:
        """The reading in the pond nearest in time, before or after; of two as near the later. None when too far."""
        read = self.of(quantity)
        place = bisect(read, at, key=lambda one: one.at)
        near = min(reversed(read[max(0, place - 1) : place + 1]), key=lambda one: abs(one.at - at), default=None)
        return near if near is not None and abs(near.at - at) <= within else None

    def salted_between(self, after: datetime, until: datetime) -> bool:
        """Whether salt was put in after the one moment and up to the other."""
        return any(after < at <= until for at, _ in self.salts)


def recent_of(facts: Sequence[Seen], now: datetime) -> Recent:
    """Sort a pond's standing facts, oldest first, up to `now`."""
    readings: dict[tuple[str, Point], list[Read]] = {}
    settings: list[tuple[datetime, float]] = []
    salts: list[tuple[datetime, float]] = []
    for one in reversed(facts):
        entry = one.entry
        if one.at > now:
            continue
        if isinstance(entry, Reading):
            kept = readings.setdefault((entry.quantity, entry.point), [])
            if len(kept) < KEPT:
                step = entry.step or QUANTITIES[entry.quantity].step
                kept.append(Read(entry.id, entry.quantity, entry.point, one.at, one.on, entry.value, step))
        elif isinstance(entry, Tick) and entry.setting_c is not None and len(settings) < KEPT:
            settings.append((one.at, entry.setting_c))
        elif isinstance(entry, Salt) and entry.salt_g > 0 and len(salts) < KEPT:
            salts.append((one.at, entry.salt_g * entry.purity_fraction))
    return Recent(
        {key: tuple(reversed(kept)) for key, kept in readings.items()},
        tuple(reversed(settings)),
        tuple(reversed(salts)),
    )


def around_of(pond: Pond, recent: Recent, at: datetime) -> Around:
    """What bears on readings taken at that moment."""
    return Around(
        setting_c=_setting_at(recent, at),
        nature_warms=_light_half(pond, at),
        salt_course=recent.salted_between(at - SALT_COURSE, at),
        usual_ec25=_usual_ec25(recent, at),
    )


def _setting_at(recent: Recent, at: datetime) -> tuple[float, float] | None:
    """Lowest and highest setting the water may still be following; None when none was ticked for five weeks."""
    past = [one for one in recent.settings if at - _SETTING_HOLDS <= one[0] <= at]
    if not past:
        return None
    before = [setting_c for set_at, setting_c in past if set_at <= at - _WATER_FOLLOWS][-1:]
    lately = [setting_c for set_at, setting_c in past if set_at > at - _WATER_FOLLOWS]
    return min(before + lately), max(before + lately)


def _light_half(pond: Pond, at: datetime) -> bool:
    """Whether days are longer than nights, so that warmth above the setting is taken for the sun's.

    Our own rule of thumb: a thermostat that sticks shows in the dark half of the year. Without a latitude, always.
    """
    if pond.latitude is None:
        return True
    northern_summer = (3, 20) <= (at.month, at.day) < (9, 23)
    return northern_summer == (pond.latitude >= 0)


def _usual_ec25(recent: Recent, at: datetime) -> float | None:
    """Median conductivity of the thirty days before [µS/cm]; None with under three readings, or while salt goes out."""
    salted_at = max((salted for salted, _ in recent.salts if salted <= at), default=None)
    since = at - _USUAL_OVER
    if salted_at is not None:
        since = max(since, salted_at + SALT_COURSE)
    values = [one.value for one in recent.of("ec25_us_per_cm") if since <= one.at < at]
    return median(values) if len(values) >= _USUAL_READINGS else None
