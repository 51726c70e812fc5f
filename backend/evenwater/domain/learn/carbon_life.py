"""How long the carbon holds: outlet chlorine since each service, learned from this pond's own services.

A run is the time from one service to the next. Within a run the outlet climbs by a constant factor a day towards the
keeper's limit, and crosses it after T days; how far below the limit a run starts is common to all runs. T scatters
from run to run about a mean of its own for agitated and for changed carbon, and later runs count more. Readings are
intervals, half a kit step either way; a reading of 0, or under half the limit, says only "no more than that": there a
leak past the bed, not the climb, may be what is read. Everything unknown is summed over on a grid, so the band holds
with no run complete: then it is the prior, the interval the keeper would have kept.

Time and litres go together here: the flow is the one set now, so days become litres by one factor.
Source: our own. The priors are common practice, no source.
"""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from functools import lru_cache
from math import erf, exp, log, sqrt
from typing import Final, Literal

import numpy as np
from msgspec import Struct

Kind = Literal["agitated", "changed"]

MODEL_VERSION: Final = "carbon-life-1"
"""Changed with what it foretells: forecasts are kept and scored under it."""
_RUNS: Final = 10
"""Runs looked back on, the present one included."""
_FADE: Final = 0.85
"""Weight of a run against the one after it."""
_DAYS: Final = tuple(1.5 * 1.115**i for i in range(52))
"""T [days]: 1.5 to 390."""
_MEAN_STEPS: Final = tuple(-2.2 + 0.2 * i for i in range(23))
"""Mean of ln T against the prior's own middle."""
_CHANGED_STEPS: Final = (-0.5, 0.0, 0.35, 0.7, 1.05, 1.4, 1.75, 2.1)
"""ln of how much longer changed carbon lasts than agitated."""
_SCATTERS: Final = (0.08, 0.15, 0.27)
"""Scatter of ln T from run to run."""
_HEIGHTS: Final = (1.3, 2.0, 3.0, 4.5, 7.0)
"""ln of the limit over the outlet just after a service."""
_MEAN_SD, _CHANGED_MEAN, _CHANGED_SD, _HEIGHT_MEAN, _HEIGHT_SD = 0.8, 0.9, 0.6, 3.0, 0.5
_READING_SD: Final = 0.2
"""Scatter of a reading about the run's own line, in ln: the card, the hour, the mains' own swings."""


Cell = tuple[float, float, float, int]
"""Mean of ln T agitated, the same changed, scatter, index of height."""


class Outlet(Struct, frozen=True):
    """Total chlorine after the carbon: days since the run's service, value and kit step [µg/L]."""

    days: float
    value_ug_per_l: float
    step_ug_per_l: float


class Run(Struct, frozen=True, kw_only=True):
    """From one service to the next, or to now. `days`: how long it has lasted."""

    kind: Kind
    started_at: datetime
    days: float
    readings: tuple[Outlet, ...]


class Life(Struct, frozen=True, kw_only=True):
    """Days from the present run's service until the outlet reaches the limit: 5, 20, 50, 95 % points.

    `next_agitated_days`, `next_changed_days`: the middle of a run begun by each. `readings`: how many it rests on.
    """

    low_days: float
    early_days: float
    middle_days: float
    high_days: float
    next_agitated_days: float
    next_changed_days: float
    readings: int

    def on(self, started: date, days: float) -> date:
        """The date that many days after the service."""
        return started + timedelta(days=int(days))


def life_of(runs: Sequence[Run], limit_ug_per_l: float, usual_days: float) -> Life | None:
    """When the last of these runs reaches the limit.

    Args:
        runs: Oldest first; the last is under way.
        limit_ug_per_l: The keeper's limit [µg/L], above 0.
        usual_days: The interval kept without readings [days], above 0; the prior's middle for agitated carbon.

    Returns:
        The days, None where no run has a reading: then only a fixed interval is left.
    """
    runs = runs[-_RUNS:]
    readings = sum(len(one.readings) for one in runs)
    if not readings:
        return None
    told = [[_told(one, limit_ug_per_l, height) for height in _HEIGHTS] for one in runs]
    weights = _believed(runs, told, usual_days)
    ends = _present(weights, runs[-1].kind, told[-1])
    points = [_quantile(ends, share) for share in (0.05, 0.2, 0.5, 0.95)]
    return Life(
        low_days=points[0],
        early_days=points[1],
        middle_days=points[2],
        high_days=points[3],
        next_agitated_days=_quantile(_next(weights, "agitated"), 0.5),
        next_changed_days=_quantile(_next(weights, "changed"), 0.5),
        readings=readings,
    )


def _present(weights: dict[Cell, float], kind: Kind, told: Sequence[Sequence[float]]) -> list[float]:
    """Law of T of the run under way, given its own readings."""
    ends = [0.0] * len(_DAYS)
    for (mean, scatter, height), weight in _of_kind(weights, kind, heights=True).items():
        shaped = [p * q for p, q in zip(_scattered(mean, scatter), told[height], strict=True)]
        total = sum(shaped) or 1.0
        ends = [end + weight * value / total for end, value in zip(ends, shaped, strict=True)]
    return ends


