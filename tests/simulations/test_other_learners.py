"""GH, nitrate and conductivity learned from simulated ponds: the band of one and of seven days ahead, and its middle.

Food, warmth and a trickle that is a fifth off drive them hour by hour; a kit rounds and its reader errs. 24 ponds,
`--long` 120; `--seed N` for others; -s shows the figures.
"""

import math
import random
import statistics
from datetime import timedelta

import pytest
from kh_trial import START
from kh_truth import TAN_PER_FEED_G, Truth
from written_log import Log

from evenwater.domain.fold import fold
from evenwater.domain.learn.from_log import learn
from evenwater.domain.learn.trend import trend_of
from evenwater.domain.quantities import QUANTITIES

DAYS, LEARNED_AFTER = 120, 30
# quantity -> level of the source, of the pond at first, what a gram of food per m3 adds, reader's error as a share.
WATERS = {
    "gh_dgh": ((2.0, 15.0), (4.0, 12.0), 0.0, 0.03),
    "nitrate_n_mg_per_l": ((0.0, 8.0), (2.0, 25.0), 0.7 * TAN_PER_FEED_G, 0.08),
    "ec25_us_per_cm": ((50.0, 600.0), (150.0, 800.0), 0.35, 0.015),
}


class Water:
    """One quantity of one pond, and its keeper's log."""

    def __init__(self, draw: random.Random, quantity: str) -> None:
        self.draw, self.quantity = draw, quantity
        self.truth = Truth(draw, well_known=False)
        source, start, self.per_food_g, self.reader_sd = WATERS[quantity]
        self.source, self.level = draw.uniform(*source), draw.uniform(*start)
        self.told_source = max(0.0, self.source + draw.gauss(0, 0.05) * self.source)
        self.every_days, self.due = draw.choice((2, 4, 7)), 0
        self.last = math.nan
        self.log = Log()
        settings = {"volume_l": self.truth.volume_l, "inflow_l_per_day": self.truth.inflow_share * self.truth.volume_l}
        for field, value in {**settings, "mains": {quantity: self.told_source}}.items():
            self.log.write("set", START, target="pond", field=field, value=value)

    def live_a_day(self) -> None:
        self.truth.live_a_day()
        pace = 2.0 ** ((self.truth.warmth_c - 18) / 20)
        gain = self.truth.fed_g * self.per_food_g * 1000 / self.truth.real_volume_l * pace
        for _ in range(24):
            kept = math.exp(-self.truth.real_inflow_share / 24)
            self.level = self.source + (self.level - self.source) * kept + gain / 24

    def read(self) -> float:
        step = QUANTITIES[self.quantity].step
        return max(0.0, round((self.level + self.level * self.draw.gauss(0, self.reader_sd)) / step) * step)


def foretold(water: Water) -> list[tuple[int, float, float, float, float, float]]:
    """(days ahead, low, middle, high, reading then, last reading) at random evenings."""
    asked: list[tuple[int, int, tuple[float, float, float], float]] = []
    readings: dict[int, float] = {}
    for day in range(DAYS):
        at = START + timedelta(days=day)
        water.live_a_day()
        readings[day] = water.read()
        if day >= water.due:
            water.due = day + water.every_days
            water.last = readings[day]
            water.log.write("reading", at, quantity=water.quantity, value=readings[day])
        if LEARNED_AFTER <= day < DAYS - 8 and water.draw.random() < 0.15:
            known = fold(water.log.entries)
            pond, facts = known.ponds(at.date())[0], known.of_pond("main")
            trend = trend_of(pond, learn(pond, facts, water.quantity, at), at.date(), (None, None))
            assert trend is not None
            for ahead in (1, 7):
                then = next(row for row in trend.forecast if row[0].date() == (at + timedelta(days=ahead)).date())
                asked.append((ahead, day, then[1:], water.last))
    return [(ahead, *band, readings[day + ahead], last) for ahead, day, band, last in asked]


@pytest.mark.parametrize("quantity", list(WATERS))
def test_the_band_ahead_holds_the_readings_and_its_middle_beats_the_last_one(seed, full_size, quantity):
    ponds = 120 if full_size else 24
    found = [one for n in range(ponds) for one in foretold(Water(random.Random(f"{seed}/{n}"), quantity))]
    for ahead in (1, 7):
        rows = [one for one in found if one[0] == ahead]
        inside = statistics.fmean(low <= reading <= high for _, low, _, high, reading, _ in rows)
        ours = statistics.fmean(abs(middle - reading) for _, _, middle, _, reading, _ in rows)
        last = statistics.fmean(abs(last - reading) for *_, reading, last in rows)
        width = statistics.median(high - low for _, low, _, high, _, _ in rows)
        print(f"\n{quantity}, {ahead} d: n {len(rows)}, inside {inside:.2f}, width {width:.2f}, ", end="")
        print(f"mean error {ours:.2f}, of the last reading {last:.2f}", end="")
        assert inside >= 0.82
        assert ours <= 1.02 * last
