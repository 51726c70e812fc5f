"""Carbon as it may really be, finer than the learner supposes: logistic breakthrough in litres, a leak past the bed,
mains that swing, a flow that swings, agitation that restores less each time, and a card read by eye."""

import math
import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from evenwater.domain.learn.carbon_life import Kind, Outlet, Run

START = datetime(2026, 1, 1, tzinfo=UTC)
LIMIT = 20.0
LONGEST_DAYS = 300


@dataclass
class Pond:
    """A pond's carbon and its keeper's habits."""

    draw: random.Random
    step: float = 10.0
    test_every_days: float = 3.0
    mains: float = field(init=False)
    new_days: float = field(init=False)
    restored: float = field(init=False)
    tiring: float = field(init=False)
    steepness: float = field(init=False)
    leak: float = field(init=False)

    def __post_init__(self) -> None:
        self.mains = self.draw.uniform(250.0, 800.0)
        self.new_days = math.exp(self.draw.gauss(math.log(30.0), 0.5))
        self.restored = self.draw.uniform(0.3, 0.6)
        self.tiring = self.draw.uniform(0.93, 1.0)
        # Litres (as days of usual flow) over which the outlet grows by e, as a share of the life.
        self.steepness = self.draw.uniform(0.15, 0.4)
        self.leak = self.draw.uniform(0.0, 5.0)

    def outlets(self, kind: Kind, agitations: int) -> tuple[list[float], int]:
        """Outlet at the end of each day after a service, if left alone [µg/L], and the day it has reached the limit.

        Reached is said of the bed, with the mains at their mean: one day's strong mains are no spent carbon.
        """
        life = self.new_days * math.exp(self.draw.gauss(0.0, 0.15))
        if kind == "agitated":
            life *= self.restored * self.tiring**agitations
        width = life * self.steepness
        # Half breakthrough lies where the toe passes the limit after `life` usual days.
        half = life + width * math.log(self.mains / LIMIT - 1.0)
        through, found, reached = 0.0, list[float](), LONGEST_DAYS
        for day in range(LONGEST_DAYS):
            through += max(0.2, self.draw.gauss(1.0, 0.15))
            passed = 1.0 / (1.0 + math.exp(-(through - half) / width))
            found.append(self.leak + self.mains * math.exp(self.draw.gauss(0.0, 0.15)) * passed)
            if self.leak + self.mains * passed >= LIMIT:
                reached = min(reached, day + 1)
        return found, reached

    def read(self, outlet: float) -> float:
        """What the card shows: read by eye, to a step."""
        return self.step * round(outlet * math.exp(self.draw.gauss(0.0, 0.12)) / self.step)


@dataclass(frozen=True)
class Moment:
    """A day at which the learner is asked: what it may know, and when the limit is truly passed."""

    runs: list[Run]
    truth_days: float


def moments(pond: Pond, services: int) -> list[Moment]:
    """A random day of each run from the third on. The keeper agitates on reading the limit, and changes each fifth."""
    past: list[Run] = []
    found: list[Moment] = []
    at, agitations = START, 0
    for number in range(services):
        kind: Kind = "changed" if number % 5 == 0 else "agitated"
        agitations = 0 if kind == "changed" else agitations + 1
        outlets, truth = pond.outlets(kind, agitations)
        readings, day = [], 0.0
        while True:
            day += max(1.0, pond.draw.gauss(pond.test_every_days, 1.0))
            if day >= LONGEST_DAYS:
                break
            readings.append(Outlet(day, pond.read(outlets[int(day) - 1]), pond.step))
            if readings[-1].value_ug_per_l >= LIMIT:
                break
        asked = pond.draw.uniform(0.1, 0.9) * truth
        known = tuple(one for one in readings if one.days <= asked)
        present = Run(kind=kind, started_at=at, days=asked, readings=known)
        if number >= 2:
            found.append(Moment([*past, present], truth))
        past.append(Run(kind=kind, started_at=at, days=day, readings=tuple(readings)))
        at += timedelta(days=day)
    return found
