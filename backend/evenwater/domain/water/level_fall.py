"""How fast the level falls, held against what evaporates: a leak, or only the weather.

The level is read in millimetres below a mark. Only readings since water last went in count, and since the level last
rose. The slope is the middle of all slopes between two readings, so that one slip of the ruler does not decide.
"""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from itertools import combinations
from math import sqrt
from statistics import fmean, median
from typing import Final, Literal

from msgspec import Struct

from evenwater.domain.entries import Reading, WaterChange, WaterRunning
from evenwater.domain.fold import Seen, readings_of
from evenwater.domain.warmth.heat.evaporation import Evaporation
from evenwater.domain.workings import Given, Step, Workings

LEVEL: Final = "level_below_mark_mm"
RULER_SD_MM: Final = 1.5
"""How far a reading of the level errs: a ruler on water that moves [mm]. Common practice, no source."""
LEAST_SPAN: Final = timedelta(hours=8)
"""Readings nearer together tell the ruler, not the level."""
_LOOKS_BACK: Final = timedelta(days=30)
_ROSE_MM: Final = 4.0
"""A rise between two readings by which water must have come in: rain, a hose [mm]."""
_WORTH_MM: Final = 1.0
"""A fall beyond evaporation that is worth looking for [mm/day]: on 12 m², 12 L a day. Our own."""
_SURE: Final = 1.96

Found = Literal["leak", "evaporation", "too_near"]


class LevelFall(Struct, frozen=True, kw_only=True):
    """The fall of the level since `since` [mm/day], with its 95 % band; what evaporates, and what that leaves.

    `beyond_mm_per_day`: what evaporation does not explain, 0 while it may explain all of it.
    """

    since: datetime
    readings: int
    mm_per_day: float
    low_mm: float
    high_mm: float
    evaporation: Evaporation
    found: Found
    beyond_mm_per_day: float
    says: str
    workings: Workings


def level_fall(
    facts: Sequence[Seen],
    now: datetime,
    evaporation: Callable[[datetime, datetime], Evaporation],
    surface_m2: float | None = None,
    trickle_runs: bool = False,
) -> LevelFall | None:
    """Judge the fall of the level; None while it was not read twice, eight hours apart, with nothing put in between.

    Args:
        facts: The pond's standing facts, oldest first.
        now: The moment; later facts are left out.
        evaporation: What evaporates between two moments.
        surface_m2: To say it in litres too [m²].
        trickle_runs: Water trickles in all the time: a leak of up to as much does not show.

    Source:
        Slope: Theil (1950) and Sen (1968), J. Am. Stat. Assoc. 63, 1379-1389: the median of all pairs. Its band: of a
        straight line through readings that err by RULER_SD_MM, or the spread of the slopes where that is wider.
    """
    points = _since_filled(facts, now)
    if len(points) < 2 or points[-1][0] - points[0][0] < LEAST_SPAN:
        return None
    since, until = points[0][0], points[-1][0]
    days = [((at - since) / timedelta(days=1), mm) for at, mm in points]
    slope, half = _slope(days)
    lost = evaporation(since, until)
    found = _judge(slope, half, lost)
    beyond = max(0.0, slope - lost.mm_per_day) if found == "leak" else 0.0
    fall = LevelFall(
        since=since,
        readings=len(points),
        mm_per_day=slope,
        low_mm=slope - half,
        high_mm=slope + half,
        evaporation=lost,
        found=found,
        beyond_mm_per_day=beyond,
        says=_says(found, slope, half, lost, beyond, surface_m2, trickle_runs),
        workings=_workings(points, slope, half, lost, found),
    )
    return fall


