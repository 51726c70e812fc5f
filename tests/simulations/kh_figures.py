"""Figures of the KH learner, by stratum."""

import statistics
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

from kh_trial import Evening, Outcome, half_a_year, real_loss

Told = tuple[Evening, float]
"""An evening and the loss that really was [°dKH/day]."""


def run(ponds: int, seed: int) -> list[Outcome]:
    with ProcessPoolExecutor(2) as pool:
        return list(pool.map(partial(half_a_year, seed=seed), range(ponds), chunksize=2))


def told(outcomes: Iterable[Outcome], well_known: bool | None = None) -> list[Told]:
    return [
        (one, real_loss(outcome, one.day))
        for outcome in outcomes
        for one in outcome.evenings
        if well_known is None or one.well_known == well_known
    ]


def rms(values: Iterable[float]) -> float:
    return statistics.fmean(value * value for value in values) ** 0.5


def covered(evenings: Iterable[Told]) -> float:
    """Share of evenings on which the band of the loss held the loss."""
    return statistics.fmean(abs(one.loss - real) <= one.loss_half_width for one, real in evenings)


def tomorrow_ratio(evenings: list[Told]) -> float:
    """Error of tomorrow's KH against the truth, over that of the better of the two simple guesses."""
    ours = rms(one.forecast - one.truth for one, _ in evenings)
    simple = min(
        rms(one.by_last - one.truth for one, _ in evenings), rms(one.by_trend - one.truth for one, _ in evenings)
    )
    return ours / simple


def ponds_below(outcomes: Iterable[Outcome], share: float) -> float:
    each = [covered(told([outcome])) for outcome in outcomes if outcome.evenings]
    return statistics.fmean(one < share for one in each)


def reads_as_foretold(evenings: list[Told], step: float, by: str = "forecast") -> float:
    """Share of evenings, a reading at most three days old, on which the next reading is the rounded forecast.

    `by` "truth" tells what the best forecast there can be would reach.
    """
    fresh = [one for one, _ in evenings if one.step == step and one.age_days <= 3]
    return statistics.fmean(abs(one.next_reading - round(getattr(one, by) / step) * step) < step / 2 for one in fresh)


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    name: str
    evenings: int
    coverage: float
    width: float
    filter_width: float
    tomorrow: float
    ratio: float
    in_band: float

    def __str__(self) -> str:
        return (
            f"{self.name:<22}{self.evenings:>8}{self.coverage:>10.2f}{self.width:>8.2f}{self.filter_width:>8.2f}"
            f"{self.tomorrow:>10.2f}{self.ratio:>8.2f}{self.in_band:>9.2f}"
        )


HEAD = f"{'':<22}{'evenings':>8}{'coverage':>10}{'width':>8}{'filter':>8}{'tomorrow':>10}{'ratio':>8}{'in band':>9}"


def row(name: str, evenings: list[Told]) -> Row:
    return Row(
        name,
        len(evenings),
        covered(evenings),
        2 * statistics.median(one.loss_half_width for one, _ in evenings),
        2 * statistics.median(one.filter_half_width for one, _ in evenings),
        rms(one.forecast - one.truth for one, _ in evenings),
        tomorrow_ratio(evenings),
        statistics.fmean(one.low <= one.next_reading <= one.high for one, _ in evenings),
    )


STRATA: tuple[tuple[str, Callable[[Evening], object]], ...] = (
    ("figures well known", lambda one: one.well_known),
    ("kit step", lambda one: one.step),
    ("read every, days", lambda one: one.every_days),
    ("volume", lambda one: "under 12 m3" if one.volume_l < 12_000 else "12 m3 and more"),
    ("season", lambda one: one.season),
)


def table(outcomes: list[Outcome]) -> list[Row]:
    everything = told(outcomes)
    rows = [row("all", everything)]
    for name, key in STRATA:
        for value in sorted({key(one) for one, _ in everything}, key=str):
            rows.append(row(f"{name}: {value}", [pair for pair in everything if key(pair[0]) == value]))
    return rows
