"""What needs an eye now: water that falls too fast or too low, a probe that went silent, wind and snow on the covers.

They stand on the Warmth page, and are told to whoever is on duty (`rounds/concerns.py`); only those that ask to act go
past the first. No alarm system: without power at home nothing is said.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

import numpy as np

from evenwater.domain.entries import Look, zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import change_words, level_words
from evenwater.domain.warmth.covers import Night
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.heat_log import water_readings
from evenwater.domain.warmth.outlook import WarmthFinding
from evenwater.domain.warmth.pond_air import Samples
from evenwater.domain.warmth.series import OWN

_SILENT, _STILL_OURS = timedelta(hours=3), timedelta(days=14)
_BELOW_SETTING_K: Final = 2.0
_NEAR_FLOOR_C: Final = 6.0
_GALE_M_PER_S: Final = 14.0
"""Gusts that lift panels which are not fastened [m/s]; about 50 km/h. Common practice, no source."""
_SNOW_CM: Final = 3.0
_BRIGHT_W_PER_M2: Final = 400.0
_AHEAD_H: Final = 24


def warnings_of(
    heat: Heat, facts: Sequence[Seen], samples: Samples, night: Night | None, target_c: float | None, now: datetime
) -> list[WarmthFinding]:
    """Every warning that holds now, the gravest first."""
    found = [
        _too_low(heat, target_c),
        _falls(heat, facts, samples, now),
        _dawn_too_low(heat, night),
        _air_off_under_cover(heat, facts, now),
        _doubted(heat),
        _silent(samples, now),
        _gusts(heat),
        _snow(heat),
        _too_bright(heat),
    ]
    return [one for one in found if one is not None]


def _warning(
    name: str, title: str, says: str, *, act: bool = False, first: tuple[str, ...] = (), cautions: tuple[str, ...] = ()
) -> WarmthFinding:
    return WarmthFinding(
        id=name,
        section="warning",
        title=title,
        says=says,
        answer="act_now" if act else "drifting",
        first=first,
        cautions=cautions,
    )


def _too_low(heat: Heat, target_c: float | None) -> WarmthFinding | None:
    if heat.belief is None:
        return None
    water_c = float(heat.belief.mean[0])
    water = level_words(heat.pond, "temperature_c", round(water_c, 1))
    if water_c < _NEAR_FLOOR_C and (target_c is not None or heat.heater is not None):
        floor = level_words(heat.pond, "temperature_c", _NEAR_FLOOR_C)
        return _warning(
            "near-floor",
            "Near the floor",
            f"The water is {water}. Below {floor} a heated pond is near harm.",
            act=True,
            first=("Covers on.", "Look whether the heater has current and runs."),
        )
    if target_c is not None and water_c < target_c - _BELOW_SETTING_K:
        below = change_words(heat.pond, "temperature_c", target_c - water_c)
        setting = level_words(heat.pond, "temperature_c", target_c)
        return _warning(
            "below-setting",
            "Well below the setting",
            f"The water is {water}, {below} below the setting of {setting}.",
            act=True,
            first=("Look whether the heater has current, and whether its breaker tripped.", "Covers on."),
            cautions=("Do not reset a residual-current device that trips again: an electrician looks first.",),
        )
    return None


def _falls(heat: Heat, facts: Sequence[Seen], samples: Samples, now: datetime) -> WarmthFinding | None:
    """The greatest fall within a day, of what was read in the last day and a half; no slip that was read again."""
    slips = {one.at_h for one in (heat.belief.foretold[:-1] if heat.belief else ()) if not one.believed}
    recent = [(at, value) for at, value, _ in water_readings(facts, samples, 0.1) if heat.place(at) not in slips]
    recent = [one for one in recent if timedelta(0) <= now - one[0]]
    recent = [one for one in recent if now - one[0] <= timedelta(hours=36)]
    falls = [
        before - after
        for nth, (at, before) in enumerate(recent)
        for later, after in recent[nth + 1 :]
        if later - at <= timedelta(hours=25)
    ]
    fall_k, limit_k = max(falls, default=0.0), heat.pond.change_limit_c_per_day
    if fall_k <= limit_k:
        return None
    fell, limit = (change_words(heat.pond, "temperature_c", one) for one in (fall_k, limit_k))
    return _warning(
        "falls", "Falling fast", f"The water fell by {fell} within a day; the limit is {limit}.", act=fall_k >= 3
    )


def _dawn_too_low(heat: Heat, night: Night | None) -> WarmthFinding | None:
    if night is None or heat.pond.warm_low_c is None or heat.heater is not None:
        return None
    dawn_c = night.covered.at(night.dawn_at)[0]
    if dawn_c >= heat.pond.warm_low_c:
        return None
    dawn, low = (level_words(heat.pond, "temperature_c", round(one, 1)) for one in (dawn_c, heat.pond.warm_low_c))
    return _warning(
        "dawn-low", "Below the band by morning", f"{dawn} is expected at dawn, covered; the band begins at {low}."
    )


def _air_off_under_cover(heat: Heat, facts: Sequence[Seen], now: datetime) -> WarmthFinding | None:
    covered = [state for at_h, state in heat.known.covers if at_h <= heat.now_h]
    looks = [one for one in facts if isinstance(one.entry, Look) and now - one.at < timedelta(days=2) and one.at <= now]
    last = looks[-1].entry if looks else None
    if not covered or not covered[-1] or not isinstance(last, Look) or "air" not in last.wrong:
        return None
    return _warning(
        "covered-no-air",
        "Covered, with the air off",
        "Under covers no oxygen comes in by itself.",
        act=True,
        first=("A panel off, until air runs again.", "Look at the fish: mouths at the surface mean oxygen is short."),
    )


def _doubted(heat: Heat) -> WarmthFinding | None:
    """The last reading lies where the water can hardly be: a thermometer in the sun, or a slip."""
    foretold = heat.belief.foretold if heat.belief else ()
    if not foretold or foretold[-1].believed:
        return None
    one = foretold[-1]
    read, expected = (level_words(heat.pond, "temperature_c", round(c, 1)) for c in (one.reading_c, one.mean_c))
    at = heat.at(one.at_h).astimezone(zone_named(heat.pond.zone))
    says = f"{read} was read on {at:%a %H:%M}, {expected} was expected: it counts when another reading is like it."
    return _warning("doubted", "Read again", f"{says} Was the thermometer in the sun?")


def _silent(samples: Samples, now: datetime) -> WarmthFinding | None:
    late = [
        (at, series)
        for series, at in samples.last_heard.items()
        if not series.startswith("service_") and series != "price_per_kwh" and _SILENT < now - at < _STILL_OURS
    ]
    if not late:
        return None
    at, series = min(late)
    hours = (now - at) / timedelta(hours=1)
    ago = f"{hours:.0f} hours" if hours < 48 else f"{hours / 24:.0f} days"
    what = {"water_c": "the water", "air_c": "the air", "house_c": "the filter house"}.get(series)
    what = what or OWN[series].label[0].lower() + OWN[series].label[1:]
    return _warning(
        "silent", "A probe is silent", f"Nothing was heard of {what} for {ago}. What it last said may be old."
    )


def _ahead(heat: Heat, values: np.ndarray) -> np.ndarray:
    first = int(heat.now_h)
    return values[first : first + _AHEAD_H]


def _gusts(heat: Heat) -> WarmthFinding | None:
    gusts = _ahead(heat, heat.air.gust_m_per_s)
    if heat.pond.cover is None or not np.isfinite(gusts).any() or np.nanmax(gusts) < _GALE_M_PER_S:
        return None
    return _warning(
        "gusts",
        "Gusts are coming",
        f"Up to {np.nanmax(gusts):.0f} m/s within a day: fasten the covers, or a panel lifts.",
        cautions=("Before the wind comes, not in it; two people to a panel.",),
    )


def _snow(heat: Heat) -> WarmthFinding | None:
    snow = _ahead(heat, heat.air.snow_cm)
    if heat.pond.cover is None or not np.isfinite(snow).any() or np.nansum(snow) < _SNOW_CM:
        return None
    return _warning(
        "snow",
        "Snow on the covers",
        f"About {np.nansum(snow):.0f} cm within a day: clear it with a broom from the edge.",
        cautions=("Never stand on a cover: it does not carry you.",),
    )


def _too_bright(heat: Heat) -> WarmthFinding | None:
    """Clear covers on a bright warm day: the water warms faster than is good."""
    hour = int(heat.now_h)
    covered = [state for at_h, state in heat.known.covers if at_h <= heat.now_h]
    sun = heat.air.weather.sun_w_per_m2[hour : hour + 6]
    airs = heat.air.weather.air_c[hour : hour + 6]
    if not covered or not covered[-1] or not len(sun) or not np.nanmax(sun) > _BRIGHT_W_PER_M2:
        return None
    gain_k = heat.model.sun_covered_m2 * float(np.nansum(sun)) * 3600 / heat.model.capacity_j_per_k
    if gain_k < heat.pond.change_limit_c_per_day or not np.isfinite(airs).any() or not np.nanmean(airs) > 8:
        return None
    gain = change_words(heat.pond, "temperature_c", gain_k)
    return _warning(
        "bright", "Covers on in bright sun", f"Under covers the sun adds about {gain} today: lift some panels."
    )
