"""Where a quantity stands and how fast it falls, as the pond's own log tells it, and how sure that is.

A filter with two states, level L and use c a day, that runs over the log's events in order of time. Between events the
trickle dilutes and the pond uses; a dose lifts the level, a water change mixes it; a reading corrects both. Dilution
and use cannot be told apart from the level alone, so what is reported is the loss, their sum; a rise is a loss below 0.

The use follows warmth and food: `pace` says how much faster than usual it runs, and c is the use at pace 1. A change of
pace makes c less sure. All levels are in the quantity's own unit; `Tuning` says what its noise is in that unit.

Source: our own, a Kalman filter with Student-t readings. The noise figures were tuned on simulated ponds.
"""

from collections.abc import Sequence
from datetime import datetime
from math import exp, log, sqrt
from typing import Final, Literal

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.units import SECONDS_PER_DAY

MODEL_VERSION: Final = "kh-filter-1"
"""Changed with what it foretells: forecasts are kept and scored under it."""
_DOSE_SHARE_SD, _DOSE_HABIT_SHARE = 0.1, 0.02
_MIX_SHARE_SD = 0.2
_HABIT_DAYS = 7.0
_PACE_DOUBT = 0.5
_FREEDOM, _PASSES = 4.0, 4
_DOUBT_SIGMAS = 5.0
# A story that began with a far reading must fit the next one better by this much, as minus twice a log-likelihood: our
# own, so that of two that fit about alike the older stands.
_ODDS = 4.0
# How much of the lean is left at the next reading, what says that the use changed, and the doubt that brings. Our own,
# from simulated ponds whose use doubles from one day to the next.
_LEAN_KEPT, _LEAN_TELLS, _LEAN_SHARE = 0.7, 2.0, 0.5
# 90 % of a normal law lies within this many standard deviations.
BAND_SIGMAS = 1.645
# What a keeper's own figures are worth: volume 5 %, trickle 20 %. From the simulations.
_VOLUME_SHARE_SD, _INFLOW_SHARE_SD = 0.05, 0.2


class Tuning(Struct, frozen=True, kw_only=True):
    """What is supposed of a quantity before its log speaks, and its noise, in its unit (a day).

    `use`, `use_sd`: the use a day to begin with. `use_drift`, `use_drift_share`: how it wanders in a day, and in shares
    of itself. `level_drift`: what nobody recorded. `source_sd`: how well the source water is known. `reading_share_sd`:
    what a kit or probe errs beside its step, in shares of what it shows.
    """

    level: float
    level_sd: float
    use: float
    use_sd: float
    use_drift: float
    use_drift_share: float
    least_use: float
    level_drift: float
    source_sd: float
    reading_share_sd: float = 0.0


KH_TUNING: Final = Tuning(
    level=6.0,
    level_sd=3.0,
    use=0.22,
    use_sd=0.15,
    use_drift=0.002,
    use_drift_share=0.008,
    least_use=0.05,
    level_drift=0.04,
    source_sd=0.5,
)


class Event(Struct, frozen=True):
    """Something the filter is told.

    A `reading` with its kit's step; a `dose` as the rise it brings; a `mix` of a share of the water against some of
    level `value`; a `pace`: from now on the use runs `value` times as fast as usual; an `inflow`: from now on that
    share of the water a day comes in, of level `value`.
    """

    at: datetime
    kind: Literal["reading", "dose", "mix", "pace", "inflow"]
    value: float
    step: float = 0.5
    share: float = 0.0


class Inflow(Struct, frozen=True):
    """Trickle as a share of the volume a day [1/day], and the level it carries."""

    share_per_day: float = 0.0
    source: float = 0.0


