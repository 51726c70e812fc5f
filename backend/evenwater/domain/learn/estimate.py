"""KH as the pond's own log tells it: where it stands, how fast it falls, and how sure that is.

A filter with two states, level L [°dKH] and consumption c [°dKH/day], that runs over the log's events in order of time.
Between events the trickle dilutes and the biofilter consumes; a dose lifts the level; a reading corrects both.
Dilution and consumption cannot be told apart from KH alone, so what is reported is the loss, their sum.

Source: our own, a Kalman filter with Student-t readings. The noise figures were tuned on simulated ponds.
"""

from collections.abc import Sequence
from datetime import datetime
from math import exp, sqrt
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

_DAY_S = 86_400.0
_LEVEL_START, _LEVEL_SD = 6.0, 3.0
_USE_START, _USE_SD = 0.22, 0.15
_USE_DRIFT, _USE_DRIFT_SHARE = 0.008, 0.06
_LEVEL_DRIFT = 0.04
_DOSE_SHARE_SD, _DOSE_HABIT_SHARE = 0.1, 0.02
_HABIT_DAYS = 7.0
_FREEDOM, _PASSES = 4.0, 4
_DOUBT_SIGMAS = 5.0
# 90 % of a normal law lies within this many standard deviations.
BAND_SIGMAS = 1.645
# What a keeper's own figures are worth: volume 11 %, trickle 20 %, source KH 0.5 degrees. From the simulations.
_VOLUME_SHARE_SD, _INFLOW_SHARE_SD, _SOURCE_SD = 0.11, 0.2, 0.5


class Event(Struct, frozen=True):
    """Something the filter is told: a KH reading [°dKH] with its kit's step, or a dose as the rise it brings [°dKH]."""

    at: datetime
    kind: Literal["reading", "dose"]
    value_dkh: float
    step_dkh: float = 0.5


class Inflow(Struct, frozen=True):
    """Trickle as a share of the volume a day [1/day], and the KH it carries [°dKH]."""

    share_per_day: float = 0.0
    source_kh_dkh: float = 0.0


class Estimate(Struct, frozen=True):
    """What is believed at `at`: level and consumption with their covariance, and what it rests on."""

    at: datetime
    level_dkh: float
    use_dkh_per_day: float
    var_level: float
    cov: float
    var_use: float
    inflow: Inflow
    readings: int = 0
    last_reading_at: datetime | None = None
    last_reading_dkh: float | None = None
    doubted_at: datetime | None = None
    habit_dkh: float = 0.0

    @property
    def level_sd(self) -> float:
        """Standard deviation of the level [°dKH]."""
        return sqrt(self.var_level)

    def loss_at(self, level_dkh: float) -> float:
        """Loss in a day at that level [°dKH/day]: consumption and dilution together, never below nothing."""
        dilution = self.inflow.share_per_day * (level_dkh - self.inflow.source_kh_dkh)
        return max(0.0, self.use_dkh_per_day + dilution)

    @property
    def loss_half_width(self) -> float:
        """Half the 90 % band of the loss [°dKH/day], with what the keeper's own figures are worth."""
        share, depth = self.inflow.share_per_day, self.level_dkh - self.inflow.source_kh_dkh
        return BAND_SIGMAS * sqrt(
            self.var_use
            + (_VOLUME_SHARE_SD * self.loss_at(self.level_dkh)) ** 2
            + (_INFLOW_SHARE_SD * share * depth) ** 2
            + (share * _SOURCE_SD) ** 2
        )


def estimate(events: Sequence[Event], now: datetime, inflow: Inflow) -> Estimate | None:
    """Run the filter over events, oldest first, up to `now`; None when there is no reading among them.

    A reading more than five standard deviations from what was expected is kept in the log but not believed, until a
    second one agrees with it.
    """
    past = [event for event in events if event.at <= now]
    first = next((i for i, event in enumerate(past) if event.kind == "reading"), None)
    if first is None:
        return None
    state = Estimate(past[first].at, _LEVEL_START, _USE_START, _LEVEL_SD**2, 0.0, _USE_SD**2, inflow)
    for event in past[first:]:
        state = advance(state, event.at)
        state = dosed(state, event.value_dkh) if event.kind == "dose" else _read(state, event)
    return advance(state, now)


