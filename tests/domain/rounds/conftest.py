"""Logs to plan from."""

from datetime import timedelta

import pytest
from written_log import NOW, Log

from evenwater.domain.rounds.standing_jobs import STARTER


@pytest.fixture
def log() -> Log:
    return Log()


@pytest.fixture
def measured() -> Log:
    """A 20 m³ pond, measured at 5 °dKH every third day for three weeks and dosed 0.2 °dKH each evening."""
    log = Log()
    log.pond(volume_l=20_000, capful_g=27, latitude=51.0, longitude=4.0)
    for job in STARTER:
        log.job(job)
    for day in range(21, 0, -1):
        at = NOW - timedelta(days=day)
        if day % 3 == 0:
            log.kh(5.0, at)
        dose = {"amount_g": 121.0, "substance": "sodium_bicarbonate"}
        log.tick("buffer", at.date(), "dusk", at + timedelta(minutes=20), **dose)
    return log
