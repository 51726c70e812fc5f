"""What the covers should do tonight and tomorrow: needed or not, and why, from where the water would go."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import zone_named
from evenwater.domain.keeper_units import change_words, level_words
from evenwater.domain.warmth.ahead import Way, way
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.heat.heat_balance import net_gain
from evenwater.domain.warmth.heat_log import OFF, ON

HOUR = timedelta(hours=1)
WORTH_A_LIFT_K: Final = 0.3
"""Less than this by morning [K] is not worth lifting covers for. Our own rule of thumb."""

Windows = Mapping[tuple[date, str], tuple[datetime, datetime]]
"""When covers may be put off or on: by date and slot, from and to."""


class CoverAdvice(Struct, frozen=True):
    """Whether covers need moving then, and why."""

    stood_down: bool
    reason: str


class Night(Struct, frozen=True):
    """The water through the night that begins on `on`, covered and open, from when covers go on."""

    on: date
    begins_at: datetime
    dawn_at: datetime
    covered: Way
    bare: Way


def night_of(heat: Heat, windows: Windows, today: date, now: datetime) -> Night | None:
    """Tonight, or what is left of the night that is not over; None where too little is known."""
    for on in (today - timedelta(days=1), today, today + timedelta(days=1)):
        evening, morning = windows.get((on, ON)), windows.get((on + timedelta(days=1), OFF))
        if evening is None or morning is None or morning[0] <= now:
            continue
        hours = int((morning[1] - now) / HOUR) + 12
        covered, bare = way(heat, _full(heat), now, hours), way(heat, 0.0, now, hours)
        if covered is None or bare is None or (morning[0] - now) / HOUR > len(covered.mean_c) - 1:
            return None
        begins_at = max(now, evening[0])
        if begins_at > now:
            # Until dusk the covers lie as they lie now.
            until = way(heat, _lies(heat), now, int((begins_at - now) / HOUR) + 1)
            assert until is not None
            begun_h = int(-(-(begins_at - now) // HOUR))
            begins_at = now + HOUR * begun_h
            covered = _joined(until, way(heat, _full(heat), begins_at, hours - begun_h, until), begun_h)
            bare = _joined(until, way(heat, 0.0, begins_at, hours - begun_h, until), begun_h)
        return Night(on, begins_at, morning[0], covered, bare)
    return None


def _joined(until: Way, after: Way | None, hours: int) -> Way:
    assert after is not None
    return Way(until.starts_at, (*until.mean_c[:hours], *after.mean_c), (*until.half_k[:hours], *after.half_k))


def _full(heat: Heat) -> float:
    return heat.pond.cover.covered_fraction if heat.pond.cover else 1.0


def _lies(heat: Heat) -> float:
    """How the covers lie now; open where nobody said."""
    last = [covered for at_h, covered in heat.known.covers if at_h <= heat.now_h]
    return (last[-1] if last else None) or 0.0


def cover_advice(heat: Heat, night: Night | None, windows: Windows, today: date) -> dict[tuple[date, str], CoverAdvice]:
    """Advice for tonight's covers and tomorrow's, by date and slot; without a forecast there is none."""
    if night is None:
        return {}
    found: dict[tuple[date, str], CoverAdvice] = {}
    on = _on_advice(heat, night)
    found[night.on, ON] = on
    tomorrow = night.on + timedelta(days=1)
    if on.stood_down:
        found[tomorrow, OFF] = CoverAdvice(True, f"Left off {_weekday(night.on)} night: it was mild.")
    else:
        off = _off_reason(heat, windows, tomorrow)
        if off:
            found[tomorrow, OFF] = CoverAdvice(False, off)
    this_morning = windows.get((today, OFF))
    if (today, OFF) not in found and this_morning is not None:
        reason = _off_reason(heat, windows, today)
        if reason:
            found[today, OFF] = CoverAdvice(False, reason)
    return found


def _on_advice(heat: Heat, night: Night) -> CoverAdvice:
    pond, start_c = heat.pond, night.covered.at(night.begins_at)[0]
    covered_c, bare_c = night.covered.at(night.dawn_at)[0], night.bare.at(night.dawn_at)[0]
    open_k, covered_k = start_c - bare_c, start_c - covered_c
    low_c = min(_airs(heat, night.begins_at, night.dawn_at))
    floor_c = pond.warm_low_c
    if covered_c - bare_c < WORTH_A_LIFT_K and (floor_c is None or bare_c - night.bare.at(night.dawn_at)[1] > floor_c):
        more = change_words(pond, "temperature_c", max(0.0, covered_c - bare_c))
        low = level_words(pond, "air_temperature_c", round(low_c))
        return CoverAdvice(True, f"Mild night, {low}: open, the water would be only {more} cooler by morning.")
    return CoverAdvice(
        False, f"Open, the water would {_lose(heat, open_k)} by morning; covered {_short(heat, covered_k)}."
    )


def _lose(heat: Heat, change_k: float) -> str:
    words = change_words(heat.pond, "temperature_c", abs(change_k))
    return f"lose {words}" if change_k >= 0 else f"gain {words}"


def _short(heat: Heat, change_k: float) -> str:
    words = change_words(heat.pond, "temperature_c", abs(change_k))
    return words if change_k >= 0 else f"it would gain {words}"


def _airs(heat: Heat, begins_at: datetime, ends_at: datetime) -> list[float]:
    first, last = int(heat.place(begins_at)), int(heat.place(ends_at)) + 1
    return [float(one) for one in heat.air.weather.air_c[first:last]]


def _off_reason(heat: Heat, windows: Windows, on: date) -> str:
    """From when on the sun brings more than the open surface loses, compared with leaving the covers on."""
    morning, evening = windows.get((on, OFF)), windows.get((on, ON))
    if morning is None or evening is None or heat.belief is None:
        return ""
    first, last = int(heat.place(morning[0])), int(heat.place(evening[0]))
    if first < heat.now_h - 12 or last > len(heat.fluxes.air_c) or last > heat.now_h + heat.air.ahead:
        return ""
    water_c = float(heat.belief.mean[0])
    gained = [
        net_gain(heat.model, heat.fluxes, hour, water_c, 0.0)[0]
        - net_gain(heat.model, heat.fluxes, hour, water_c, _full(heat))[0]
        for hour in range(first, last)
    ]
    pays = [hour for hour, watts in enumerate(gained) if watts > 0]
    total_k = -sum(gained) * 3600 / heat.model.capacity_j_per_k
    if total_k < -WORTH_A_LIFT_K / 3 and pays:
        at = heat.at(first + pays[0]).astimezone(zone_named(heat.pond.zone))
        gain = change_words(heat.pond, "temperature_c", -total_k)
        when = "" if pays[0] == 0 else f" From {at:%H}:00 on the sun brings more than open water loses."
        return f"Open by day the water gains {gain} of sun.{when}"
    if total_k > WORTH_A_LIFT_K:
        lost = change_words(heat.pond, "temperature_c", total_k)
        return f"A cold day: open until dusk costs {lost}. Lift them to feed and look; longer only if need be."
    return ""


def _weekday(on: date) -> str:
    return f"{on:%A}"
