"""A heated pond through the year, as its keeper writes it down: covers, water and air twice a day, the setting.

The water is a simulated one, heated in the cheap hours to whatever was last set; all of it is invented.
"""

from datetime import datetime, timedelta
from math import cos, pi
from typing import Any

from journeys.household import ZONE, Caller

SETTINGS: dict[str, Any] = {
    "inflow_l_per_day": 0,
    "cover": {"kind": "multiwall", "thickness_mm": 16},
    "heater": {"power_w": 6000, "step_c": 0.5},
    "tariff": {
        "windows": [{"from": "00:30", "to": "07:30", "rate_per_kwh": 0.15}],
        "otherwise_rate_per_kwh": 0.4,
        "currency": "€",
    },
    "appliances": [{"name": "Pump", "power_w": 110, "heats_fraction": 1}],
    "warm_low_c": 20,
    "warm_high_c": 23,
    "season_floor_c": 12,
    "worth_per_day": 2.5,
}
LOSS_K_PER_DAY_K, HEATED_K = 0.1, 2.0
"""How much of the difference to the air the water loses in a day, and the most a night's heating gives back [K]."""


class Keeping:
    """Somebody looks after the pond from `since` on, day after day; `air` is a day's mean air [°C]."""

    def __init__(self, keeper: Caller, since: datetime, water_c: float) -> None:
        self.keeper, self.next, self.water_c, self.setting_c = keeper, since, water_c, water_c
        self._set(since + timedelta(hours=17), water_c)

    def live(self, days: int, air_c: float) -> None:
        """So many days; ends on the evening of the last."""
        entries: list[dict[str, Any]] = []
        for _ in range(days):
            for hour in (8, 17):
                at = self.next + timedelta(hours=hour)
                self._heat_and_lose(hour, air_c)
                outside = air_c + 3 * cos((hour - 15) / 12 * pi)
                entries += [
                    self.keeper.entry("reading", at, quantity="temperature_c", value=round(self.water_c, 1)),
                    self.keeper.entry(
                        "reading", at, quantity="air_temperature_c", value=round(outside, 1), point="outside"
                    ),
                    self.keeper.tick("cover", "off" if hour == 8 else "on", at + timedelta(minutes=4)),
                ]
            self.next += timedelta(days=1)
        for start in range(0, len(entries), 200):
            self.keeper.keep(*entries[start : start + 200])

    def warm_spell(self, water_c: float) -> None:
        """The sun does it: the water is as warm as this by itself."""
        self.water_c = water_c

    def has_set(self, setting_c: float) -> None:
        """The heater was set on the screen."""
        self.setting_c = setting_c

    def _heat_and_lose(self, hour: int, air_c: float) -> None:
        hours = 15 if hour == 8 else 9
        self.water_c -= LOSS_K_PER_DAY_K * (self.water_c - air_c) * hours / 24
        if hour == 8:
            self.water_c += min(HEATED_K, max(0.0, self.setting_c - self.water_c))

    def _set(self, at: datetime, setting_c: float) -> None:
        self.keeper.keep(self.keeper.tick("heater", "dusk", at.astimezone(ZONE), setting_c=setting_c))