class Estimate(Struct, frozen=True):
    """What is believed at `at`: level and use with their covariance, and what it rests on.

    `last_reading_at` is of the last one believed, `last_reading` of the last at all. While a reading is doubted, since
    `doubted_at`, `rival` is what would be believed had it been right. `lean` sums how far readings fell to one side of
    what was expected, in standard deviations, each counting less than the next.
    """

    at: datetime
    level: float
    use_per_day: float
    var_level: float
    cov: float
    var_use: float
    inflow: Inflow
    tuning: Tuning = KH_TUNING
    pace: float = 1.0
    readings: int = 0
    last_reading_at: datetime | None = None
    last_reading: float | None = None
    doubted_at: datetime | None = None
    habit: float = 0.0
    rival: "Estimate | None" = None
    lean: float = 0.0

    def reading_var(self, step: float) -> float:
        """Variance of a reading about the true level, with a kit of that step."""
        return step**2 / 6 + (self.tuning.reading_share_sd * self.level) ** 2

    @property
    def level_sd(self) -> float:
        """Standard deviation of the level."""
        return sqrt(self.var_level)

    @property
    def use_now_per_day(self) -> float:
        """The use at the pace of the moment."""
        return self.use_per_day * self.pace

    def change_at(self, level: float) -> float:
        """Loss in a day at that level: use and dilution together; below 0 it rises."""
        return self.use_now_per_day + self.inflow.share_per_day * (level - self.inflow.source)

    def loss_at(self, level: float) -> float:
        """`change_at`, never below nothing: what a dose has to replace."""
        return max(0.0, self.change_at(level))

    @property
    def own_figures_sd(self) -> float:
        """What volume, trickle and source as the keeper knows them leave open in a day's loss, one sigma."""
        share, depth = self.inflow.share_per_day, self.level - self.inflow.source
        return sqrt(
            (_VOLUME_SHARE_SD * self.change_at(self.level)) ** 2
            + (_INFLOW_SHARE_SD * share * depth) ** 2
            + (share * self.tuning.source_sd) ** 2
        )

    @property
    def loss_half_width(self) -> float:
        """Half the 90 % band of the loss in a day, with what the keeper's own figures are worth."""
        return BAND_SIGMAS * sqrt(self.var_use * self.pace**2 + self.own_figures_sd**2)


def estimate(events: Sequence[Event], now: datetime, inflow: Inflow, tuning: Tuning = KH_TUNING) -> Estimate | None:
    """Run the filter over events, oldest first, up to `now`; None when no reading among them is believed.

    A reading more than five standard deviations from what was expected is kept in the log but not believed, until a
    later one fits what would follow from it clearly better than what would have come without.
    """
    believed = path(events, now, inflow, tuning)
    return advance(believed[-1], now) if believed else None


def path(events: Sequence[Event], now: datetime, inflow: Inflow, tuning: Tuning = KH_TUNING) -> list[Estimate]:
    """What was believed right after each event from the first reading that was believed on, up to `now`.

    `inflow` is what came in before the first event that tells of another.
    """
    past = [event for event in events if event.at <= now]
    first = next((i for i, event in enumerate(past) if event.kind == "reading"), None)
    if first is None:
        return []
    pace = next((event.value for event in reversed(past[:first]) if event.kind == "pace"), 1.0)
    inflow = next((_inflow(event) for event in reversed(past[:first]) if event.kind == "inflow"), inflow)
    state = Estimate(
        past[first].at,
        tuning.level,
        tuning.use,
        tuning.level_sd**2,
        0.0,
        tuning.use_sd**2,
        inflow,
        tuning,
        pace,
    )
    believed: list[Estimate] = []
    for event in past[first:]:
        state, rival = advance(state, event.at), state.rival
        rival = None if rival is None else advance(rival, event.at)
        if event.kind == "reading":
            state, rival = _read(state, rival, event)
        else:
            state, rival = _told(state, event), None if rival is None else _told(rival, event)
        state = replace(state, rival=rival)
        if state.readings:
            believed.append(state)
    return believed


def with_level(state: Estimate, level: float, step: float) -> Estimate:
    """The same pond, had it just been read at that level with a kit of that step."""
    return replace(state, level=level, var_level=step**2 / 6, cov=0.0)


def advance(state: Estimate, at: datetime) -> Estimate:
    """What is believed later, nothing more having happened; the same when `at` is not later."""
    days = (at - state.at).total_seconds() / SECONDS_PER_DAY
    return replace(_stepped(state, days), at=at) if days > 0 else state


def dosed(state: Estimate, rise: float) -> Estimate:
    """What is believed right after a dose that raises the level by so much."""
    return replace(
        state,
        level=state.level + rise,
        var_level=state.var_level + (_DOSE_SHARE_SD * rise) ** 2,
        habit=state.habit + rise / _HABIT_DAYS,
    )


def _told(state: Estimate, event: Event) -> Estimate:
    if event.kind == "dose":
        return dosed(state, event.value)
    if event.kind == "inflow":
        return replace(state, inflow=_inflow(event))
    return _mixed(state, event) if event.kind == "mix" else _paced(state, event.value)


