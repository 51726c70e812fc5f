"""Mixing: waters poured together, and a pond that water trickles through.

The pond is taken as well mixed: its pump turns it over many times while the trickle renews it once. What is reckoned
is a dissolved matter in mg/L; alkalinity goes the same way in mg/L as CaCO₃, or in °dKH with a source in °dKH L/day.
"""

import math
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from evenwater.domain.errors import Contradiction, require_between
from evenwater.domain.water.buffer import KH_DKH, VOLUME_L

FRACTION: Final = (0.0, 1.0)
"""A share of a blend, of a volume [–]."""

GH_DGH: Final = (0.0, 60.0)
"""General hardness [°dGH]; the hardest wells come near the upper edge."""

EC25_US_PER_CM: Final = (0.0, 60_000.0)
"""Conductivity at 25 °C [µS/cm]: pure water to sea water."""

FLOW_L_PER_DAY: Final = (0.0, 1_000_000.0)
"""Water running in, or evaporating [L/day]."""

MATTER_MG_PER_L: Final = (0.0, 100_000.0)
"""Dissolved matter [mg/L]."""

SOURCE_G_PER_DAY: Final = (-1_000_000.0, 1_000_000.0)
"""What is put in less what is used up [g/day]."""

DECAY_PER_DAY: Final = (0.0, 1000.0)
"""Share that goes by itself [1/day]; chlorine in sunlight is gone in hours."""

DAYS: Final = (0.0, 36_500.0)
"""How far ahead [days]."""

SUM_TOLERANCE: Final = 0.001
"""How far from 1 the shares of a blend may add up to [–]. Our own: thirds are typed as 0.333."""


class Water(Struct, frozen=True, kw_only=True):
    """One water of a blend: its share [–], KH [°dKH], GH [°dGH] and conductivity at 25 °C [µS/cm]."""

    fraction: float
    kh_dkh: float
    gh_dgh: float
    ec25_us_per_cm: float


class FlowThrough(Struct, frozen=True, kw_only=True):
    """A pond that water trickles through, and one matter in it.

    `volume_l` [L] 1 to 1,000,000; `inflow_l_per_day` [L/day] 0 to 1,000,000, carrying `inflow_mg_per_l` [mg/L] 0 to
    100,000; `evaporation_l_per_day` [L/day], at most the inflow; `source_g_per_day` [g/day] -1,000,000 to 1,000,000,
    what is put in less what is used up whatever the level; `decay_per_day` [1/day] 0 to 1000.
    """

    volume_l: float
    inflow_l_per_day: float
    inflow_mg_per_l: float
    source_g_per_day: float = 0.0
    evaporation_l_per_day: float = 0.0
    decay_per_day: float = 0.0

    @property
    def leaving_per_day(self) -> float:
        """Share that leaves in a day by overflow and decay [1/day]. Evaporation takes water only."""
        return (self.inflow_l_per_day - self.evaporation_l_per_day) / self.volume_l + self.decay_per_day

    @property
    def coming_mg_per_l_per_day(self) -> float:
        """What comes in a day, less what is used up [mg/L per day]; below 0 when more is used than comes."""
        return (self.inflow_l_per_day * self.inflow_mg_per_l + 1000.0 * self.source_g_per_day) / self.volume_l


def blend(waters: Sequence[Water]) -> Water:
    """What waters make when poured together.

    Args:
        waters: One or more; shares 0 to 1 that add up to 1 within 0.001, KH 0 to 25 °dKH, GH 0 to 60 °dGH,
            conductivity 0 to 60,000 µS/cm.

    Returns:
        The blend, its fraction 1. Exact for KH and GH; conductivity comes out some 3 to 6 % low.

    Raises:
        OutOfRange: A number is outside its range, or is NaN.
        Contradiction: The shares do not add up to 1.

    Source:
        Mass balance. Linear in what is conserved. Not valid for pH, so pH is not offered.

    >>> tap = Water(fraction=0.25, kh_dkh=12.0, gh_dgh=16.0, ec25_us_per_cm=600.0)
    >>> soft = Water(fraction=0.75, kh_dkh=0.0, gh_dgh=0.0, ec25_us_per_cm=20.0)
    >>> blend([tap, soft]).kh_dkh
    3.0
    """
    for number, one in enumerate(waters):
        _check_water(f"waters[{number}]", one)
    total = math.fsum(one.fraction for one in waters)
    if abs(total - 1.0) > SUM_TOLERANCE:
        raise Contradiction(f"the fractions add up to {total:.6g}", where="waters", right="fractions that add up to 1")

    def mean(name: str) -> float:
        return math.fsum(one.fraction * getattr(one, name) for one in waters) / total

    return Water(fraction=1.0, kh_dkh=mean("kh_dkh"), gh_dgh=mean("gh_dgh"), ec25_us_per_cm=mean("ec25_us_per_cm"))


def share_for(target: float, one: float, other: float) -> float | None:
    """Share of water `one` in a blend with `other` that brings a conserved quantity to `target`.

    Args:
        target: What is wanted, in the quantity's own unit.
        one: What the first water has.
        other: What the second water has.

    Returns:
        Share of the first [–], 0 to 1; None when no share reaches the target, or the two are alike.

    Source:
        Mass balance: x = (C - C2) / (C1 - C2).

    >>> round(share_for(4.0, 12.0, 0.5), 4)
    0.3043
    """
    if one == other:
        return None
    share = (target - other) / (one - other)
    return share if 0.0 <= share <= 1.0 else None


