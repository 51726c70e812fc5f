"""What the water's temperature does hour by hour when left alone, and with heat given: linear in each hour."""

from datetime import datetime

from msgspec import Struct


class Course(Struct, frozen=True, kw_only=True):
    """Hours from `starts_at` (UTC, a whole hour): C dT/dt = gain - loss T + heat.

    `capacity_j_per_k` [J/K]; `gain_w` [W] is everything that does not hang on the water's temperature T [°C],
    `loss_w_per_k` [W/K] what does.
    """

    starts_at: datetime
    capacity_j_per_k: float
    gain_w: tuple[float, ...]
    loss_w_per_k: tuple[float, ...]
