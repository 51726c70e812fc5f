"""How much buffer on each of the coming days, and the chart that turns a new reading into an amount without signal.

A dose replaces what the pond loses until the next one and makes up part of the way to the target, within the limit on
the rise in a day. A stale reading stops the second part: the learned loss alone is replaced,
within bounds, for two weeks.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import combinations, pairwise
from math import inf, sqrt

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import change_number, level_words, unit_for, with_unit
from evenwater.domain.learn.estimate import BAND_SIGMAS, Estimate, advance, dosed, with_level
from evenwater.domain.learn.from_log import learn, supposed
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.amounts.dose_words import CORRECTION_SHARE, reason_for, workings_for
from evenwater.domain.rounds.held.hold_back import LOW_KH_DKH, SMALL_REASON, Rules, Tests, hold_back, tests_of
from evenwater.domain.rounds.jobs import Chart, HoldBelow
from evenwater.domain.rounds.today import rounded_g
from evenwater.domain.water.buffer import SUBSTANCES, bicarbonate_dose_g, rise_dkh
from evenwater.domain.workings import Workings

QUANTITY = "kh_dkh"
STALE_ENDS_AFTER = timedelta(days=14)
STALE_MAX_DKH = 0.5
STALE_UPPER_DKH = 10.0
"""Bounds on replacing the loss without a fresh reading. Common practice, no source."""
READING_GOOD_FOR_H = 24.0
_HIGHEST_DKH = 25.0
_STRAIGHT_G = 0.002
Row = tuple[float, float, float, float]


class DosePlan(Struct, frozen=True):
    """One day's dose: `held` is a reason to give none whatever is read."""

    reason: str
    held: str | None
    unrounded_g: float
    limit_g: float
    chart: Chart | None
    tomorrow: tuple[float, float] | None
    workings: Workings | None


class Ask(Struct, frozen=True):
    """A day's dose to be worked out: when it would be given, how long it must last, whether it has been answered."""

    at: datetime
    lasts_days: float
    answered: bool


def plan_doses(pond: Pond, facts: Sequence[Seen], asks: Sequence[Ask], now: datetime) -> list[DosePlan]:
    """A dose for each ask, ascending in time; each supposes that the ones before were given."""
    if pond.volume_l is None:
        held = "The pond's volume is not known: set it under Pond book before any buffer is given."
        return [DosePlan(held, held, 0.0, 0.0, None, None, None) for _ in asks]
    believed = learn(pond, facts, QUANTITY, now).believed
    state = advance(believed[-1], now) if believed else None
    without_log = supposed(pond, facts, QUANTITY, pond.kh_target_dkh, now)
    tests = _with_kh(tests_of(facts, now), believed)
    plans: list[DosePlan] = []
    for ask in asks:
        ask = replace(ask, at=max(ask.at, now))
        state = advance(state, ask.at) if state else None
        rules = hold_back(tests, state.level if state else None, pond.kh_rise_limit_dkh, ask.at)
        plan = _plan_one(pond, pond.volume_l, state, without_log, rules, ask)
        if state and state.rival:
            plan = _doubting(pond, pond.volume_l, plan, state, advance(state.rival, ask.at), tests, ask)
        plans.append(plan)
        if state and not ask.answered:
            given_g = rounded_g(plan.unrounded_g, plan.limit_g, pond.capful_g)
            state = _given(state, rise_dkh(pond.volume_l, given_g, pond.substance, pond.purity_fraction))
    return plans


def _given(state: Estimate, rise: float) -> Estimate:
    rival = state.rival
    return replace(dosed(state, rise), rival=None if rival is None else dosed(advance(rival, state.at), rise))


