"""The answer to every latest reading: in range, drifting, act now, or not known.

Nothing is stored: the answer before, which keeps this one from flickering, comes from reading the log again in order.
Nothing hangs on the minute: everything is judged as of the reading, and only its age looks at the clock.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from evenwater.domain.fold import Seen
from evenwater.domain.keeper_units import unit_for
from evenwater.domain.pond import Pond, Range
from evenwater.domain.quantities import QUANTITIES, Point
from evenwater.domain.water.ammonia_answer import judge_ammonia
from evenwater.domain.water.day_changes import judge_conductivity, judge_swing, judge_warming
from evenwater.domain.water.outlook import Answer, Cuts, Judged
from evenwater.domain.water.paired_answers import judge_nitrite, judge_oxygen
from evenwater.domain.water.range_table import ROWS
from evenwater.domain.water.ranges import answer_of, cuts_and_trouble, cuts_of
from evenwater.domain.water.recent import Read, Recent, around_of, recent_of
from evenwater.domain.water.settling import Hold, settled
from evenwater.domain.water.verdict import Verdict, basis_of, range_words, remarks, side_of, told

_CHLORINE = ("total_chlorine_ug_per_l", "free_chlorine_ug_per_l")
_HOLD: dict[str, Hold] = {"temperature_c": "not_falling", **dict.fromkeys(_CHLORINE, "never")}


def judge(pond: Pond, ranges: Mapping[str, Range], facts: Sequence[Seen], now: datetime) -> list[Judged]:
    """The answers to the latest readings of a pond, and to what is worked out from several of them.

    Args:
        pond: The pond as set.
        ranges: The keeper's own cuts, by quantity.
        facts: The pond's standing facts, oldest first.
        now: The moment; only whether a reading is too old hangs on it.

    Returns:
        One for each quantity that was ever read and can be judged, in the order they are looked at.
    """
    recent = recent_of(facts, now)
    verdicts = [
        *_plain(pond, ranges, recent, "temperature_c"),
        *judge_warming(pond, ranges, recent),
        *judge_oxygen(pond, ranges, recent),
        *_plain(pond, ranges, recent, "ph"),
        *judge_swing(pond, ranges, recent),
        *_plain(pond, ranges, recent, "kh_dkh"),
        *_plain(pond, ranges, recent, "gh_dgh"),
        *judge_ammonia(pond, ranges, recent),
        *judge_nitrite(pond, ranges, recent),
        *_plain(pond, ranges, recent, "nitrate_n_mg_per_l"),
        *(one for quantity in _CHLORINE for one in _plain(pond, ranges, recent, quantity)),
        *(one for quantity in _CHLORINE for one in _plain(pond, ranges, recent, quantity, "after_carbon")),
        *judge_conductivity(pond, ranges, recent),
        *_plain(pond, ranges, recent, "salinity_g_per_l"),
    ]
    return [told(one, now) for one in verdicts]


def device_cuts(pond: Pond, ranges: Mapping[str, Range], facts: Sequence[Seen], now: datetime) -> list[Cuts]:
    """The cuts by which a device answers a reading the server has not seen: as for one taken with the latest.

    Args:
        pond: The pond as set.
        ranges: The keeper's own cuts, by quantity.
        facts: The pond's standing facts, oldest first.
        now: The moment; later facts are left out.
    """
    recent = recent_of(facts, now)
    points: tuple[Point, ...] = ("pond", "after_carbon")
    found: list[Cuts | None] = []
    for point in points:
        for quantity in QUANTITIES:
            last = recent.latest(quantity, point)
            around = around_of(pond, recent, last.at) if last else None
            args = (pond, ranges, quantity, point)
            found.append(cuts_of(*args, around) if around else cuts_of(*args))
    return [one for one in found if one is not None]


def _plain(
    pond: Pond, ranges: Mapping[str, Range], recent: Recent, quantity: str, point: Point = "pond"
) -> list[Verdict]:
    """The answer to the latest reading of a quantity that is judged by its value alone."""
    series = recent.of(quantity, point)
    if not series:
        return []

    def answer_at(one: Read, step: float) -> Answer:
        cuts = cuts_of(pond, ranges, quantity, point, around_of(pond, recent, one.at))
        return answer_of(cuts, one.value, step) if cuts else "not_known"

    last = series[-1]
    cuts, trouble = cuts_and_trouble(pond, ranges, quantity, point, around_of(pond, recent, last.at))
    if cuts is None:
        return []
    stale_days = pond.kh_stale_after_days if quantity == "kh_dkh" else ROWS[quantity].stale_days
    said = settled(series, answer_at, timedelta(days=stale_days), _HOLD.get(quantity, "both"))
    unit = QUANTITIES[quantity].unit
    carbon = point == "after_carbon"
    basis = "your limit after the carbon, and half of it" if carbon else basis_of(quantity, ranges, trouble)
    label = QUANTITIES[quantity].label
    return [
        Verdict(
            quantity=quantity,
            label=f"{label} after the carbon" if carbon else label,
            unit=unit,
            value=last.value,
            at=last.at,
            answer=said,
            why=(
                range_words(cuts, unit_for(pond, quantity)),
                *_heater(quantity, pond, recent, last),
                basis,
                *remarks(cuts, last.value, last.step, said),
            ),
            point=point,
            side=side_of(cuts, last.value),
            entry=last.id,
            stale_days=stale_days,
        )
    ]


def _heater(quantity: str, pond: Pond, recent: Recent, last: Read) -> tuple[str, ...]:
    setting_c = around_of(pond, recent, last.at).setting_c if quantity == "temperature_c" else None
    if setting_c is None:
        return ()
    low_c, high_c = setting_c
    return (f"heater set to {low_c:g}" if low_c == high_c else f"heater set to {low_c:g} to {high_c:g} lately",)