def _inflow(event: Event) -> Inflow:
    return Inflow(event.share, event.value)


def _mixed(state: Estimate, event: Event) -> Estimate:
    share, change = event.share, event.share * (event.value - state.level)
    return replace(
        state,
        level=state.level + change,
        var_level=(1 - share) ** 2 * state.var_level
        + (_MIX_SHARE_SD * change) ** 2
        + (share * state.tuning.source_sd) ** 2,
        cov=(1 - share) * state.cov,
    )


def _paced(state: Estimate, pace: float) -> Estimate:
    """Food or warmth changed: how the use follows is our guess, so it is less sure than before."""
    doubt = _PACE_DOUBT * state.use_per_day * log(pace / state.pace)
    return replace(state, pace=pace, var_use=state.var_use + doubt**2)


def _stepped(state: Estimate, days: float) -> Estimate:
    share, tuning = state.inflow.share_per_day, state.tuning
    a = exp(-share * days)
    flow = (1 - a) / share if share > 0 else days
    b = flow * state.pace
    drift = (tuning.use_drift**2 + (tuning.use_drift_share * max(abs(state.use_per_day), tuning.least_use)) ** 2) * days
    habit_days = _HABIT_DAYS * (1 - exp(-2 * days / _HABIT_DAYS)) / 2
    var_level = (
        a * a * state.var_level
        - 2 * a * b * state.cov
        + b * b * state.var_use
        + tuning.level_drift**2 * days
        + _DOSE_HABIT_SHARE * state.habit**2 * habit_days
        + drift * (state.pace * days) ** 2 / 3
    )
    return replace(
        state,
        level=max(0.0, a * state.level + (1 - a) * state.inflow.source - b * state.use_per_day),
        var_level=var_level,
        cov=a * state.cov - b * state.var_use - drift * state.pace * days / 2,
        var_use=state.var_use + drift,
        habit=state.habit * exp(-days / _HABIT_DAYS),
    )


def _read(state: Estimate, rival: Estimate | None, event: Event) -> tuple[Estimate, Estimate | None]:
    """What is believed after a reading, and its rival: what would be believed had a doubted reading been right."""
    if rival is not None and state.doubted_at != event.at and _misfit(rival, event) + _ODDS < _misfit(state, event):
        return _believed(rival, event), None
    if abs(event.value - state.level) > _DOUBT_SIGMAS * sqrt(state.var_level + state.reading_var(event.step)):
        doubted = replace(state, doubted_at=event.at, last_reading=event.value)
        return doubted, _afresh(state, event)
    return _believed(state, event), None


def _misfit(state: Estimate, event: Event) -> float:
    """How ill a reading fits: minus twice the logarithm of its likelihood, less a constant."""
    spread = state.var_level + state.reading_var(event.step)
    return (event.value - state.level) ** 2 / spread + log(spread)


def _believed(state: Estimate, event: Event) -> Estimate:
    state = _leaning(state, event)
    return replace(
        _corrected(state, event.value - state.level, state.reading_var(event.step)),
        readings=state.readings + 1,
        last_reading_at=event.at,
        last_reading=event.value,
        doubted_at=None,
    )


def _leaning(state: Estimate, event: Event) -> Estimate:
    """Readings that keep falling to one side say that the use has changed: then it is less sure than it was."""
    spread = sqrt(state.var_level + state.reading_var(event.step))
    lean = _LEAN_KEPT * state.lean + (event.value - state.level) / spread
    if abs(lean) < _LEAN_TELLS:
        return replace(state, lean=lean)
    return replace(state, lean=0.0, var_use=state.var_use + (_LEAN_SHARE * state.tuning.use_sd) ** 2)


def _afresh(state: Estimate, event: Event) -> Estimate:
    """Only that reading is known of the level, and how fast it falls is open again."""
    return replace(
        state,
        level=event.value,
        var_level=4 * state.reading_var(event.step),
        cov=0.0,
        var_use=state.tuning.use_sd**2,
        last_reading_at=event.at,
        last_reading=event.value,
        doubted_at=None,
        rival=None,
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
        level=max(0.0, state.level + gain_level * residual),
        use_per_day=state.use_per_day + gain_use * residual,
        var_level=(1 - gain_level) * state.var_level,
        cov=(1 - gain_level) * state.cov,
        var_use=state.var_use - gain_use * state.cov,
    )