def _doubting(
    pond: Pond, volume_l: float, plan: DosePlan, state: Estimate, rival: Estimate, tests: Tests, ask: Ask
) -> DosePlan:
    """The plan while the last reading is doubted: what is right whether it is believed or not.

    Where it says that KH has run out, the careful path; where it is low, no more than may be raised from there; where
    it says that there is enough, nothing while it is fresh and then no more than the loss. Never more than without it.
    """
    age = _age(rival, ask.at)
    if plan.chart is None or state.last_reading is None or age > timedelta(days=pond.kh_stale_after_days):
        return plan
    read = level_words(pond, QUANTITY, state.last_reading)
    again = f"KH read {read}, far from the rest: test again."
    rules = hold_back(tests, rival.level, pond.kh_rise_limit_dkh, ask.at)
    withheld = rules.reason or _no_reading_reason(rival, rules, ask.at)
    if withheld:
        chart = replace(plan.chart, no_reading_reason=f"{again} {withheld}")
        return replace(plan, reason=chart.no_reading_reason, unrounded_g=0.0, chart=chart, tomorrow=None)
    if rival.level <= state.level:
        limit_g = min(plan.limit_g, round(_grams(pond, volume_l, rules.limit_at(rival.level)), 3))
        amount_g = min(plan.unrounded_g, limit_g)
        return replace(plan, reason=f"{again} {plan.reason}", unrounded_g=amount_g, limit_g=limit_g, tomorrow=None)
    most_dkh = 0.0 if age <= timedelta(hours=READING_GOOD_FOR_H) else state.loss_at(state.level) * ask.lasts_days
    amount_g = min(plan.unrounded_g, round(_grams(pond, volume_l, min(_HIGHEST_DKH, most_dkh)), 3))
    said = "Until then no more than what it loses." if amount_g else "Until then, none."
    return replace(plan, reason=f"{again} {said}", unrounded_g=amount_g, tomorrow=None)


def _with_kh(tests: Tests, believed: Sequence[Estimate]) -> Tests:
    """What KH was when pH was read: as believed then, or first believed after."""
    if tests.ph is None or not believed:
        return tests
    before = [state for state in believed if state.at <= tests.ph.at]
    return replace(tests, kh_dkh=advance(before[-1], tests.ph.at).level if before else believed[0].level)


def _plan_one(
    pond: Pond, volume_l: float, state: Estimate | None, without_log: Estimate, rules: Rules, ask: Ask
) -> DosePlan:
    limit_dkh = rules.limit_at(state.level) if state else rules.rise_limit_dkh
    limit_g = _grams(pond, volume_l, limit_dkh)
    if rules.reason is not None:
        return DosePlan(rules.reason, rules.reason, 0.0, limit_g, None, None, None)
    no_reading = _no_reading_reason(state, rules, ask.at)
    stale = state is not None and _age(state, ask.at) > timedelta(days=pond.kh_stale_after_days)
    dose = 0.0 if state is None or no_reading else _dose_dkh(pond, state, limit_dkh, ask.lasts_days, stale)
    dose_g = round(_grams(pond, volume_l, dose), 3)
    chart = _chart(pond, volume_l, state or without_log, rules, limit_dkh, ask, no_reading)
    return DosePlan(
        no_reading or _careful_reason(state, rules) or reason_for(pond, state, dose, ask.lasts_days, stale, ask.at),
        None,
        dose_g,
        round(limit_g, 3),
        chart,
        _tomorrow(state, dose, pond.kh_kit_step_dkh) if state and not no_reading else None,
        workings_for(pond, volume_l, state, dose, dose_g, limit_dkh, limit_g, ask.lasts_days, stale) if state else None,
    )


def _grams(pond: Pond, volume_l: float, rise: float) -> float:
    return bicarbonate_dose_g(volume_l, rise, pond.substance, pond.purity_fraction)


def _age(state: Estimate, at: datetime) -> timedelta:
    return at - (state.last_reading_at or at)


def _careful_reason(state: Estimate | None, rules: Rules) -> str | None:
    return SMALL_REASON if state and state.level <= LOW_KH_DKH and rules.low_reason is None else None


def _no_reading_reason(state: Estimate | None, rules: Rules, at: datetime) -> str | None:
    if state is None:
        return "No KH has been measured yet: type a reading and the amount follows."
    if _age(state, at) > STALE_ENDS_AFTER:
        return f"KH was last measured {_age(state, at).days} days ago: measure it before any buffer is given."
    return rules.low_reason if state.level < LOW_KH_DKH else None


def _dose_dkh(pond: Pond, state: Estimate, limit_dkh: float, lasts_days: float, stale: bool) -> float:
    loss = state.loss_at(state.level) * lasts_days
    if stale:
        dose = min(loss, STALE_MAX_DKH * lasts_days, limit_dkh)
        return dose if state.level + dose + BAND_SIGMAS * state.level_sd < STALE_UPPER_DKH else 0.0
    return min(limit_dkh, max(0.0, loss + CORRECTION_SHARE * (pond.kh_target_dkh - state.level)))


