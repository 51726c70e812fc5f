"""What a condition is asked of, and what it answers."""

from collections.abc import Mapping
from datetime import date, datetime
from functools import cached_property
from typing import Final
from zoneinfo import ZoneInfo

from msgspec import Struct

from evenwater.domain.entries import AirForecast, zone_named
from evenwater.domain.fold import Facts
from evenwater.domain.pond import Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.level_finding import level_fall_of
from evenwater.domain.warmth.outlook import PondWarmth
from evenwater.domain.warmth.pond_air import Samples
from evenwater.domain.water.level_fall import LevelFall
from evenwater.domain.water.outlook import PondWater

_A_WEEK_DAYS: Final = 7


REMEMBERED_DAYS: Final = 90
"""So far back a plan knows all that happened [days]; of what is older what lasts, and a job's last ticks."""


class Answered(Struct, frozen=True):
    """Whether a condition holds, None where that is not known, and why in a clause without a full stop."""

    holds: bool | None
    words: str

    @property
    def reason(self) -> str:
        """The same as a sentence."""
        if not self.words:
            return ""
        said = self.words[:1].upper() + self.words[1:] + "."
        return said if self.holds is not None else f"Not known: {self.words}."


class Told(Struct, frozen=True, kw_only=True, dict=True):
    """All that conditions of one pond are asked of.

    `standing`: its standing jobs by id, as set for today. `samples`: what probes and the weather service sent.
    `water` and `warmth`: its pages, None where they are not worked out yet.
    """

    pond: Pond
    facts: Facts
    standing: Mapping[str, StandingJob]
    now: datetime
    samples: Samples = Samples()
    water: PondWater | None = None
    warmth: PondWarmth | None = None

    @cached_property
    def zone(self) -> ZoneInfo:
        """The pond's zone."""
        return zone_named(self.pond.zone)

    @cached_property
    def today(self) -> date:
        """The civil date at the pond."""
        return self.now.astimezone(self.zone).date()

    @cached_property
    def nights(self) -> Mapping[date, AirForecast]:
        """What somebody typed of the nights, by the day before."""
        return {
            entry.on: entry for one in self.facts.of_kinds(AirForecast) if isinstance(entry := one.entry, AirForecast)
        }

    @cached_property
    def level_fall(self) -> LevelFall | None:
        """How fast the level falls, beyond what evaporates; None where that cannot be told."""
        return level_fall_of(self.pond, list(self.standing.values()), self.facts, self.samples, self.now)

    def ahead(self, on: date) -> str:
        """What is said where a day to come is judged by what is known today."""
        return ", as it stands today" if on > self.today else ""


def day_words(on: date, today: date) -> str:
    """ "today", "on Tue", "on 3 Nov", "on 3 Nov 2025": as short as is plain."""
    days = (today - on).days
    if days == 0:
        return "today"
    if days == 1:
        return "yesterday"
    if abs(days) < _A_WEEK_DAYS:
        return f"on {on:%a}"
    year = f" {on.year}" if on.year != today.year else ""
    return f"on {on.day} {on:%b}{year}"


def short_date(on: date) -> str:
    """ "Tue 3 Nov"."""
    return f"{on:%a} {on.day} {on:%b}"
