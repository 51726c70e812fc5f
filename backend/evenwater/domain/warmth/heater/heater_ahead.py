"""The hours ahead as a heater meets them: the water's course, what heat costs, when the time switch allows it."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from evenwater.domain.errors import Contradiction
from evenwater.domain.kit import Heater
from evenwater.domain.units import SECONDS_PER_HOUR
from evenwater.domain.warmth.course import Course

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]

USUAL_COP: Final = ((-5.0, 2.5), (15.0, 4.5))
"""Of a heat pump whose COP nobody told, by air temperature [°C]. Common practice, no source."""


class Ahead(Struct, frozen=True, kw_only=True):
    """The steps ahead, all of `step_s` [s]: the water's course, and what heat costs in each.

    `cop`: heat per electricity [–]. `cheap`: in the cheapest window. `lets_heat`: the time switch, if any, allows it.
    """

    starts_at: datetime
    step_s: float
    capacity_j_per_k: float
    gain_w: tuple[float, ...]
    loss_w_per_k: tuple[float, ...]
    price_per_kwh: tuple[float, ...]
    cop: tuple[float, ...]
    cheap: tuple[bool, ...]
    lets_heat: tuple[bool, ...]

    def moment(self, step: int) -> datetime:
        """When a step begins."""
        return self.starts_at + timedelta(seconds=self.step_s * step)

    @property
    def heat_price(self) -> Floats:
        """What a kWh of heat costs in each step."""
        return np.array(self.price_per_kwh) / np.array(self.cop)


def look_ahead(
    course: Course, heater: Heater, prices: Sequence[float], air_c: Sequence[float], cheap: Sequence[bool]
) -> Ahead:
    """The steps ahead of a heater. Prices and cheap flags may come by the hour or finer; air by the hour.

    Raises:
        Contradiction: The lengths do not fit.
    """
    hours = len(course.gain_w)
    per_hour = len(prices) // hours if hours else 0
    if not per_hour or len(prices) != per_hour * hours or len(cheap) != len(prices) or len(air_c) != hours:
        raise Contradiction(
            f"{hours} hours of water, {len(prices)} prices, {len(cheap)} cheap flags, {len(air_c)} air temperatures",
            where="prices",
            right="as many air temperatures as hours; prices and flags a whole number for each hour",
        )
    cops = cop_at(heater, np.array(air_c, dtype=np.float64)).tolist()
    flags = tuple(bool(flag) for flag in cheap)
    return Ahead(
        starts_at=course.starts_at,
        step_s=SECONDS_PER_HOUR / per_hour,
        capacity_j_per_k=course.capacity_j_per_k,
        gain_w=tuple(gain for gain in course.gain_w for _ in range(per_hour)),
        loss_w_per_k=tuple(loss for loss in course.loss_w_per_k for _ in range(per_hour)),
        price_per_kwh=tuple(prices),
        cop=tuple(cop for cop in cops for _ in range(per_hour)),
        cheap=flags,
        lets_heat=flags if heater.time_switch else (True,) * len(flags),
    )


def cop_at(heater: Heater, air_c: Floats) -> Floats:
    """Heat given per electricity drawn [–] at air temperatures [°C]: 1 of an electric heater.

    Straight lines between the told points, level beyond them.
    """
    if heater.kind == "electric":
        return np.ones_like(air_c)
    points = sorted(heater.cop or USUAL_COP)
    return np.interp(air_c, [air for air, _ in points], [cop for _, cop in points])
