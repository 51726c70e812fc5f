"""What is asked of a heater plan, and what one is. Plain records; `heater_plan` makes them."""

from datetime import datetime

from msgspec import Struct

from evenwater.domain.workings import Workings


class Wish(Struct, frozen=True, kw_only=True):
    """What the keeper wants: the band [°C], the most it may change in a day [K], and what is set by habit.

    `evening_hour` and `morning_hour`: when a keeper without a time switch goes to the thermostat, by the pond's clock.
    """

    low_c: float
    high_c: float
    change_limit_c_per_day: float = 1.0
    target_c: float | None = None
    evening_hour: int = 22
    morning_hour: int = 7

    @property
    def habit_c(self) -> float:
        """What the habit sets [°C]: the target, or the middle of the band."""
        return (self.low_c + self.high_c) / 2 if self.target_c is None else self.target_c


class Window(Struct, frozen=True):
    """A setting from one moment to another (UTC); None is off. What it is expected to take and cost."""

    begins_at: datetime
    ends_at: datetime
    setting_c: float | None
    kwh: float
    cost: float


class Habit(Struct, frozen=True):
    """What would come of the keeper's habit: one setting at all times the heater may heat."""

    setting_c: float
    kwh: float
    cost: float
    lowest_c: float
    mean_c: float
    end_c: float


class Saving(Struct, frozen=True):
    """Money a night, with the heat left in the water counted at the cheap price, and the temperature it costs [K]."""

    money_per_night: float
    cooler_mean_c: float
    cooler_end_c: float


class HeaterPlan(Struct, frozen=True, kw_only=True):
    """The plan, what it does to the water, and what else could be done.

    `cost` is what is paid. `ideal_cost`: what no heating with the same end could undercut; None where the band cannot
    be kept. `beyond_switch`: hours that the time switch does not give. `gap_fraction`: how far these hours may be from
    the best, where a mixed-integer programme found them. `water_c`: at the end of each hour.
    """

    begins_at: datetime
    ends_at: datetime
    windows: tuple[Window, ...]
    keeps_band: bool
    beyond_switch: bool
    kwh: float
    cost: float
    lowest_c: float
    lowest_at: datetime
    mean_c: float
    end_c: float
    swing_k: float
    water_c: tuple[float, ...]
    habit: Habit
    against_habit: Saving
    one_degree_less: Saving
    ideal_cost: float | None
    gap_fraction: float | None
    says: tuple[str, ...]
    problems: tuple[str, ...]
    workings: Workings | None
