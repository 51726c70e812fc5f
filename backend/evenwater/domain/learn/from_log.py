"""What the filter is told about a quantity, gathered from the log: readings, doses, changes of water, trickle, pace.

What a quantity is supposed to do before its log speaks is physics where the keeper told enough: food that is
nitrified eats KH and becomes nitrate. Else it is what a usual pond does.
"""

from collections.abc import Callable, Sequence
from datetime import date, datetime, time, timedelta
from statistics import fmean
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.entries import Reading, Salt, WaterChange, zone_named
from evenwater.domain.fold import Facts, Seen, buffer_doses, feeds, of_kinds, readings_of
from evenwater.domain.learn.estimate import KH_TUNING, Estimate, Event, Inflow, Tuning, advance, estimate, path
from evenwater.domain.learn.pace import pace_events
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.buffer import rise_dkh
from evenwater.domain.water.nitrification import alkalinity_dkh, tan_g_n_per_day
from evenwater.domain.water.salt import EC25_AFTER_US_PER_CM, us_per_cm_per_g_per_l
from evenwater.domain.water.source_water import known, point_levels, trickle_of

_FOOD_SEEN: Final = timedelta(days=21)
_NITRIFIED: Final = (0.7, 0.3)
"""Share of the food's nitrogen that costs alkalinity, and its spread: practice is 0.39 to 0.57, chemistry at most 1."""


def _like_kh(level: float, level_sd: float, scale: float, reading_share_sd: float) -> Tuning:
    """The noise of KH, in another quantity's unit; what it does by itself is not known."""
    return Tuning(
        level=level,
        level_sd=level_sd,
        use=0.0,
        use_sd=0.25 * scale,
        use_drift=0.01 * scale,
        use_drift_share=0.06,
        least_use=0.05 * scale,
        level_drift=0.05 * scale,
        source_sd=0.5 * scale,
        reading_share_sd=reading_share_sd,
    )


TUNINGS: Final[dict[str, Tuning]] = {
    "kh_dkh": KH_TUNING,
    "gh_dgh": _like_kh(8.0, 6.0, 1.0, 0.03),
    "nitrate_n_mg_per_l": _like_kh(10.0, 15.0, 2.0, 0.1),
    "ec25_us_per_cm": _like_kh(400.0, 300.0, 20.0, 0.02),
}
"""What can be learned, and what is supposed of it. Our own, near the noise of KH in steps of the usual kits.

What kits and probes err, 3, 10 and 2 in a hundred, is common practice, no source.
"""


class Learned(Struct, frozen=True):
    """What the log tells of a quantity: belief after each event, the pace from day to day, nitrogen by food [g/day].

    `rises`: the doses given, oldest first, with the rise each brought.
    """

    quantity: str
    believed: list[Estimate]
    paces: list[Event]
    nitrogen_g: float | None
    rises: Sequence[tuple[datetime, float]] = ()


def learn(pond: Pond, facts: Sequence[Seen], quantity: str, now: datetime, paces: list[Event] | None = None) -> Learned:
    """All there is to know of a quantity; nothing is believed without a volume or without any reading.

    Args:
        pond: The pond as set.
        facts: Its standing facts, oldest first.
        quantity: A key of TUNINGS.
        now: The moment; later facts are left out.
        paces: The pace of these facts, where it is at hand already.
    """
    paces = pace_events(facts) if paces is None else paces
    # Food and warmth drive what lives by nitrogen; hardness and conductivity do not follow them.
    paces = paces if quantity in _BY_FOOD else []
    nitrogen_g = nitrogen_g_per_day(pond, facts, now)
    if pond.volume_l is None or not readings_of(facts, quantity):
        return Learned(quantity, [], paces, nitrogen_g)
    events = events_of(pond, pond.volume_l, facts, quantity, now, paces)
    inflow, changes = inflows_of(pond, facts, quantity, now)
    all_told = sorted([*changes, *events], key=lambda event: event.at) if changes else events
    believed = path(all_told, now, inflow, _tuned(pond, quantity, nitrogen_g))
    rises = [(event.at, event.value) for event in events if event.kind == "dose"]
    return Learned(quantity, believed, paces, nitrogen_g, rises)


def estimate_of(pond: Pond, facts: Sequence[Seen], quantity: str, now: datetime) -> Estimate | None:
    """Where a quantity stands and how fast it falls; None where nothing is believed. Arguments as of `learn`."""
    believed = learn(pond, facts, quantity, now).believed
    return advance(believed[-1], now) if believed else None


def supposed(pond: Pond, facts: Sequence[Seen], quantity: str, level: float, now: datetime) -> Estimate:
    """What would be believed had the pond no log but a rough reading of that level now."""
    found = estimate(
        [Event(now, "reading", level, 2.0)],
        now,
        inflow_of(pond, facts, quantity, now),
        tuning_of(pond, facts, quantity, now),
    )
    assert found is not None
    return found


def events_of(
    pond: Pond, volume_l: float, facts: Sequence[Seen], quantity: str, now: datetime, paces: Sequence[Event]
) -> list[Event]:
    """All that moves a quantity or measures it, oldest first; `volume_l` where the facts know of no other then [L]."""
    step = pond.kh_kit_step_dkh if quantity == "kh_dkh" else QUANTITIES[quantity].step
    events = [
        Event(one.at, "reading", one.entry.value, one.entry.step or step)
        for one in readings_of(facts, quantity)
        if isinstance(one.entry, Reading)
    ]
    purity = pond.purity_fraction
    if quantity == "kh_dkh":
        events += [
            Event(at, "dose", rise_dkh(volume_on(facts, one.on, volume_l), grams, substance, purity))
            for at, grams, substance, one in buffer_doses(facts)
        ]
    if quantity == "ec25_us_per_cm":
        events += [
            Event(one.at, "dose", _salted_us_per_cm(one.entry.salt_g * one.entry.purity_fraction / water_l))
            for one in of_kinds(facts, Salt)
            if isinstance(one.entry, Salt)
            for water_l in (volume_on(facts, one.on, volume_l),)
        ]
    return sorted([*paces, *events, *_mixes(pond, volume_l, facts, quantity, now)], key=lambda event: event.at)


