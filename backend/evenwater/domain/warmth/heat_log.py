"""What the log says of covers, heater and water temperature, hour by hour, for the learner.

- A cover lies as it was left; but an open pond nobody answers for the next night, or a covered one for three days, is
  not known any more: a tick was forgotten, and nothing is learned from what may not be so.
- The heater is known by its meter where there is one (the difference of two readings, spread over the hours it may
  run), else by the setting that was last made.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Final

import numpy as np

from evenwater.domain.entries import CoverMove, NotDone, Tick, zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.kit import Heater
from evenwater.domain.pond import Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.heat.heat_balance import Numbers
from evenwater.domain.warmth.heater.heater_ahead import cop_at
from evenwater.domain.warmth.heater.tariff import cheapest_shares
from evenwater.domain.warmth.pond_air import HOUR, Points, Samples, read

OFF, ON = "off", "on"
_OPEN_KNOWN_FOR, _COVERED_KNOWN_FOR = timedelta(hours=20), timedelta(hours=72)
_METER_GAP_DAYS: Final = 8
_MILD_C: Final = 7.0
_PROBE_EVERY_H: Final = 3


def cover_jobs(jobs: Sequence[StandingJob]) -> list[StandingJob]:
    """Standing jobs that put covers off and on."""
    return [job for job in jobs if {OFF, ON} <= set(job.windows)]


def heater_jobs(jobs: Sequence[StandingJob]) -> list[StandingJob]:
    """Standing jobs that make a heater's setting."""
    return [job for job in jobs if job.shape == "setting"]


def cover_moves(
    pond: Pond, jobs: Sequence[StandingJob], facts: Sequence[Seen], until: datetime
) -> list[tuple[datetime, float | None]]:
    """(when, share covered from then on; None is not known), oldest first."""
    names = {job.id for job in cover_jobs(jobs)}
    full = pond.cover.covered_fraction if pond.cover else 1.0
    moves: list[tuple[datetime, float | None]] = []
    state: float | None = None
    good_until: datetime | None = None
    for one in facts:
        entry = one.entry
        if isinstance(entry, CoverMove):
            state = entry.covered_fraction * full
        elif isinstance(entry, Tick) and entry.standing_job in names and entry.slot in (OFF, ON):
            state = full if entry.slot == ON else 0.0
        elif not (isinstance(entry, NotDone) and entry.standing_job in names):
            continue
        if good_until is not None and one.at > good_until:
            moves.append((good_until, None))
        moves.append((one.at, state))
        good_until = one.at + (_COVERED_KNOWN_FOR if state else _OPEN_KNOWN_FOR)
    if good_until is not None and until > good_until:
        moves.append((good_until, None))
    if not moves and pond.cover is None and not names:
        moves.append((datetime.min.replace(tzinfo=until.tzinfo), 0.0))
    return moves


def settings_made(jobs: Sequence[StandingJob], facts: Sequence[Seen]) -> list[tuple[datetime, float]]:
    """Settings of the heater as they were made [°C], oldest first."""
    names = {job.id for job in heater_jobs(jobs)}
    return [
        (one.at, one.entry.setting_c)
        for one in facts
        if isinstance(one.entry, Tick) and one.entry.standing_job in names and one.entry.setting_c is not None
    ]


def may_run(pond: Pond, heater: Heater, since: datetime, hours: int) -> Numbers:
    """How much of each hour the heater may run [0 to 1]: a time switch keeps it to the cheapest rate."""
    if not heater.time_switch or pond.tariff is None or not pond.tariff.windows:
        return np.ones(hours)
    return np.array(cheapest_shares(pond.tariff, zone_named(pond.zone), since, hours))


def setpoints(made: Sequence[tuple[datetime, float]], since: datetime, allowed: Numbers) -> Numbers:
    """The setting that stood in each hour [°C]; NaN before the first, and where the heater may not run."""
    found = np.full(len(allowed), np.nan)
    for at, setting_c in made:
        found[max(0, int((at - since) / HOUR)) :] = setting_c
    return np.where(allowed > 0.5, found, np.nan)


def meter_readings(facts: Sequence[Seen], samples: Samples) -> list[tuple[datetime, float]]:
    """What the heater's counter showed and when [kWh], oldest first: as read, and of a logger at the end of each hour.

    A logger's hour bears the last value in it.
    """
    sent = [(at + HOUR, kwh) for at, kwh in samples.measured.get("heater_kwh", ())]
    return sorted([*read(facts, "heater_meter_kwh", "heater"), *sent])


def metered_w(
    heater: Heater, facts: Sequence[Seen], samples: Samples, since: datetime, allowed: Numbers, air_c: Numbers
) -> Numbers:
    """Heat given in each hour by the meter [W]; NaN where no two readings of it enclose the hour within eight days."""
    found = np.full(len(allowed), np.nan)
    for (at, kwh), (next_at, next_kwh) in pairwise(meter_readings(facts, samples)):
        first, last = max(0.0, (at - since) / HOUR), min(float(len(allowed)), (next_at - since) / HOUR)
        if next_kwh < kwh or next_at - at > timedelta(days=_METER_GAP_DAYS) or last <= first:
            continue  # a meter that was changed, or too long ago
        begin, end = int(first), min(len(allowed), int(last) + 1)
        hours = np.arange(begin, end, dtype=np.float64)
        inside = np.minimum(last, hours + 1) - np.maximum(first, hours)
        share = np.maximum(0.0, inside) * allowed[begin:end]
        if share.sum() <= 0:
            share[: max(int(last) - begin, 1)] = 1.0
        here = begin + np.flatnonzero(share > 0)
        mild_c = np.array([np.nanmean(np.append(air_c[here], _MILD_C))], dtype=np.float64)
        heat_wh = (next_kwh - kwh) * 1000 * float(cop_at(heater, mild_c)[0])
        found[begin : int(last)] = np.nan_to_num(found[begin : int(last)])
        found[here] = np.nan_to_num(found[here]) + heat_wh * share[share > 0] / share.sum()
    return found


def water_readings(facts: Sequence[Seen], samples: Samples, sd_k: float) -> list[tuple[datetime, float, float]]:
    """(when, °C, sd [K]) of the pond's water, oldest first: as read, and of a probe one in three hours."""
    typed = [(at, value, sd_k) for at, value in read(facts, "temperature_c", "pond")]
    probe = [
        (at + HOUR / 2, value, sd_k)
        for at, value in samples.measured.get("water_c", ())
        if at.hour % _PROBE_EVERY_H == 0
    ]
    return sorted([*typed, *probe])


def latest_water(facts: Sequence[Seen], samples: Samples) -> tuple[datetime, float] | None:
    """The last temperature of the pond's water, read or from a probe."""
    found: Points = [*read(facts, "temperature_c", "pond"), *samples.measured.get("water_c", ())]
    return max(found, default=None)
