"""What the lengths of a fish say: those that count, in time as its water was warm, and the curve through them."""

from collections.abc import Sequence
from datetime import date
from typing import Final

from msgspec import Struct

from evenwater.domain.fish.degree_days import DegreeDays
from evenwater.domain.fish.growth import ENOUGH_POINTS, GrowthCurve, Point, curve_of, enough
from evenwater.domain.fish.length_weight import Z90, PondWeights, Weighing
from evenwater.domain.fish.measures import Measured, weight_counts
from evenwater.domain.fish.outlook import Band
from evenwater.domain.fish.register import Fish
from evenwater.domain.fish.whereabouts import Whereabouts

_WEIGHED_ALONE: Final = (0.85, 1.2)
"""Low and high of a weight whose fish was never measured, as shares of it. Our own."""
_VAGUEST: Final = 0.25


class Grown(Struct, frozen=True):
    """A fish and what its lengths say; `points` and `dates` are of those that count, `curve` None without any."""

    fish: Fish
    where: Whereabouts
    measures: tuple[Measured, ...]
    dates: tuple[date, ...]
    points: tuple[Point, ...]
    curve: GrowthCurve | None
    years_now: float

    def length_on(self, on: date, today: date) -> tuple[float, float] | None:
        """(total length, how well it is known) on a date [cm]; between measures the curve, None without any."""
        if self.curve is None:
            return None
        if on >= today:
            now = self.curve.foresee(self.years_now, 0.0)
            return _within(now.middle, now.sd)
        span = max(1, (today - self.dates[0]).days)
        band = self.curve.at(self.years_now * (on - self.dates[0]).days / span)
        return _within(band.middle, max(0.1, (band.high - band.low) / 2 / Z90))


def _within(total_cm: float, sd_cm: float) -> tuple[float, float]:
    """A length a fish can have, and a doubt that leaves it one: of a fish of a few cm anything may have become."""
    length_cm = min(150.0, max(1.0, total_cm))
    return length_cm, min(sd_cm, _VAGUEST * length_cm)


def grown(fish: Fish, where: Whereabouts, told: Sequence[Measured], warmth: DegreeDays, today: date) -> Grown:
    """What the lengths of a fish say; of a group the mean of each day."""
    counting = _of_group(told) if fish.count > 1 else [one for one in told if one.counts and one.total_cm is not None]
    dates = tuple(one.on for one in counting)
    if not dates:
        return Grown(fish, where, tuple(told), (), (), None, 0.0)
    years = warmth.years(where, [*dates, max(today, dates[-1])])
    points = tuple(
        Point(at, one.total_cm, one.sd_cm) for at, one in zip(years, counting, strict=False) if one.total_cm is not None
    )
    return Grown(fish, where, tuple(told), dates, points, curve_of(points), years[-1])


def _of_group(told: Sequence[Measured]) -> list[Measured]:
    """One mean length a day, known as well as fish of a group are alike: a tenth of their length."""
    days: dict[date, list[Measured]] = {}
    for one in told:
        if one.total_cm is not None:
            days.setdefault(one.on, []).append(one)
    found: list[Measured] = []
    for of_day in days.values():
        lengths = [one.total_cm for one in of_day if one.total_cm is not None]
        mean = sum(lengths) / len(lengths)
        last = of_day[-1]
        sd_cm = max(last.sd_cm, 0.1 * mean / len(lengths) ** 0.5)
        found.append(
            Measured(
                entry=last.entry,
                fish=last.fish,
                pond=last.pond,
                on=last.on,
                session=last.session,
                length_cm=None,
                length_is=last.length_is,
                total_cm=mean,
                sd_cm=sd_cm,
                weight_g=None,
            )
        )
    return found


def weighings_of(measures: Sequence[Measured]) -> list[Weighing]:
    """Those in which a fish was both measured and weighed, as far as they can be true."""
    return [
        Weighing(one.fish, one.on, one.total_cm, one.weight_g)
        for one in measures
        if one.total_cm is not None and one.weight_g is not None and one.counts and weight_counts(one)
    ]


def weight_on(one: Grown, weights: PondWeights, on: date, today: date) -> Band | None:
    """What one of it weighs on a date [g]; None where nothing was ever measured."""
    length = one.length_on(on, today)
    if length is not None:
        return weights.weight(one.fish.id, min(150.0, length[0]), on, length[1])
    weighed = [told.weight_g for told in one.measures if told.weight_g is not None]
    if not weighed:
        return None
    return Band(weighed[-1] * _WEIGHED_ALONE[0], weighed[-1], weighed[-1] * _WEIGHED_ALONE[1])


def waits_for_curve(one: Grown) -> str:
    """What is missing before a curve is told; empty when nothing is."""
    if one.fish.count > 1 or enough(one.points):
        return ""
    return f"A growth curve comes with {ENOUGH_POINTS} sessions over a year and a half; {len(one.points)} so far."
