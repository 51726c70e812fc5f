"""What the log and the samples teach of a pond's heat: everything the Warmth page rests on."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Final

import numpy as np
from msgspec import Struct

from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.kit import Heater
from evenwater.domain.pond import Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.as_told import as_told
from evenwater.domain.warmth.heat.heat_balance import Fluxes, HeatModel, Numbers, fluxes_of
from evenwater.domain.warmth.heat_log import (
    cover_moves,
    heater_jobs,
    may_run,
    metered_w,
    setpoints,
    settings_made,
    water_readings,
)
from evenwater.domain.warmth.loss_filter import READING_SD_K, Belief, Known, LossFilter, begin, believed_model
from evenwater.domain.warmth.pond_air import HOUR, PondAir, Samples, air_of

LEARNED_DAYS: Final = 60
"""How far back the log is read [days]."""
AHEAD_H: Final = 96
"""How far ahead is looked [h]: three days and a night, as far as a weather service is asked."""


class Heat(Struct, frozen=True, kw_only=True):
    """A pond's heat as known at `now_h` hours after `since`.

    `belief` is None before the first water temperature. `heater` is None where there is none; `settings` are those made
    [(at, °C)]; `left_out` days taught nothing.
    """

    pond: Pond
    since: datetime
    now_h: float
    model: HeatModel
    belief: Belief | None
    air: PondAir
    fluxes: Fluxes
    known: Known
    heater: Heater | None
    heater_assumed: bool
    may_run: Numbers
    settings: tuple[tuple[datetime, float], ...]
    assumed: tuple[str, ...]
    left_out: tuple[date, ...]

    def at(self, hours: float) -> datetime:
        """The moment so many hours after `since`."""
        return self.since + HOUR * hours

    def place(self, at: datetime) -> float:
        """Hours from `since` to a moment."""
        return (at - self.since) / HOUR


def heat_of(
    pond: Pond, jobs: Sequence[StandingJob], facts: Sequence[Seen], samples: Samples, now: datetime
) -> Heat | None:
    """What is known of a pond's heat; None without a volume.

    Args:
        pond: The pond as set.
        jobs: Its standing jobs.
        facts: Its standing facts, oldest first.
        samples: What probes and the weather service sent.
        now: The moment, aware; later facts are left out.
    """
    facts = [one for one in facts if one.at <= now]
    told = as_told(pond, facts)
    if told is None:
        return None
    readings = water_readings(facts, samples, READING_SD_K)
    first = max(now - timedelta(days=LEARNED_DAYS), readings[0][0] if readings else now - timedelta(days=1))
    since = first.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    until = now.astimezone(UTC).replace(minute=0, second=0, microsecond=0) + HOUR * AHEAD_H
    air = air_of(pond, facts, samples, since, until, now)
    made = settings_made(jobs, facts)
    heater = pond.heater or (Heater() if made else None)
    allowed = may_run(pond, heater, since, len(air.weather)) if heater else np.zeros(len(air.weather))
    known = _known(pond, jobs, facts, samples, since, now, heater, allowed, air, made)
    fluxes = fluxes_of(air.weather)
    belief = None
    if known.readings:
        start = begin(told.model, known.readings[0][1], 2 * READING_SD_K, known.readings[0][0], told.sd_ln_ua)
        belief = LossFilter(start, fluxes, known).run((now - since) / HOUR)
    zone = zone_named(pond.zone)
    return Heat(
        pond=pond,
        since=since,
        now_h=(now - since) / HOUR,
        model=believed_model(belief) if belief else told.model,
        belief=belief,
        air=air,
        fluxes=fluxes,
        known=known,
        heater=heater,
        heater_assumed=pond.heater is None,
        may_run=allowed,
        settings=tuple(made),
        assumed=told.assumed,
        left_out=tuple(sorted({(since + HOUR * at_h).astimezone(zone).date() for at_h in belief.left_out}))
        if belief
        else (),
    )


def _known(
    pond: Pond,
    jobs: Sequence[StandingJob],
    facts: Sequence[Seen],
    samples: Samples,
    since: datetime,
    now: datetime,
    heater: Heater | None,
    allowed: Numbers,
    air: PondAir,
    made: Sequence[tuple[datetime, float]],
) -> Known:
    """The log as the learner takes it: hours since the beginning."""
    hours = len(allowed)
    heat_w, setpoint_c = np.zeros(hours), np.full(hours, np.nan)
    if heater is not None:
        planned = [one.setting_c for one in heater_jobs(jobs) if one.setting_c is not None]
        settings = made or [(since, planned[0])] if planned else made
        setpoint_c = setpoints(settings, since, allowed)
        heat_w = metered_w(heater, facts, samples, since, allowed, air.weather.air_c)
    moves = [((at - since) / HOUR, covered) for at, covered in cover_moves(pond, jobs, facts, now)]
    readings = [((at - since) / HOUR, value, sd) for at, value, sd in water_readings(facts, samples, READING_SD_K)]
    return Known(
        covers=moves,
        readings=[one for one in readings if one[0] >= 0],
        heat_w=heat_w,
        setpoint_c=setpoint_c,
        power_w=heater.power_w if heater else 0.0,
        by_setting=heater is None or _is_told(pond),
    )


def _is_told(pond: Pond) -> bool:
    """Whether the heater's setting says what it does: its power is told, and by a time switch, when it is on."""
    if pond.heater is None:
        return False
    return not pond.heater.time_switch or (pond.tariff is not None and bool(pond.tariff.windows))