def with_level(state: Estimate, level_dkh: float, step_dkh: float) -> Estimate:
    """The same pond, had its KH just been read at that level [°dKH] with a kit of that step."""
    return replace(state, level_dkh=level_dkh, var_level=step_dkh**2 / 6, cov=0.0)


def advance(state: Estimate, at: datetime) -> Estimate:
    """What is believed later, nothing more having happened; the same when `at` is not later."""
    days = (at - state.at).total_seconds() / _DAY_S
    return replace(_stepped(state, days), at=at) if days > 0 else state


def dosed(state: Estimate, rise_dkh: float) -> Estimate:
    """What is believed right after a dose that raises KH by so much [°dKH]."""
    return replace(
        state,
        level_dkh=state.level_dkh + rise_dkh,
        var_level=state.var_level + (_DOSE_SHARE_SD * rise_dkh) ** 2,
        habit_dkh=state.habit_dkh + rise_dkh / _HABIT_DAYS,
    )


def _stepped(state: Estimate, days: float) -> Estimate:
    share = state.inflow.share_per_day
    a = exp(-share * days)
    b = (1 - a) / share if share > 0 else days
    level = a * state.level_dkh + (1 - a) * state.inflow.source_kh_dkh - b * state.use_dkh_per_day
    drift = (_USE_DRIFT**2 + (_USE_DRIFT_SHARE * max(state.use_dkh_per_day, 0.05)) ** 2) * days
    var_level = (
        a * a * state.var_level
        - 2 * a * b * state.cov
        + b * b * state.var_use
        + (_LEVEL_DRIFT**2 + _DOSE_HABIT_SHARE * state.habit_dkh**2) * days
        + drift * days * days / 3
    )
    cov = a * state.cov - b * state.var_use - drift * days / 2
    return replace(
        state,
        level_dkh=max(0.0, level),
        var_level=var_level,
        cov=cov,
        var_use=state.var_use + drift,
        habit_dkh=state.habit_dkh * exp(-days / _HABIT_DAYS),
    )


def _read(state: Estimate, event: Event) -> Estimate:
    noise = event.step_dkh**2 / 6
    residual = event.value_dkh - state.level_dkh
    far = abs(residual) > _DOUBT_SIGMAS * sqrt(state.var_level + noise)
    seen = {"readings": state.readings + 1, "last_reading_at": event.at, "last_reading_dkh": event.value_dkh}
    if far and state.readings and not _agrees_with_doubted(state, event):
        return replace(state, doubted_at=event.at, last_reading_dkh=event.value_dkh)
    if far and state.readings:
        return replace(
            state, **seen, level_dkh=event.value_dkh, var_level=4 * noise, cov=0.0, var_use=_USE_SD**2, doubted_at=None
        )
    return replace(_corrected(state, residual, noise), **seen, doubted_at=None)


def _agrees_with_doubted(state: Estimate, event: Event) -> bool:
    """A second far reading near the first far one: then it is the water that moved, or our belief that was wrong."""
    return (
        state.doubted_at is not None
        and state.last_reading_dkh is not None
        and abs(event.value_dkh - state.last_reading_dkh) <= max(2 * event.step_dkh, 1.0)
    )


def _corrected(state: Estimate, residual: float, noise: float) -> Estimate:
    weight = 1.0
    gain_level = gain_use = 0.0
    for _ in range(_PASSES):
        total = state.var_level + noise / weight
        gain_level, gain_use = state.var_level / total, state.cov / total
        left = (1 - gain_level) * residual
        spread = left * left + (1 - gain_level) * state.var_level
        weight = min(1.0, (_FREEDOM + 1) / (_FREEDOM + spread / noise))
    return replace(
        state,
        level_dkh=max(0.0, state.level_dkh + gain_level * residual),
        use_dkh_per_day=state.use_dkh_per_day + gain_use * residual,
        var_level=(1 - gain_level) * state.var_level,
        cov=(1 - gain_level) * state.cov,
        var_use=state.var_use - gain_use * state.cov,
    )
