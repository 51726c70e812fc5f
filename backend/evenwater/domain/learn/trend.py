"""A quantity over time: what was believed each evening, and what is expected of the next seven.

Everything stands on evenings at the pond, so that the same log says the same all day long: on what a test would read
before that day's dose, for that is when a keeper tests, and when a forecast can be held to a reading.
"""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from math import sqrt

from evenwater.domain.entries import zone_named
from evenwater.domain.keeper_units import change_number, unit_for
from evenwater.domain.learn.estimate import BAND_SIGMAS, Estimate, advance, dosed
from evenwater.domain.learn.from_log import Learned
from evenwater.domain.learn.pace import changed_markedly
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.units import SECONDS_PER_DAY
from evenwater.domain.water.outlook import Trend
from evenwater.domain.workings import Given, Step, Workings

EVENING = time(18)
PAST_DAYS, DAYS_AHEAD = 42, 7
FEW_READINGS = 3
"""Fewer tell little of a pond's own use. Our own."""
# 99.9 % of a normal law lies within this many standard deviations.
_NEARLY_SURELY = 3.29
SOURCE = "Our own filter over this log; what food takes from KH: US EPA, Nitrogen Control (1993), from memory."

Rises = Sequence[tuple[datetime, float]]
"""Doses to come: when, and the rise each brings."""


def trend_of(
    pond: Pond,
    learned: Learned,
    today: date,
    wanted: tuple[float | None, float | None],
    planned: Rises = (),
) -> Trend | None:
    """What the log tells of a quantity, and a forecast that supposes the planned doses given.

    Args:
        pond: The pond as set.
        learned: What its log tells of the quantity.
        today: The civil date at the pond.
        wanted: The good band, to be drawn.
        planned: Doses to come, oldest first.

    Returns:
        The trend, None where nothing is believed.
    """
    quantity, believed = learned.quantity, learned.believed
    if not believed:
        return None
    evenings = [_evening(pond, today, ahead) for ahead in range(-PAST_DAYS, DAYS_AHEAD + 1)]
    state = believed[-1]
    kind = QUANTITIES[quantity]
    learning = changed_markedly(learned.paces, state.at)
    past = _past(learned, evenings, kind.decimals + 1)
    to_come = [at for at in evenings if at > state.at and (not past or at > past[-1][0])]
    return Trend(
        quantity=quantity,
        point="pond",
        label=kind.label,
        unit=kind.unit,
        past=tuple(past),
        forecast=tuple(_forecast(pond, quantity, state, to_come, planned)),
        wanted=wanted,
        says=_says(pond, learned, state, learning),
        workings=_workings(learned, state),
    )


def expected_reading(pond: Pond, learned: Learned, now: datetime) -> tuple[float, float] | None:
    """What nearly every reading would lie between, were one taken in the course of that day or the next.

    Args:
        pond: The pond as set.
        learned: What its log tells of the quantity, up to now.
        now: The moment.

    Returns:
        Lowest and highest, None where nothing is known yet.
    """
    quantity = learned.quantity
    if not learned.believed or learned.believed[-1].readings < FEW_READINGS:
        return None
    state = advance(learned.believed[-1], now)
    later = advance(state, now + timedelta(days=1))
    step = kit_step(pond, quantity)
    half = _NEARLY_SURELY * sqrt(later.var_level + later.reading_var(step)) + step
    low, high = min(state.level, later.level), max(state.level, later.level)
    return max(QUANTITIES[quantity].low, low - half), min(QUANTITIES[quantity].high, high + half)


def kit_step(pond: Pond, quantity: str) -> float:
    """One step of the kit a quantity is read with."""
    return pond.kh_kit_step_dkh if quantity == "kh_dkh" else QUANTITIES[quantity].step


def _evening(pond: Pond, today: date, ahead: int) -> datetime:
    return datetime.combine(today + timedelta(days=ahead), EVENING, zone_named(pond.zone))


def _past(learned: Learned, evenings: Sequence[datetime], decimals: int) -> list[tuple[datetime, float]]:
    believed = learned.believed
    first: dict[date, tuple[datetime, float]] = {}
    for at, rise in learned.rises:
        first.setdefault(at.astimezone(evenings[0].tzinfo).date(), (at, rise))
    found: list[tuple[datetime, float]] = []
    nth = -1
    for evening in evenings:
        at, rise = first.get(evening.date(), (evening, 0.0))
        if at > evening:
            at, rise = evening, 0.0
        if at > believed[-1].at:
            break
        while nth + 1 < len(believed) and believed[nth + 1].at <= at:
            nth += 1
        if nth >= 0:
            found.append((evening, round(max(0.0, advance(believed[nth], at).level - rise), decimals)))
    return found


