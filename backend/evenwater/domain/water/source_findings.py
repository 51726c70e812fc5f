"""Source water on the Water page: what each point carries, the blend for a target, where the pond settles."""

from collections.abc import Sequence
from datetime import datetime
from math import log
from typing import Final

from msgspec.structs import replace

from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import change_number, level_words, unit_for
from evenwater.domain.learn.from_log import food_g_per_day
from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.units import MG_CACO3_PER_L_PER_DKH
from evenwater.domain.water.mixing import FlowThrough, share_for, steady_mg_per_l
from evenwater.domain.water.month_finding import month_finding
from evenwater.domain.water.nitrification import alkalinity_g_caco3, tan_g_n_per_day
from evenwater.domain.water.outlook import Finding
from evenwater.domain.water.source_water import (
    At,
    Levels,
    known,
    point_levels,
    trickle_levels,
)
from evenwater.domain.workings import Given, Step, Workings

SHOWN: Final = ("kh_dkh", "gh_dgh", "ec25_us_per_cm", "nitrate_n_mg_per_l", "total_chlorine_ug_per_l", "tan_mg_n_per_l")
_SHORT: Final = {"ec25_us_per_cm": "EC at 25 °C", "total_chlorine_ug_per_l": "Chlorine", "tan_mg_n_per_l": "TAN"}
"""Labels that leave room for three waters side by side."""
_NEAR_TARGET = 0.02
"""Bypass within this of the one wanted is as good as it [–]. A valve is not set finer; common practice, no source."""


def source_findings(
    pond: Pond, facts: Sequence[Seen], now: datetime, lost_dkh_per_day: float | None = None
) -> list[Finding]:
    """What is known of the water that trickles in, and what it makes of the pond.

    Args:
        pond: The pond as set.
        facts: The pond's standing facts, oldest first.
        now: The moment; later facts are left out, and nothing else hangs on it.
        lost_dkh_per_day: KH lost in a day as learned from the log [°dKH/day], None where it is not known yet.
    """
    pond = replace(pond, feed_g_per_day=food_g_per_day(pond, facts, now))
    points = point_levels(pond, facts, now)
    trickle = trickle_levels(pond, facts, now)
    found = (
        _profile(pond, points["mains"], points["after_carbon"], points["after_membrane"], trickle),
        _blend(pond, points["after_carbon"], points["after_membrane"]),
        _ammonia(pond, trickle),
        _steady(pond, trickle),
        month_finding(pond, trickle, _nitrogen_g_per_day(pond, trickle), lost_dkh_per_day),
    )
    return [one for one in found if one is not None]


def _profile(pond: Pond, mains: Levels, carbon: Levels, membrane: Levels, trickle: Levels) -> Finding | None:
    points = {"Mains": mains}
    # Carbon changes chlorine alone, of which its own finding tells; a phone has room for three waters.
    points |= {"Carbon": carbon} if pond.carbon is not None and pond.membrane is None else {}
    points |= {"Membrane": membrane} if pond.membrane is not None else {}
    points |= {"Trickle": trickle}
    shown = [name for name in SHOWN if any(name in levels for levels in points.values())]
    if not shown:
        return None
    kh = known(trickle, "kh_dkh")
    return Finding(
        id="source-profile",
        section="source",
        title="Source water",
        big="" if kh is None else f"KH {change_number(pond, 'kh_dkh', kh, 1)}",
        says='After each. A date is that of a reading, "set" is your own figure, ≈ is reckoned from the point before.',
        columns=("", *points),
        rows=tuple(
            (_label(pond, name), *(_cell(pond, name, levels.get(name)) for levels in points.values())) for name in shown
        ),
        workings=_profile_workings(pond),
    )


def _profile_workings(pond: Pond) -> Workings:
    rejection = None if pond.membrane is None else pond.membrane.rejection_fraction
    return Workings(
        title="What the trickle carries",
        inputs=(
            Given("bypass_fraction", pond.bypass_fraction, "", "pond"),
            Given("rejection set", "no membrane" if rejection is None else rejection, "", "pond"),
        ),
        steps=(
            Step("after carbon: as before it; chloramine taken out leaves 0.198 mg of N per mg", "a reading wins"),
            Step("after membrane = (1 - rejection) × before; rejection by the latest conductivities", "a reading wins"),
            Step("trickle = bypass × after carbon + (1 - bypass) × after membrane", "your own source KH wins"),
        ),
        result="see the table",
        source="Mass balance. One rejection for all that is dissolved: kind to nitrate and ammonium, which pass more.",
    )


def _label(pond: Pond, name: str) -> str:
    return f"{_SHORT.get(name, QUANTITIES[name].label)} [{unit_for(pond, name).unit}]"


def _cell(pond: Pond, name: str, level: At | None) -> str:
    if level is None:
        return "not known"
    value = change_number(pond, name, level.value, max(QUANTITIES[name].decimals, 1 if level.value < 10 else 0))
    if level.origin == "reckoned":
        return f"≈ {value}"
    return f"{value} set" if level.at is None else f"{value}, {level.at.day} {level.at:%b}"