def volume_on(facts: Sequence[Seen], on: date, now_l: float) -> float:
    """How much water there was on a date [L], where the facts know it; else as much as now."""
    return _on(facts.volumes if isinstance(facts, Facts) else (), on, now_l)


def _on(held: Sequence[tuple[date, float]], on: date, now: float) -> float:
    """What held on a date; before the first, the first did."""
    return next((value for since, value in reversed(held) if since <= on), held[0][1] if held else now)


def inflows_of(pond: Pond, facts: Sequence[Seen], quantity: str, now: datetime) -> tuple[Inflow, list[Event]]:
    """What came in at first, and each change of it from its date on; it carries what it is known to carry now."""
    as_now = inflow_of(pond, facts, quantity, now)
    if not isinstance(facts, Facts) or not pond.volume_l or as_now == Inflow():
        return as_now, []
    dates = sorted({since for since, _ in (*facts.volumes, *facts.inflows)} - {date.min})

    def share(on: date) -> float:
        return _on(facts.inflows, on, pond.inflow_l_per_day) / volume_on(facts, on, pond.volume_l or 1.0)

    zone = zone_named(pond.zone)
    changes = [
        Event(datetime.combine(on, time(0), zone), "inflow", as_now.source, share=share(on))
        for on in dates
        if on <= now.astimezone(zone).date()
    ]
    return (Inflow(share(date.min), as_now.source) if dates else as_now), changes


def _salted_us_per_cm(salt_g_per_l: float) -> float:
    """What salt lifts conductivity by; twice is enough to find the slope at a rise that hangs on it."""
    rise = salt_g_per_l * us_per_cm_per_g_per_l(0.0)
    return salt_g_per_l * us_per_cm_per_g_per_l(min(EC25_AFTER_US_PER_CM[1], rise))


def inflow_of(pond: Pond, facts: Sequence[Seen], quantity: str, now: datetime) -> Inflow:
    """The trickle, where what it carries is known; otherwise its dilution is part of what the pond is seen to use."""
    source = getattr(trickle_of(pond, facts, now), quantity)
    if source is None or pond.volume_l is None:
        return Inflow()
    return Inflow(pond.inflow_l_per_day / pond.volume_l, source)


def tuning_of(pond: Pond, facts: Sequence[Seen], quantity: str, now: datetime) -> Tuning:
    """What is supposed of a quantity in this pond: by its food where that is known."""
    return _tuned(pond, quantity, nitrogen_g_per_day(pond, facts, now))


def _tuned(pond: Pond, quantity: str, nitrogen_g: float | None) -> Tuning:
    start = TUNINGS[quantity]
    if nitrogen_g is None or pond.volume_l is None or quantity not in _BY_FOOD:
        return start
    share, share_sd = _NITRIFIED
    full = _BY_FOOD[quantity](nitrogen_g, pond.volume_l)
    return replace(start, use=share * full, use_sd=share_sd * abs(full) + start.use_sd / 3)


_BY_FOOD: Final[dict[str, Callable[[float, float], float]]] = {
    "kh_dkh": alkalinity_dkh,
    "nitrate_n_mg_per_l": lambda nitrogen_g, volume_l: -1000.0 * nitrogen_g / volume_l,
}
"""What a day's nitrogen [g] takes from a quantity in that volume [L], all of it nitrified."""


def nitrogen_g_per_day(pond: Pond, facts: Sequence[Seen], now: datetime) -> float | None:
    """Ammonia nitrogen out of the food, over the last three weeks' days with food, or by the setting [g/day]."""
    by_day: dict[object, float] = {}
    for one, feed_g, protein_fraction in feeds(facts):
        if now - _FOOD_SEEN <= one.at <= now:
            share = pond.protein_fraction if protein_fraction is None else protein_fraction
            by_day[one.on] = by_day.get(one.on, 0.0) + tan_g_n_per_day(feed_g, share)
    if by_day:
        return fmean(by_day.values())
    return None if pond.feed_g_per_day is None else tan_g_n_per_day(pond.feed_g_per_day, pond.protein_fraction)


def food_g_per_day(pond: Pond, facts: Sequence[Seen], now: datetime) -> float | None:
    """Food on a day with food, over the last three weeks, or by the setting [g/day]."""
    by_day: dict[object, float] = {}
    for one, feed_g, _ in feeds(facts):
        if now - _FOOD_SEEN <= one.at <= now:
            by_day[one.on] = by_day.get(one.on, 0.0) + feed_g
    return round(fmean(by_day.values()), 1) if by_day else pond.feed_g_per_day


def _mixes(pond: Pond, volume_l: float, facts: Sequence[Seen], quantity: str, now: datetime) -> list[Event]:
    changes = [
        (one, one.entry)
        for one in of_kinds(facts, WaterChange)
        if isinstance(one.entry, WaterChange) and one.entry.point != "pond"
    ]
    if not changes:
        return []
    levels = point_levels(pond, facts, now)
    found = [(one, entry, known(levels[entry.point], quantity)) for one, entry in changes]
    return [
        Event(one.at, "mix", level, share=min(1.0, entry.volume_l / volume_on(facts, one.on, volume_l)))
        for one, entry, level in found
        if level is not None
    ]
