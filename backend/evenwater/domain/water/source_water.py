"""What trickles into the pond: the mains, through carbon, then in part through the membrane.

A reading at a point wins over what is reckoned from the point before it; the keeper's setting stands where nobody has
measured. Carbon takes chlorine and leaves the rest; out of chloramine it leaves ammonia. The membrane is taken to
hold the same share of everything back: true enough for hardness and alkalinity, kind to nitrate and ammonium.
"""

from bisect import bisect
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final

from msgspec import Struct

from evenwater.domain.entries import Reading
from evenwater.domain.fold import Facts, Seen, readings_of
from evenwater.domain.pond import Mains, Pond
from evenwater.domain.quantities import QUANTITIES, Point
from evenwater.domain.water.carbon_bed import ammonia_freed_mg_n_per_l, flow_through_carbon_l_per_day
from evenwater.domain.water.membrane import permeate_level, rejection_fraction

CONSERVED: Final = ("kh_dkh", "gh_dgh", "ec25_us_per_cm", "nitrate_n_mg_per_l", "tan_mg_n_per_l")
"""What mixes in proportion and passes carbon unchanged (ammonia but for what chloramine leaves)."""

PROFILED: Final = (*CONSERVED, "total_chlorine_ug_per_l")
"""What a profile holds."""

GOOD_FOR: Final = timedelta(days=400)
"""How long a reading of source water is believed. Common practice, no source: supplies change with the seasons."""

PAIRED_WITHIN: Final = timedelta(days=14)
"""How far apart conductivity before and after the membrane may be read and still be compared. Common practice."""


_PAIRS = 200


class At(Struct, frozen=True):
    """A level and where it comes from: "reading", "setting", "reckoned"; `at`: when it was read."""

    value: float
    origin: str
    at: datetime | None = None


class SourceProfile(Struct, frozen=True, kw_only=True):
    """What a water carries; None where it is not known. `origins`: quantity -> where its value comes from."""

    kh_dkh: float | None = None
    gh_dgh: float | None = None
    ec25_us_per_cm: float | None = None
    nitrate_n_mg_per_l: float | None = None
    tan_mg_n_per_l: float | None = None
    total_chlorine_ug_per_l: float | None = None
    origins: dict[str, str] = {}


Levels = dict[str, At]


def trickle_of(pond: Pond, facts: Sequence[Seen], now: datetime) -> SourceProfile:
    """What the trickle carries into the pond.

    Args:
        pond: The pond as set; its own source KH wins where set.
        facts: The pond's standing facts, oldest first.
        now: The moment; later facts are left out, and readings older than 400 days.

    Returns:
        The profile; everything None where neither readings nor settings say anything.
    """
    levels = {name: level for name, level in trickle_levels(pond, facts, now).items() if name in PROFILED}
    return SourceProfile(
        **{name: level.value for name, level in levels.items()},
        origins={name: level.origin for name, level in levels.items()},
    )


def trickle_levels(pond: Pond, facts: Sequence[Seen], now: datetime) -> Levels:
    """As `trickle_of`, with when each was read."""
    points = point_levels(pond, facts, now)
    through, round_it = points["after_membrane"], points["after_carbon"]
    blended: Levels = {}
    if pond.membrane is None:
        blended |= round_it
    else:
        share = pond.bypass_fraction
        for name in set(through if share < 1.0 else round_it) & set(round_it if share > 0.0 else through):
            blended[name] = _between(round_it.get(name), through.get(name), share)
    if pond.source_kh_dkh is not None:
        blended["kh_dkh"] = At(pond.source_kh_dkh, "setting")
    return blended


def point_levels(pond: Pond, facts: Sequence[Seen], now: datetime) -> dict[Point, Levels]:
    """What is known of the water at each point of the chain, latest readings first, settings and reckoning after."""
    read = {point: latest_at(facts, point, now) for point in ("mains", "after_carbon", "after_membrane")}
    mains = _mains_setting(pond.mains) | read["mains"]
    carbon = _after_carbon(pond, mains, read["after_carbon"])
    membrane = {} if pond.membrane is None else _after_membrane(pond, carbon, facts, now)
    return {"mains": mains, "after_carbon": carbon, "after_membrane": membrane | read["after_membrane"]}


def latest_at(facts: Sequence[Seen], point: Point, now: datetime) -> Levels:
    """The latest believable reading of each quantity at a point."""
    found: Levels = {}
    for quantity in facts.quantities_at(point) if isinstance(facts, Facts) else QUANTITIES:
        last = next((one for one in reversed(readings_of(facts, quantity, point)) if one.at <= now), None)
        if last is not None and now - GOOD_FOR <= last.at:
            found[quantity] = At(_value(last), "reading", last.at)
    return found