def _since_filled(facts: Sequence[Seen], now: datetime) -> list[tuple[datetime, float]]:
    """(at, mm below the mark) since water last went in or the level rose, oldest first."""
    lately = facts[bisect_left(facts, now - _LOOKS_BACK, key=lambda one: one.at) :]
    filled = [one.at for one in lately if isinstance(one.entry, WaterChange | WaterRunning) and one.at <= now]
    since = max([now - _LOOKS_BACK, *filled])
    points: list[tuple[datetime, float]] = []
    for one in readings_of(facts, LEVEL):
        if not since <= one.at <= now or not isinstance(one.entry, Reading):
            continue
        if points and one.entry.value < points[-1][1] - _ROSE_MM:
            points = []
        points.append((one.at, one.entry.value))
    return points


def _slope(days: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """The fall [mm/day] and half its 95 % band."""
    slopes = sorted((mm - mm0) / (at - at0) for (at0, mm0), (at, mm) in combinations(days, 2) if at > at0)
    middle = fmean(at for at, _ in days)
    spread = sum((at - middle) ** 2 for at, _ in days)
    by_ruler = _SURE * RULER_SD_MM / sqrt(spread)
    # Kendall's rank variance, n (n - 1) (2 n + 5) / 18, says how many slopes from the middle the band ends.
    n = len(days)
    out = _SURE * sqrt(n * (n - 1) * (2 * n + 5) / 18)
    first = max(0, round((len(slopes) - out) / 2))
    by_slopes = (slopes[-1 - first] - slopes[first]) / 2 if n >= 5 and first < len(slopes) / 2 else 0.0
    return median(slopes), max(by_ruler, by_slopes)


def _judge(slope: float, half: float, lost: Evaporation) -> Found:
    if slope - half > lost.high_mm and slope - lost.mm_per_day >= _WORTH_MM:
        return "leak"
    return "evaporation" if slope + half <= lost.high_mm + _WORTH_MM else "too_near"


def _says(
    found: Found,
    slope: float,
    half: float,
    lost: Evaporation,
    beyond: float,
    surface_m2: float | None,
    trickle_runs: bool,
) -> str:
    fell = f"The level falls {slope:.1f} mm a day, give or take {half:.1f}"
    if slope <= 0:
        fell = f"The level does not fall, give or take {half:.1f} mm a day"
    rests = f"{lost.low_mm:.1f} to {lost.high_mm:.1f} by {lost.rests_on}"
    hidden = " The trickle may hide more: shut it for a night, mark the level, open it again." if trickle_runs else ""
    if found == "leak":
        litres = f", about {beyond * surface_m2:.0f} L a day" if surface_m2 else ""
        return f"{fell}: more than evaporation explains ({rests}){litres}. Look for a leak.{hidden}"
    if found == "evaporation":
        return f"{fell}: evaporation explains it ({rests}).{hidden}"
    return (
        f"{fell}; evaporation takes {rests}: too near to tell. Read it again in a day or two, nothing put in.{hidden}"
    )


def _workings(
    points: Sequence[tuple[datetime, float]], slope: float, half: float, lost: Evaporation, found: Found
) -> Workings:
    (since, first_mm), (until, last_mm) = points[0], points[-1]
    hours = (until - since) / timedelta(hours=1)
    words = {"leak": "more than evaporation", "evaporation": "evaporation explains it", "too_near": "too near to tell"}
    return Workings(
        title="Fall of the level",
        inputs=(
            Given("first reading", first_mm, "mm below the mark", "reading"),
            Given("last reading", last_mm, "mm below the mark", "reading"),
            Given("readings", len(points), "", "since water last went in or the level rose"),
            Given("hours between", round(hours, 1), "h", "the same"),
            Given("a reading's error", RULER_SD_MM, "mm", "common practice, no source"),
        ),
        steps=(
            Step("median of all slopes between two readings", f"{slope:.2f} mm a day"),
            Step("half of its 95 % band", f"{half:.2f} mm a day"),
            Step(f"evaporation by {lost.rests_on}", f"{lost.low_mm:.2f} to {lost.high_mm:.2f} mm a day"),
        ),
        result=words[found],
        source="Theil (1950), Sen (1968), J. Am. Stat. Assoc. 63, 1379-1389; evaporation: Smith, Löf & Jones (1994).",
    )