def _forecast(
    pond: Pond, quantity: str, state: Estimate, evenings: Sequence[datetime], planned: Rises
) -> list[tuple[datetime, float, float, float]]:
    start, step = state.at, kit_step(pond, quantity)
    kind, places = QUANTITIES[quantity], QUANTITIES[quantity].decimals + 1
    to_come = [(max(at, start), rise) for at, rise in planned]
    found: list[tuple[datetime, float, float, float]] = []
    for evening in evenings:
        tested: Estimate | None = None
        while to_come and to_come[0][0] <= evening:
            at, rise = to_come.pop(0)
            state = advance(state, at)
            if tested is None and at.astimezone(evening.tzinfo).date() == evening.date():
                tested = state
            state = dosed(state, rise)
        state = advance(state, evening)
        tested = tested or state
        days = (tested.at - start).total_seconds() / SECONDS_PER_DAY
        half = BAND_SIGMAS * sqrt(tested.var_level + (days * tested.own_figures_sd) ** 2 + tested.reading_var(step))
        low, high = max(kind.low, tested.level - half), min(kind.high, tested.level + half)
        found.append((evening, round(low, places), round(tested.level, places), round(high, places)))
    return found


def _says(pond: Pond, learned: Learned, state: Estimate, learning: bool) -> str:
    quantity = learned.quantity
    change, half, unit = state.change_at(state.level), state.loss_half_width, unit_for(pond, quantity).unit
    decimals = 2 if quantity in {"kh_dkh", "gh_dgh"} else 1
    by, sure = (change_number(pond, quantity, one, decimals) for one in (abs(change), half))
    rate = f"{'Loses' if change >= 0 else 'Gains'} {by} ± {sure} {unit} a day, as your kit reads"
    if abs(change) < half / 2:
        rate = f"Holds its level, within {sure} {unit} a day, as your kit reads"
    if state.doubted_at is not None:
        doubted = f"The reading of {_day(pond, state.doubted_at)} is far from the rest: kept, not believed"
        return f"{rate}. {doubted}; test again."
    if learning:
        return f"{rate}; learning again, since food or warmth changed."
    if state.readings < FEW_READINGS:
        return f"{rate}. {_leans_on(learned, state)}"
    return f"{rate}; from {state.readings} readings."


def _leans_on(learned: Learned, state: Estimate) -> str:
    parts = [
        "trickle" if state.inflow.share_per_day > 0 else "",
        "food" if learned.nitrogen_g is not None and learned.quantity == "kh_dkh" else "",
    ]
    on = " and ".join(part for part in parts if part) or "what usual ponds do"
    return f"Few readings yet: this leans on {on}."


def _workings(learned: Learned, state: Estimate) -> Workings:
    quantity, nitrogen_g = learned.quantity, learned.nitrogen_g
    unit = QUANTITIES[quantity].unit
    inputs = [
        Given("readings", state.readings, "", "the log"),
        Given("level", f"{state.level:.2f} ± {BAND_SIGMAS * state.level_sd:.2f}", unit, "learned from the log"),
        Given("trickle", round(100 * state.inflow.share_per_day, 2), "% of the pond a day", "Pond book"),
        Given("level of the trickle", round(state.inflow.source, 2), unit, "source water"),
    ]
    if nitrogen_g is not None:
        inputs.append(Given("ammonia nitrogen from food", round(nitrogen_g, 1), "g a day", "food in the log, or set"))
    dilution = state.inflow.share_per_day * (state.level - state.inflow.source)
    steps = (
        Step("use, at the warmth and food of now", f"{state.use_now_per_day:.3f} {unit} a day"),
        Step("of that, how much faster or slower than usual", f"{state.pace:.2f}"),
        Step("dilution = trickle × (level - level of the trickle)", f"{dilution:.3f} {unit} a day"),
        Step("together", f"{state.change_at(state.level):.3f} ± {state.loss_half_width:.3f} {unit} a day"),
    )
    result = f"{state.change_at(state.level):.2f} {unit} a day"
    return Workings(title=QUANTITIES[quantity].label, inputs=tuple(inputs), steps=steps, result=result, source=SOURCE)


def _day(pond: Pond, at: datetime) -> str:
    local = at.astimezone(zone_named(pond.zone))
    return f"{local.day} {local:%b}"