def carbon_flow_l_per_day(pond: Pond) -> float:
    """Water through the carbon [L/day]: the trickle, and the membrane's reject with it."""
    recovery = 1.0 if pond.membrane is None else pond.membrane.recovery_fraction
    return flow_through_carbon_l_per_day(pond.inflow_l_per_day, pond.bypass_fraction, recovery)


def rejections(facts: Sequence[Seen], now: datetime) -> list[tuple[Seen, float]]:
    """(reading after the membrane, share held back [–]) wherever conductivity was read before it within 14 days.

    Facts stand oldest first; the latest two hundred readings after the membrane are looked at.
    """
    by_point = {
        point: [one for one in readings_of(facts, "ec25_us_per_cm", point) if one.at <= now]
        for point in ("mains", "after_carbon", "after_membrane")
    }
    before = sorted(by_point["mains"] + by_point["after_carbon"], key=lambda one: one.order)
    after = by_point["after_membrane"]
    moments = [one.at for one in before]
    found: list[tuple[Seen, float]] = []
    for one in after[-_PAIRS:]:
        place = bisect(moments, one.at)
        feed = min(before[max(0, place - 1) : place + 1], key=lambda other: abs(other.at - one.at), default=None)
        if feed is None or abs(feed.at - one.at) > PAIRED_WITHIN:
            continue
        feed_ec, permeate_ec = _value(feed), _value(one)
        if feed_ec > 0.0 and permeate_ec <= feed_ec:
            found.append((one, rejection_fraction(feed_ec, permeate_ec)))
    return found


def rejection_now(pond: Pond, facts: Sequence[Seen], now: datetime) -> At | None:
    """Share the membrane holds back: by the latest pair of readings, else the setting; None without a membrane."""
    if pond.membrane is None:
        return None
    measured = rejections(facts, now)
    if measured and now - measured[-1][0].at <= GOOD_FOR:
        return At(measured[-1][1], "reading", measured[-1][0].at)
    return At(pond.membrane.rejection_fraction, "setting")


def _mains_setting(mains: Mains | None) -> Levels:
    if mains is None:
        return {}
    values = {name: getattr(mains, name, None) for name in PROFILED}
    if mains.disinfectant == "none":
        values["total_chlorine_ug_per_l"] = 0.0
    return {name: At(value, "setting") for name, value in values.items() if value is not None}


def _after_carbon(pond: Pond, mains: Levels, read: Levels) -> Levels:
    passed = {name: At(mains[name].value, mains[name].origin, mains[name].at) for name in CONSERVED if name in mains}
    chlorine = mains.get("total_chlorine_ug_per_l")
    if chlorine is not None and (pond.carbon is None or chlorine.value == 0.0):
        passed["total_chlorine_ug_per_l"] = chlorine
    freed = _ammonia_freed(pond, mains, read)
    if freed is not None:
        before = mains.get("tan_mg_n_per_l", At(0.0, "reckoned")).value
        passed["tan_mg_n_per_l"] = At(before + freed, "reckoned")
    return passed | read


def _ammonia_freed(pond: Pond, mains: Levels, read: Levels) -> float | None:
    """Ammonia the carbon leaves out of chloramine [mg/L as N]; None where there is no carbon or no chloramine."""
    total = mains.get("total_chlorine_ug_per_l")
    if pond.carbon is None or pond.mains is None or pond.mains.disinfectant != "chloramine" or total is None:
        return None
    free = mains.get("free_chlorine_ug_per_l", At(0.0, "reckoned")).value
    passed = read.get("total_chlorine_ug_per_l", At(0.0, "reckoned")).value
    return ammonia_freed_mg_n_per_l(max(0.0, total.value - free - passed))


def _after_membrane(pond: Pond, carbon: Levels, facts: Sequence[Seen], now: datetime) -> Levels:
    held = rejection_now(pond, facts, now)
    rejection = 0.0 if held is None else held.value
    passed = {
        name: At(permeate_level(carbon[name].value, rejection), "reckoned") for name in CONSERVED if name in carbon
    }
    if "total_chlorine_ug_per_l" in carbon:
        # Chlorine as such passes; a membrane is no second carbon.
        passed["total_chlorine_ug_per_l"] = At(carbon["total_chlorine_ug_per_l"].value, "reckoned")
    return passed


def _between(round_it: At | None, through: At | None, share: float) -> At:
    if share == 0.0 and through is not None:
        return through
    if share == 1.0 and round_it is not None:
        return round_it
    one, other = (0.0 if level is None else level.value for level in (round_it, through))
    return At(share * one + (1.0 - share) * other, "reckoned")


def _value(one: Seen) -> float:
    return one.entry.value if isinstance(one.entry, Reading) else 0.0


def known(levels: Mapping[str, At], quantity: str) -> float | None:
    """The value of a quantity, None where it is not known."""
    level = levels.get(quantity)
    return None if level is None else level.value
