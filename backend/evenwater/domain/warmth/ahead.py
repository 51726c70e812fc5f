"""Where the water goes from now on, covered and open, with its band."""

from datetime import datetime, timedelta
from math import sqrt

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.learn.estimate import BAND_SIGMAS
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.loss_filter import LossFilter, T
from evenwater.domain.warmth.outlook import Fan

HOUR = timedelta(hours=1)


class Way(Struct, frozen=True):
    """Mean [°C] and band at the end of each hour from now on."""

    starts_at: datetime
    mean_c: tuple[float, ...]
    half_k: tuple[float, ...]

    def fan(self, until: datetime) -> Fan:
        """(at, low, middle, high) by the hour, up to a moment."""
        return tuple(
            (self.starts_at + HOUR * hour, mean_c - half_k, mean_c, mean_c + half_k)
            for hour, (mean_c, half_k) in enumerate(zip(self.mean_c, self.half_k, strict=True))
            if self.starts_at + HOUR * hour <= until
        )

    def at(self, at: datetime) -> tuple[float, float]:
        """Mean [°C] and half the band [K] at a moment."""
        hour = min(max((at - self.starts_at) / HOUR, 0.0), len(self.mean_c) - 1.0)
        hours = range(len(self.mean_c))
        return float(np.interp(hour, hours, self.mean_c)), float(np.interp(hour, hours, self.half_k))


def way(heat: Heat, covered: float, from_at: datetime, hours: int, start: Way | None = None) -> Way | None:
    """The water from a moment on without its heater, the cover lying the same throughout; None where nothing is known.

    `start`: where the water is at that moment when it lies ahead; its spread is added to.
    """
    if heat.belief is None:
        return None
    belief = replace(heat.belief, foretold=(), left_out=())
    place = heat.place(from_at)
    if start is not None:
        mean_c, half_k = start.at(from_at)
        mean, covariance = belief.mean.copy(), belief.covariance.copy()
        mean[T], covariance[T, T] = mean_c, (half_k / BAND_SIGMAS) ** 2
        belief = replace(belief, mean=mean, covariance=covariance, at_h=place)
    off = replace(
        heat.known,
        covers=[(0.0, covered)],
        readings=[],
        heat_w=np.zeros(len(heat.known.heat_w)),
    )
    means, halves = [float(belief.mean[T])], [BAND_SIGMAS * sqrt(max(float(belief.covariance[T, T]), 0.0))]
    for hour in range(1, hours + 1):
        if place + hour > int(heat.now_h) + heat.air.ahead:  # from there on nobody tells the air
            break
        belief = LossFilter(belief, heat.fluxes, off).run(place + hour)
        means.append(float(belief.mean[T]))
        halves.append(BAND_SIGMAS * sqrt(max(float(belief.covariance[T, T]), 0.0)))
    return Way(from_at, tuple(means), tuple(halves))