def _next(weights: dict[Cell, float], kind: Kind) -> list[float]:
    """Law of T of a run yet to begin."""
    ends = [0.0] * len(_DAYS)
    for (mean, scatter, _), weight in _of_kind(weights, kind, heights=False).items():
        ends = [end + weight * value for end, value in zip(ends, _scattered(mean, scatter), strict=True)]
    return ends


def _of_kind(weights: dict[Cell, float], kind: Kind, *, heights: bool) -> dict[tuple[float, float, int], float]:
    """The weights with what does not bear on this kind summed over."""
    found: dict[tuple[float, float, int], float] = {}
    for (agitated, changed, scatter, height), weight in weights.items():
        key = (agitated if kind == "agitated" else changed, scatter, height if heights else 0)
        found[key] = found.get(key, 0.0) + weight
    return found


def _told(run: Run, limit_ug_per_l: float, height: float) -> list[float]:
    """Likelihood of a run's readings for each T of the grid."""
    return [_likelihood(run.readings, limit_ug_per_l, height, days) for days in _DAYS]


def _likelihood(readings: Sequence[Outlet], limit_ug_per_l: float, height: float, end_days: float) -> float:
    product = 1.0
    for one in readings:
        expected = log(limit_ug_per_l) + height * (one.days / end_days - 1.0)
        half = one.step_ug_per_l / 2.0
        if one.value_ug_per_l <= max(half, limit_ug_per_l / 2.0):
            inside = _below(log(max(one.step_ug_per_l, one.value_ug_per_l + half)), expected)
        else:
            inside = _below(log(one.value_ug_per_l + half), expected) - _below(log(one.value_ug_per_l - half), expected)
        # A reading nothing explains (a bad card, a typing slip) must not rule out every T.
        product *= 0.002 + 0.998 * inside
    return product


def _below(edge: float, expected: float) -> float:
    return 0.5 * (1.0 + erf((edge - expected) / (_READING_SD * sqrt(2.0))))


def _believed(runs: Sequence[Run], told: Sequence[Sequence[Sequence[float]]], usual_days: float) -> dict[Cell, float]:
    """Posterior weight of each cell; weights add up to 1."""
    middle = log(usual_days)
    found: dict[Cell, float] = {}
    for scatter in _SCATTERS:
        means = sorted({round(middle + a + c, 6) for a in _MEAN_STEPS for c in (0.0, *_CHANGED_STEPS)})
        evidence = _evidence(runs, told, [_scattered(mean, scatter) for mean in means])
        place = {mean: nth for nth, mean in enumerate(means)}
        for step in _MEAN_STEPS:
            agitated = round(middle + step, 6)
            for longer in _CHANGED_STEPS:
                changed = round(middle + step + longer, 6)
                prior = -0.5 * (step / _MEAN_SD) ** 2 - 0.5 * ((longer - _CHANGED_MEAN) / _CHANGED_SD) ** 2
                for index, height in enumerate(_HEIGHTS):
                    shape = -0.5 * (log(height / _HEIGHT_MEAN) / _HEIGHT_SD) ** 2
                    likely = evidence["agitated"][place[agitated]][index] + evidence["changed"][place[changed]][index]
                    found[agitated, changed, scatter, index] = prior + shape + likely
    best = max(found.values())
    kept = {cell: exp(value - best) for cell, value in found.items() if value > best - 9.0}
    total = sum(kept.values())
    return {cell: value / total for cell, value in kept.items()}


def _evidence(
    runs: Sequence[Run], told: Sequence[Sequence[Sequence[float]]], laws: Sequence[Sequence[float]]
) -> dict[Kind, list[list[float]]]:
    """ln likelihood of all runs of each kind, by law of T and by height, T summed over."""
    of_t = np.array(laws).T
    sums: dict[Kind, list[list[float]]] = {}
    kinds: tuple[Kind, ...] = ("agitated", "changed")
    for kind in kinds:
        total = np.zeros((len(laws), len(_HEIGHTS)))
        for age, (run, by_height) in enumerate(zip(reversed(runs), reversed(told), strict=True)):
            if run.readings and run.kind == kind:
                total += _FADE**age * np.log(np.maximum(np.array(by_height) @ of_t, 1e-300)).T
        sums[kind] = total.tolist()
    return sums


@lru_cache(maxsize=400)
def _scattered(mean: float, scatter: float) -> list[float]:
    """Law of T on the grid: normal in ln T."""
    raw = [exp(-0.5 * ((log(days) - mean) / scatter) ** 2) for days in _DAYS]
    total = sum(raw)
    return [value / total for value in raw] if total > 0.0 else [1.0 / len(_DAYS)] * len(_DAYS)


def _quantile(law: Sequence[float], share: float) -> float:
    """Days below which that share of the law lies, straight in between in ln."""
    total, below = sum(law), 0.0
    for index, value in enumerate(law):
        if below + value >= share * total and value > 0.0:
            part = (share * total - below) / value
            edge = _DAYS[index] / sqrt(_DAYS[1] / _DAYS[0])
            return edge * (_DAYS[1] / _DAYS[0]) ** part
        below += value
    return _DAYS[-1]
