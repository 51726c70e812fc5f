"""A group of standing jobs on offer, and the words its jobs share."""

from typing import Final

from msgspec import Struct

from evenwater.domain.standing_job import Asks, DayPart, Season, StandingJob, Window

WATER: Final = "At the water"
HOUSE: Final = "Filter house"
TANK: Final = "Quarantine tank"
INDOORS: Final = "Indoors"

UNPLUG: Final = (
    "Unplug whatever is in the water before hands go in. Fixed wiring is for a licensed electrician, by local code."
)
PRESSURE: Final = (
    "Shut the water and let the pressure off first. Plumbing on the mains follows local by-laws; ask a licensed person."
)
REAGENTS: Final = "Reagents: gloves, eye protection, out of children's reach; never into pond or drain by the pond."
EDGE: Final = "Wet edges are slippery: kneel, never lean out alone, and keep small children within reach."
WASTE: Final = "Water to drain goes where local by-laws allow."
DAMP: Final = "Wet electrics: touch nothing; off at the board, and a licensed electrician."

ONCE_A_YEAR_DAYS: Final = 240
"""Done in its season it rests until the next: longer than any season here, shorter than a year."""


class StarterGroup(Struct, frozen=True):
    """Standing jobs that are switched on together or one by one."""

    id: str
    title: str
    says: str
    jobs: tuple[StandingJob, ...]


def window(part: DayPart, opens: str, closes: str, slot: str = "day") -> dict[str, Window]:
    """The one window of a job."""
    return {slot: Window(part, opens, closes)}


def days(begins: str, ends: str) -> Season:
    """A season, both ends counted: "11-15" to "03-01"."""
    return Season(begins=begins, ends=ends)


def asked(*quantities: str) -> tuple[Asks, ...]:
    """Readings of the pond's water, in the order in which one takes them."""
    return tuple(Asks(one) for one in quantities)


WHOLE_TEST: Final = asked(
    "kh_dkh", "gh_dgh", "ph", "temperature_c", "tan_mg_n_per_l", "nitrite_n_mg_per_l", "nitrate_n_mg_per_l"
)
FISH_TEST: Final = asked("tan_mg_n_per_l", "nitrite_n_mg_per_l", "ph", "temperature_c")
