"""Figures of many simulated ponds: how well the loss is known, and how far dawns were off."""

from collections.abc import Sequence

import numpy as np
from heat_trial import Outcome

from evenwater.domain.learn.estimate import BAND_SIGMAS

KNOWN_FROM_K = 4.0
SETTLED_DAYS = 7
"""Dawns are counted from here on: before, neither the learner nor the mean of past drops has seen anything."""


def told(outcomes: Sequence[Outcome]) -> list[Outcome]:
    """Ponds warm enough above the air for their loss to be known."""
    return [one for one in outcomes if one.difference_k > KNOWN_FROM_K and one.believed is not None]


def covered(outcomes: Sequence[Outcome]) -> float:
    """Share of ponds whose true loss lies within the 90 % band."""
    return float(np.mean([abs(_off(one)) <= BAND_SIGMAS * _sd(one) for one in outcomes]))


def half_band(outcomes: Sequence[Outcome]) -> float:
    """Median half width of that band, as a share of the loss."""
    return float(np.median([np.sinh(BAND_SIGMAS * _sd(one)) for one in outcomes]))


def error(outcomes: Sequence[Outcome]) -> tuple[float, float]:
    """Median error of the loss, as a share: as learned, and as told at the beginning."""
    learned = np.median([abs(np.expm1(_off(one))) for one in outcomes])
    prior = np.median([abs(one.prior / one.truth - 1) for one in outcomes])
    return float(learned), float(prior)


def dawns(outcomes: Sequence[Outcome]) -> dict[str, float]:
    """Root mean square errors at dawn [K]: ours, the evening less the mean drop so far, the evening itself."""
    ours, drop, same = [], [], []
    for one in outcomes:
        nights = one.dawns
        for night in range(SETTLED_DAYS, len(nights)):
            mean, _, truth, evening, _ = nights[night]
            drops = [before[3] - before[2] for before in nights[:night]]
            ours.append(mean - truth)
            drop.append(evening - float(np.mean(drops)) - truth)
            same.append(evening - truth)
    return {"ours": _rms(ours), "mean_drop": _rms(drop), "evening": _rms(same)}


def dawns_after_a_turn(outcomes: Sequence[Outcome]) -> dict[str, float]:
    """The same for nights whose mean air is more than 4 K from the last one's, against the drop of that last night."""
    ours, last = [], []
    for one in outcomes:
        for before, night in zip(one.dawns[SETTLED_DAYS:], one.dawns[SETTLED_DAYS + 1 :], strict=False):
            if abs(night[4] - before[4]) > 4:
                ours.append(night[0] - night[2])
                last.append(night[3] - (before[3] - before[2]) - night[2])
    return {"ours": _rms(ours), "last_drop": _rms(last)}


def _off(one: Outcome) -> float:
    assert one.believed is not None
    return float(np.log(one.believed[0] / one.truth))


def _sd(one: Outcome) -> float:
    assert one.believed is not None
    return one.believed[1]


def _rms(errors: Sequence[float]) -> float:
    return float(np.sqrt(np.mean(np.square(errors))))
