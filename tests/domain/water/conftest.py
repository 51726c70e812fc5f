"""A log of readings, and the answers to it."""

from datetime import datetime, timedelta

import pytest
from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.judging import judge
from evenwater.domain.water.outlook import Judged

POND = "main"


class WaterLog(Log):
    """A log of a pond, with what was read and how it is judged."""

    def read(self, quantity: str, value: float, at: datetime = NOW - timedelta(hours=1), **more: object) -> None:
        self.write(
            "reading",
            at,
            quantity=quantity,
            value=value,
            **{"step": 1e-18, "point": QUANTITIES[quantity].points[0], **more},
        )

    def judged(self, now: datetime = NOW) -> dict[tuple[str, str], Judged]:
        known = fold(self.entries)
        pond = known.ponds(now.date())[0]
        facts = known.of_pond(POND)
        return {(one.quantity, one.point): one for one in judge(pond, known.ranges(POND, now.date()), facts, now)}

    def of(self, quantity: str, now: datetime = NOW, point: str = "pond") -> Judged:
        return self.judged(now)[quantity, point]

    def range(self, quantity: str, **cuts: float) -> None:
        for field, value in cuts.items():
            at = NOW - timedelta(days=50)
            self.write("set", at, target=f"range/{quantity}", field=field, value=value)


@pytest.fixture
def log() -> WaterLog:
    log = WaterLog()
    log.pond(volume_l=20_000)
    return log