def _tomorrow(state: Estimate, dose: float, step: float) -> tuple[float, float]:
    """The readings expected a day later, nine times in ten, as the keeper's kit reads [°dKH]."""
    later = advance(dosed(state, dose), state.at + timedelta(days=1))
    half = BAND_SIGMAS * sqrt(later.var_level + step * step / 6)
    return round(max(0.0, later.level - half), 3), round(later.level + half, 3)


def _chart(
    pond: Pond, volume_l: float, start: Estimate, rules: Rules, limit_dkh: float, ask: Ask, no_reading: str | None
) -> Chart:
    rows: list[Row] = []
    for value in _knots(pond, start, rules, limit_dkh, ask.lasts_days):
        at_value = with_level(start, value, pond.kh_kit_step_dkh)
        most = min(limit_dkh, max(0.0, rules.careful_at(value) - _rounding_dkh(pond, volume_l)))
        dose = _dose_dkh(pond, at_value, most, ask.lasts_days, stale=False)
        low, high = _tomorrow(at_value, dose, pond.kh_kit_step_dkh)
        rows.append((value, round(_grams(pond, volume_l, dose), 3), low, high))
    limit = with_unit(change_number(pond, QUANTITY, limit_dkh, 1), unit_for(pond, QUANTITY).unit)
    return Chart(
        quantity=QUANTITY,
        substance=pond.substance,
        capful_g=pond.capful_g,
        step=pond.kh_kit_step_dkh,
        good_for_h=READING_GOOD_FOR_H,
        rows=tuple(_bent(rows)),
        equal_g={name: SUBSTANCES[pond.substance] / mass for name, mass in SUBSTANCES.items()},
        hold_below=HoldBelow(LOW_KH_DKH, rules.low_reason) if rules.low_reason else None,
        no_reading_reason=no_reading,
        limit_reason=f"The most for 24 hours is given ({limit}); more would raise KH too fast.",
        enough_reason="KH is high enough: no buffer needed."
        if rules.grows_to == inf
        else "No buffer: KH is high enough, or more would set too much ammonia free.",
    )


def _bent(rows: Sequence[Row]) -> list[Row]:
    """Only the rows at which the amount changes its slope, and both ends."""
    kept = [rows[0]]
    for here, after in pairwise(rows[1:]):
        before = kept[-1]
        share = (here[0] - before[0]) / (after[0] - before[0])
        if abs(before[1] + share * (after[1] - before[1]) - here[1]) > _STRAIGHT_G:
            kept.append(here)
    return [*kept, rows[-1]]


def _rounding_dkh(pond: Pond, volume_l: float) -> float:
    """What rounding an amount to the nearest may add: half a quarter capful, or half a gram [°dKH]."""
    half_g = pond.capful_g / 8.0 if pond.capful_g else 0.5
    return rise_dkh(volume_l, half_g, pond.substance, pond.purity_fraction)


def _knots(pond: Pond, state: Estimate, rules: Rules, limit_dkh: float, lasts_days: float) -> list[float]:
    """Where the dose by reading changes its slope: a straight line runs between any two neighbours."""
    share, source = state.inflow.share_per_day, state.inflow.source
    found = [0.0, _HIGHEST_DKH, *rules.bends()]
    if share > 0:
        found.append(source - state.use_now_per_day / share)
    lift = (-CORRECTION_SHARE, CORRECTION_SHARE * pond.kh_target_dkh)
    loss = (share * lasts_days, (state.use_now_per_day - share * source) * lasts_days)
    wanted = [lift, (lift[0] + loss[0], lift[1] + loss[1])]
    margin = _rounding_dkh(pond, pond.volume_l or 1.0)
    limits = [(0.0, 0.0), (0.0, limit_dkh), *((slope, level - margin) for slope, level in rules.lines())]
    for one, other in combinations([*wanted, *limits], 2):
        if abs(one[0] - other[0]) > 1e-9:
            found.append((other[1] - one[1]) / (one[0] - other[0]))
    return sorted({round(value, 4) for value in found if 0.0 <= value <= _HIGHEST_DKH})
