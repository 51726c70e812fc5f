"""A pond's KH as it may really be, finer than the learner supposes.

Hour by hour: ammonia gathers and is nitrified at a pace that follows the water's warmth, feeding follows the season and
its keeper's moods and pauses; real volume, trickle and source differ from what the keeper told; so do scoop and reader.
"""

import math
import random
from dataclasses import dataclass, field

DKH_PER_G_N_PER_M3 = 0.4003  # complete nitrification; computed in the nitrification module's own checks
TAN_PER_FEED_G = 0.4 * 0.092
SEASONS = ("winter", "spring", "summer", "autumn")


def season_of(day_of_year: int) -> str:
    return SEASONS[(day_of_year % 365 + 31) // 91 % 4]


@dataclass
class Truth:
    """One pond: `well_known` when volume, trickle and source are as the keeper believes."""

    draw: random.Random
    well_known: bool
    volume_l: float = field(init=False)
    day: int = field(init=False)
    kh: float = 5.0
    tan_g: float = 0.0
    fed_g: float = 0.0
    lost_today: float = 0.0

    def __post_init__(self) -> None:
        draw = self.draw
        self.volume_l = round(math.exp(draw.uniform(math.log(4000), math.log(40_000))), -2)
        self.inflow_share = draw.choice((0.0, draw.uniform(0.01, 0.08)))
        self.source = draw.uniform(0.0, 4.0)
        self.day = draw.randrange(365)
        self.usual_feed_g = self.volume_l / 1000 * draw.uniform(2.0, 14.0)
        self.nitrified = draw.uniform(0.35, 0.95)
        self.base = draw.uniform(0.02, 0.08)
        self.mean_c, self.swing_c = draw.uniform(14, 19), draw.uniform(2, 7)
        self.kh = draw.uniform(2.8, 7.5)
        known = 0.0 if self.well_known else 1.0
        self.real_volume_l = self.volume_l * (1 + known * self._normal(0.10))
        self.real_inflow_share = self.inflow_share * (1 + known * self._normal(0.20))
        self.real_source = max(0.0, self.source + known * self._normal(0.5))
        self.reader_bias = self._normal(0.1)
        self.pause_left = 0
        self.weather_c = 0.0

    def _normal(self, sd: float) -> float:
        return sd * max(-2.5, min(2.5, self.draw.gauss(0, 1)))

    @property
    def warmth_c(self) -> float:
        season_c = -self.swing_c * math.cos(2 * math.pi * (self.day - 20) / 365)
        return max(4.0, self.mean_c + season_c + self.weather_c)

    @property
    def season(self) -> str:
        return season_of(self.day)

    def live_a_day(self) -> None:
        """From one evening to the next."""
        self.day += 1
        self.weather_c = 0.8 * self.weather_c + self.draw.gauss(0, 0.7)
        self.fed_g = self._food()
        self.lost_today = 0.0
        for hour in range(24):
            self._an_hour(feeding=12 <= hour < 24)

    def _food(self) -> float:
        if self.pause_left > 0:
            self.pause_left -= 1
            return 0.0
        if self.draw.random() < 0.012:
            self.pause_left = self.draw.randrange(2, 9)
        appetite = max(0.0, min(1.3, (self.warmth_c - 7) / 10))
        return self.usual_feed_g * appetite * math.exp(self.draw.gauss(-0.03, 0.25))

    def _an_hour(self, feeding: bool) -> None:
        pace = 2.0 ** ((self.warmth_c - 18) / 10)
        self.tan_g += self.fed_g * TAN_PER_FEED_G / 12 if feeding else 0.0
        oxidised_g = self.tan_g * (1 - math.exp(-2.0 * pace / 24))
        self.tan_g -= oxidised_g
        used = self.nitrified * oxidised_g * DKH_PER_G_N_PER_M3 * 1000 / self.real_volume_l + self.base * pace / 24
        kept = math.exp(-self.real_inflow_share / 24)
        before = self.kh
        self.kh = max(0.0, self.real_source + (self.kh - self.real_source) * kept - used)
        self.lost_today += before - self.kh

    def give_g(self, grams: float, g_per_dkh: float) -> None:
        """A dose as it is scooped: five hundredths off, into the real volume."""
        self.kh += grams * (1 + self._normal(0.05)) / g_per_dkh * self.volume_l / self.real_volume_l

    def change(self, share: float, level: float) -> None:
        self.kh += share * self.volume_l / self.real_volume_l * (level - self.kh)

    def read(self, step: float) -> float:
        """What the kit shows, through this reader's eyes."""
        return max(0.0, round((self.kh + self.reader_bias + self.draw.gauss(0, 0.08)) / step) * step)