def _blend(pond: Pond, carbon: Levels, membrane: Levels) -> Finding | None:
    if pond.blend_for is None or pond.blend_target is None or pond.membrane is None:
        return None
    hard, soft = known(carbon, pond.blend_for), known(membrane, pond.blend_for)
    unit, label = QUANTITIES[pond.blend_for].unit, QUANTITIES[pond.blend_for].label
    if hard is None or soft is None:
        says = f"{label} of the mains is not known: read it, or set it from the supplier's report."
        return Finding(id="source-blend", section="source", title="Blend", big="not known", says=says)
    share, wanted = share_for(pond.blend_target, hard, soft), level_words(pond, pond.blend_for, pond.blend_target)
    if share is None:
        soft_words, hard_words = (level_words(pond, pond.blend_for, level) for level in (soft, hard))
        says = f"No blend reaches {wanted}: the two waters have {soft_words} and {hard_words}."
        return Finding(
            id="source-blend", section="source", title="Blend", big="out of reach", says=says, answer="drifting"
        )
    near = abs(share - pond.bypass_fraction) <= _NEAR_TARGET
    now = "as it is set" if near else f"now set to {pond.bypass_fraction:.0%}"
    return Finding(
        id="source-blend",
        section="source",
        title="Blend",
        big=f"{share:.0%} bypass",
        says=f"Of the trickle round the membrane, for {label} {wanted}; {now}.",
        answer="in_range" if near else "drifting",
        workings=Workings(
            title="Bypass for a target",
            inputs=(
                Given("target", pond.blend_target, unit, "pond"),
                Given("round the membrane", hard, unit, "source water"),
                Given("through the membrane", soft, unit, "source water"),
            ),
            steps=(Step("share = (target - through) / (round - through)", f"{share:.1%}"),),
            result=f"{share:.0%} of the trickle round the membrane",
            source="Mass balance; exact for KH and GH, conductivity comes out some 3 to 6 % low.",
        ),
    )


def _ammonia(pond: Pond, trickle: Levels) -> Finding | None:
    tan = known(trickle, "tan_mg_n_per_l")
    if not tan or not pond.inflow_l_per_day:
        return None
    grams = tan * pond.inflow_l_per_day / 1000.0
    fed = None if pond.feed_g_per_day is None else tan_g_n_per_day(pond.feed_g_per_day, pond.protein_fraction)
    beside = "" if fed is None else f" Food brings {fed:.1f} g."
    return Finding(
        id="source-ammonia",
        section="source",
        title="Ammonia in the trickle",
        big=f"{grams:.2g} g N a day",
        says=f"{tan:.2g} mg/L as N: carbon takes chloramine's chlorine and leaves its ammonia.{beside}",
    )


def _steady(pond: Pond, trickle: Levels) -> Finding | None:
    if pond.volume_l is None or not pond.inflow_l_per_day or pond.evaporation_l_per_day >= pond.inflow_l_per_day:
        return None
    nitrogen = _nitrogen_g_per_day(pond, trickle)
    sources = {"kh_dkh": -alkalinity_g_caco3(nitrogen) / MG_CACO3_PER_L_PER_DKH, "nitrate_n_mg_per_l": nitrogen}
    rows: list[tuple[str, str]] = []
    for name in ("kh_dkh", "gh_dgh", "nitrate_n_mg_per_l", "ec25_us_per_cm"):
        level = known(trickle, name)
        if level is None:
            continue
        settled = steady_mg_per_l(_pond(pond, level, sources.get(name, 0.0)))
        if settled is not None:
            rows.append((_label(pond, name), change_number(pond, name, settled, QUANTITIES[name].decimals)))
    leaving = _pond(pond, 0.0, 0.0).leaving_per_day
    if not rows or leaving <= 0.0:
        return None
    half_days = log(2.0) / leaving
    food = "no food is known" if pond.feed_g_per_day is None else f"{pond.feed_g_per_day:g} g of food a day"
    return Finding(
        id="source-steady",
        section="source",
        title="Where the pond settles",
        big=f"half way in {half_days:.0f} days",
        says=f"Undosed and with no water changes; {food}.",
        columns=("", "Settles at"),
        rows=tuple(rows),
        workings=Workings(
            title="Where the pond settles",
            inputs=(
                Given("volume_l", pond.volume_l, "L", "pond"),
                Given("inflow_l_per_day", pond.inflow_l_per_day, "L/day", "pond"),
                Given("evaporation_l_per_day", pond.evaporation_l_per_day, "L/day", "pond"),
                Given("feed_g_per_day", pond.feed_g_per_day or 0.0, "g/day", "pond"),
            ),
            steps=(
                Step("nitrogen nitrified = food × protein × 0.092 + ammonia in the trickle", f"{nitrogen:.2f} g N/day"),
                Step("it uses up alkalinity, as calcium carbonate", f"{alkalinity_g_caco3(nitrogen):.1f} g/day"),
                Step(
                    "level = (inflow × source + 1000 × put in) / (inflow - evaporation), never below 0", "see the table"
                ),
            ),
            result=f"half way in {half_days:.0f} days",
            source="Mass balance of a well-mixed pond; all nitrogen nitrified and kept: upper ends.",
        ),
    )


def _nitrogen_g_per_day(pond: Pond, trickle: Levels) -> float:
    """Ammonia nitrogen to nitrify [g/day]: food, and what the trickle brings."""
    fed = 0.0 if pond.feed_g_per_day is None else tan_g_n_per_day(pond.feed_g_per_day, pond.protein_fraction)
    return fed + (known(trickle, "tan_mg_n_per_l") or 0.0) * pond.inflow_l_per_day / 1000.0


def _pond(pond: Pond, level: float, source_g_per_day: float) -> FlowThrough:
    return FlowThrough(
        volume_l=pond.volume_l or 1.0,
        inflow_l_per_day=pond.inflow_l_per_day,
        inflow_mg_per_l=level,
        source_g_per_day=source_g_per_day,
        evaporation_l_per_day=pond.evaporation_l_per_day,
    )
