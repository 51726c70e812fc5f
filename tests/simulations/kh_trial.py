"""A keeper who follows the plan for half a year on a simulated pond; what the learner said on each evening."""

import random
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import UUID

from kh_truth import Truth

from evenwater.domain.entries import Dose, Entry, Feed, Reading, WaterChange
from evenwater.domain.fold import Seen
from evenwater.domain.learn.estimate import BAND_SIGMAS, advance
from evenwater.domain.learn.from_log import estimate_of
from evenwater.domain.pond import Mains, Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.rounds.amounts.dose_chart import Ask, plan_doses
from evenwater.domain.rounds.held.hold_back import LOW_REASON
from evenwater.domain.rounds.today import rounded_g
from evenwater.domain.water.buffer import bicarbonate_dose_g

START = datetime(2026, 1, 1, 18, tzinfo=UTC)
DAYS, LEARNED_AFTER = 180, 30
JUDGED_SHARE = 1 / 3
EVERY_DAYS, STEPS = (1, 2, 3, 7), (0.5, 1.0)
CHANGED_SHARE = 0.1
_ID = str(UUID(int=1))


@dataclass(frozen=True)
class Evening:
    """What was foretold one evening, and what came true."""

    pond: int
    well_known: bool
    step: float
    every_days: int
    volume_l: float
    season: str
    age_days: float
    day: int
    loss: float
    loss_half_width: float
    filter_half_width: float
    forecast: float
    low: float
    high: float
    truth: float
    next_reading: float
    by_last: float
    by_trend: float
    level_error: float
    last_error: float


@dataclass
class Outcome:
    """One pond's half year: its evenings, what it lost each day, and the largest rise in any 24 h, in limits."""

    evenings: list[Evening]
    lost: list[float]
    rise_share: float
    real_rise_share: float


class Keeper:
    """Reads, doses, and writes most of it down."""

    def __init__(self, number: int, seed: int, well_known: bool, every_days: int, step: float) -> None:
        self.number, self.every_days, self.step = number, every_days, step
        self.draw = draw = random.Random(f"{seed}/{number}")
        self.truth = truth = Truth(draw, well_known)
        self.writes_food, self.writes_warmth = draw.random() < 0.5, draw.random() < 0.6
        self.changes = draw.random() < 0.3
        self.tap = draw.uniform(1.0, 8.0)
        self.pond = Pond(
            id="main",
            volume_l=truth.volume_l,
            inflow_l_per_day=truth.inflow_share * truth.volume_l,
            source_kh_dkh=truth.source,
            mains=Mains(kh_dkh=self.tap),
            kh_kit_step_dkh=step,
            capful_g=draw.choice((None, 27.0)),
            feed_g_per_day=draw.choice((None, truth.usual_feed_g * draw.uniform(0.7, 1.3))),
        )
        self.g_per_dkh = bicarbonate_dose_g(truth.volume_l, 1.0, self.pond.substance, self.pond.purity_fraction)
        self.facts: list[Seen] = []
        self.given: list[tuple[datetime, float]] = []
        self.poured: list[tuple[datetime, float]] = []
        self.sane: list[tuple[datetime, float]] = []
        self.lost: list[float] = []
        self.due = 0.0

    def write(self, kind: type[Entry], at: datetime, **fields: object) -> None:
        envelope = {"id": _ID, "v": 1, "pond": "main", "zone": "UTC", "device": _ID, "author": _ID}
        when = {"happened_at": at, "recorded_at": at, "local_date": at.date()}
        self.facts.append(Seen(kind(**envelope, **when, **fields), len(self.facts) + 1, at, at.date()))

    def read(self, at: datetime, day: int) -> None:
        """The test, when it is due and not missed; one in a hundred has its point in the wrong place."""
        away = 70 <= day < 82
        if day < self.due or away or self.draw.random() < 0.1:
            return
        self.due = day + self.every_days
        value = self.truth.read(self.step)
        self.sane.append((at, value))
        typed = _mistyped(value) if self.draw.random() < 0.01 else value
        self.write(Reading, at, quantity="kh_dkh", value=typed, step=self.step)

    def dose(self, at: datetime) -> None:
        """As the plan says, nine evenings in ten; one in twenty-five is not written down."""
        plan = plan_doses(self.pond, self.facts, [Ask(at, 1.0, False)], at)[0]
        if plan.chart and (plan.chart.no_reading_reason or "").endswith(LOW_REASON):
            self.go_carefully(at)
            plan = plan_doses(self.pond, self.facts, [Ask(at, 1.0, False)], at)[0]
        if plan.held or (plan.chart and plan.chart.no_reading_reason) or self.draw.random() < 0.1:
            return
        given = sum(grams for then, grams in self.given if then > at - timedelta(hours=24))
        grams = rounded_g(plan.unrounded_g, max(0.0, plan.limit_g - given), self.pond.capful_g)
        if grams <= 0:
            return
        before = self.truth.kh
        self.truth.give_g(grams, self.g_per_dkh)
        self.poured.append((at, self.truth.kh - before))
        if self.draw.random() > 0.04:
            self.write(Dose, at, substance=self.pond.substance, amount_g=grams)
            self.given.append((at, grams))

    def go_carefully(self, at: datetime) -> None:
        """What the card says where KH has run out, before any buffer: test, and there is next to no ammonia."""
        self.write(Reading, at, quantity="tan_mg_n_per_l", value=0.0, step=0.1)

    def care(self, at: datetime, day: int) -> None:
        """Food, warmth and water changes of the day, as far as this keeper writes them down."""
        if self.writes_food and self.draw.random() < 0.85:
            self.write(Feed, at, feed_g=self.truth.fed_g * self.draw.uniform(0.85, 1.15))
        if self.writes_warmth and day % 2 == 0:
            self.write(Reading, at, quantity="temperature_c", value=round(self.truth.warmth_c, 1))
        if self.changes and day % 14 == 13:
            self.truth.change(CHANGED_SHARE, self.tap)
            self.write(WaterChange, at, volume_l=CHANGED_SHARE * self.truth.volume_l, point="mains")