def level_after_mg_per_l(pond: FlowThrough, start_mg_per_l: float, days: float) -> float:
    """The level after some days of steady trickle, evaporation, dosing, use and decay.

    Args:
        pond: The pond and the matter; ranges as in FlowThrough.
        start_mg_per_l: Level at the start [mg/L], 0 to 100,000.
        days: How many days later [days], 0 to 36,500.

    Returns:
        Level [mg/L], never below 0: where more is used than there is, it is used up.

    Raises:
        OutOfRange: A number is outside its range, or is NaN.
        Contradiction: More evaporates than runs in.

    Source:
        Mass balance of a well-mixed vessel, V dC/dt = Q Cin - (Q - E) C + S - k V C (Levenspiel, Chemical Reaction
        Engineering, chapter 5, from memory).

    >>> pond = FlowThrough(volume_l=20_000.0, inflow_l_per_day=1000.0, inflow_mg_per_l=6.0)
    >>> round(level_after_mg_per_l(pond, 2.0, 15.0), 4)
    4.1105
    """
    _check_pond(pond)
    require_between("start_mg_per_l", start_mg_per_l, *MATTER_MG_PER_L, "mg/L")
    require_between("days", days, *DAYS, "days")
    left = pond.leaving_per_day * days
    # (1 - exp(-x)) / x, which is 1 where x is 0; expm1 keeps its digits in between.
    building_days = days * (-math.expm1(-left) / left) if left > 0.0 else days
    level = start_mg_per_l * math.exp(-left) + pond.coming_mg_per_l_per_day * building_days
    return max(0.0, level)


def steady_mg_per_l(pond: FlowThrough) -> float | None:
    """The level the pond settles at if nothing changes.

    Args:
        pond: The pond and the matter; ranges as in FlowThrough.

    Returns:
        Level [mg/L], 0 where it is used up; None where nothing leaves, so that it climbs or stays as it is.

    Raises:
        OutOfRange: A number is outside its range, or is NaN.
        Contradiction: More evaporates than runs in.

    Source:
        As `level_after_mg_per_l`, dC/dt = 0.

    >>> pond = FlowThrough(volume_l=20_000.0, inflow_l_per_day=1000.0, inflow_mg_per_l=6.0)
    >>> round(steady_mg_per_l(pond), 6)
    6.0
    """
    _check_pond(pond)
    if pond.coming_mg_per_l_per_day < 0.0:
        return 0.0
    leaving = pond.leaving_per_day
    return pond.coming_mg_per_l_per_day / leaving if leaving > 0.0 else None


def exhausted_after_days(pond: FlowThrough, start_mg_per_l: float) -> float | None:
    """How many days until nothing is left.

    Args:
        pond: The pond and the matter; ranges as in FlowThrough.
        start_mg_per_l: Level at the start [mg/L], 0 to 100,000.

    Returns:
        Days; None when that never comes: dilution alone thins out but never ends, only use does.

    Raises:
        OutOfRange: A number is outside its range, or is NaN.
        Contradiction: More evaporates than runs in.

    Source:
        As `level_after_mg_per_l`, solved for a level of 0.

    >>> pond = FlowThrough(volume_l=20_000.0, inflow_l_per_day=0.0, inflow_mg_per_l=0.0, source_g_per_day=-40.0)
    >>> exhausted_after_days(pond, 10.0)
    5.0
    """
    _check_pond(pond)
    require_between("start_mg_per_l", start_mg_per_l, *MATTER_MG_PER_L, "mg/L")
    if pond.coming_mg_per_l_per_day >= 0.0:
        return None
    days_undiluted = start_mg_per_l / -pond.coming_mg_per_l_per_day
    left = pond.leaving_per_day * days_undiluted
    return days_undiluted * (math.log1p(left) / left) if left > 0.0 else days_undiluted


def _check_water(where: str, one: Water) -> None:
    require_between(f"{where}.fraction", one.fraction, *FRACTION)
    require_between(f"{where}.kh_dkh", one.kh_dkh, *KH_DKH, "°dKH")
    require_between(f"{where}.gh_dgh", one.gh_dgh, *GH_DGH, "°dGH")
    require_between(f"{where}.ec25_us_per_cm", one.ec25_us_per_cm, *EC25_US_PER_CM, "µS/cm")


def _check_pond(pond: FlowThrough) -> None:
    require_between("volume_l", pond.volume_l, *VOLUME_L, "L")
    require_between("inflow_l_per_day", pond.inflow_l_per_day, *FLOW_L_PER_DAY, "L/day")
    require_between("inflow_mg_per_l", pond.inflow_mg_per_l, *MATTER_MG_PER_L, "mg/L")
    require_between("source_g_per_day", pond.source_g_per_day, *SOURCE_G_PER_DAY, "g/day")
    require_between("evaporation_l_per_day", pond.evaporation_l_per_day, *FLOW_L_PER_DAY, "L/day")
    require_between("decay_per_day", pond.decay_per_day, *DECAY_PER_DAY, "1/day")
    if pond.evaporation_l_per_day > pond.inflow_l_per_day:
        raise Contradiction(
            f"{pond.evaporation_l_per_day:g} L/day evaporate and only {pond.inflow_l_per_day:g} L/day run in",
            where="evaporation_l_per_day",
            right="at most the inflow: otherwise the level falls, and the volume is no longer what was given",
        )
