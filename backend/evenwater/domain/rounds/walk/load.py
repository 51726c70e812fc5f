"""How much a day asks: minutes, and whether that is a light, a usual or a heavy day."""

from collections.abc import Iterable
from typing import Final

from evenwater.domain.rounds.jobs import Job, Load

LIGHT_MIN: Final = 30
"""Under it a day is light [min]: covers, a look, a dose. Our own rule of thumb."""
HEAVY_MIN: Final = 75
"""From it on a day is heavy [min]: more than the hour most people have after work. Our own rule of thumb."""


def load_of(jobs: Iterable[Job]) -> tuple[int, Load]:
    """The minutes of the jobs that are wanted, and how heavy that makes the day.

    What is stood down, held back or not known asks for nothing yet.
    """
    minutes = sum(job.minutes for job in jobs if job.state == "open")
    return minutes, "light" if minutes < LIGHT_MIN else "usual" if minutes < HEAVY_MIN else "heavy"