def half_a_year(number: int, seed: int) -> Outcome:
    """One pond; its number decides kit, habit and whether its figures are well known."""
    well_known, rest = number % 2 == 0, number // 2
    keeper = Keeper(number, seed, well_known, EVERY_DAYS[rest % 4], STEPS[rest // 4 % 2])
    truth, evenings = keeper.truth, []
    for _ in range(5):
        truth.live_a_day()
    for day in range(DAYS):
        at = START + timedelta(days=day, minutes=keeper.draw.randrange(40))
        truth.live_a_day()
        keeper.lost.append(truth.lost_today)
        keeper.care(at - timedelta(hours=1), day)
        keeper.read(at, day)
        keeper.dose(at + timedelta(minutes=10))
        if day >= LEARNED_AFTER and keeper.sane and keeper.draw.random() < JUDGED_SHARE:
            evenings.append(_evening(keeper, at + timedelta(minutes=15)))
    return Outcome(evenings, keeper.lost, *_rises(keeper))


def real_loss(outcome: Outcome, day: int) -> float:
    """What the pond really lost a day about then: the mean of a week, three days either way [°dKH]."""
    week = outcome.lost[max(0, day - 3) : day + 4]
    return sum(week) / len(week)


def _evening(keeper: Keeper, at: datetime) -> Evening:
    truth = keeper.truth
    state = estimate_of(keeper.pond, keeper.facts, "kh_dkh", at)
    assert state is not None
    tomorrow = advance(state, at + timedelta(days=1))
    half = BAND_SIGMAS * (tomorrow.var_level + state.own_figures_sd**2 + keeper.step**2 / 6) ** 0.5
    # What tomorrow brings is lived by a twin, so that looking ahead changes nothing.
    twin = _twin(truth)
    twin.live_a_day()
    (read_at, read), by_trend = keeper.sane[-1], _by_trend(keeper, at)
    return Evening(
        pond=keeper.number,
        day=len(keeper.lost) - 1,
        well_known=truth.well_known,
        step=keeper.step,
        every_days=keeper.every_days,
        volume_l=truth.volume_l,
        season=truth.season,
        age_days=(at - read_at).total_seconds() / 86_400,
        loss=state.change_at(state.level),
        loss_half_width=state.loss_half_width,
        filter_half_width=BAND_SIGMAS * state.var_use**0.5 * state.pace,
        forecast=tomorrow.level,
        low=tomorrow.level - half,
        high=tomorrow.level + half,
        truth=twin.kh,
        next_reading=twin.read(keeper.step),
        by_last=read,
        by_trend=by_trend,
        level_error=state.level - truth.kh,
        last_error=read - truth.kh,
    )


def _mistyped(value: float) -> float:
    """The point left out, or, where that is refused as impossible, put too far left."""
    return value * 10 if value * 10 <= QUANTITIES["kh_dkh"].high else value / 10


def _twin(truth: Truth) -> Truth:
    twin = Truth.__new__(Truth)
    twin.__dict__.update(truth.__dict__)
    twin.draw = random.Random(truth.draw.random())
    return twin


def _by_trend(keeper: Keeper, at: datetime) -> float:
    """The last reading, the doses since, and the change of the last interval between readings, doses counted."""
    read_at, read = keeper.sane[-1]
    since = _rise(keeper, read_at, at)
    days = (at - read_at).total_seconds() / 86_400 + 1
    if len(keeper.sane) < 2:
        return read + since
    before_at, before = keeper.sane[-2]
    apart = (read_at - before_at).total_seconds() / 86_400
    lost_a_day = (before + _rise(keeper, before_at, read_at) - read) / apart
    return read + since - lost_a_day * days


def _rise(keeper: Keeper, after: datetime, until: datetime) -> float:
    return sum(grams for then, grams in keeper.given if after <= then < until) / keeper.g_per_dkh


def _rises(keeper: Keeper) -> tuple[float, float]:
    """The largest rise in 24 h: of what was written down, in the volume told; and really, all that was poured."""
    limit = keeper.pond.kh_rise_limit_dkh
    told = [(at, grams / keeper.g_per_dkh) for at, grams in keeper.given]
    return tuple(  # type: ignore[return-value]
        max((sum(r for then, r in doses if at - timedelta(hours=24) < then <= at) for at, _ in doses), default=0.0)
        / limit
        for doses in (told, keeper.poured)
    )
