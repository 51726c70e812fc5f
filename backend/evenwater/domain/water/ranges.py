"""Where each answer to a reading begins, for this pond: the table's cuts, its keeper's, its heater's.

Rules of this file:

- Every value has exactly one answer; a value on a cut has the worse one.
- The keeper's own cuts go before ours. Ours on the same side give way to them; a range of theirs that contradicts
  itself is put aside, and `why_unused` says so.

The browser's copy of `answer_of` is frontend/domain/answers.js; both answer tests/reference/water/answer_cases.json.
"""

from collections.abc import Mapping
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.pond import CarbonBed, Pond, Range
from evenwater.domain.quantities import Point
from evenwater.domain.water.outlook import Answer, Cuts
from evenwater.domain.water.range_table import ROWS, Row

WORSE: dict[Answer, int] = {"not_known": -1, "in_range": 0, "drifting": 1, "act_now": 2}
"""How bad an answer is, to take the worse of two."""


class Around(Struct, frozen=True, kw_only=True):
    """What a reading is judged by beside itself.

    `setting_c`: the lowest and the highest the heater was set to lately [°C]. `nature_warms`: warmth above the setting
    is the sun's. `salt_course`: salt was put in lately. `usual_ec25`: the pond's own conductivity [µS/cm].
    """

    setting_c: tuple[float, float] | None = None
    nature_warms: bool = True
    salt_course: bool = False
    usual_ec25: float | None = None


ALONE = Around()
"""Nothing known beside the reading."""

_HEATED_DRIFT_C, _HEATED_ACT_C = 1.0, 2.0
_SALT_COURSE = (3.0, 5.0)
_SIDES = (("act_below", "drift_below"), ("drift_above", "act_above"))


def cuts_of(
    pond: Pond, ranges: Mapping[str, Range], quantity: str, point: Point, around: Around = ALONE
) -> Cuts | None:
    """Where the answers to readings of a quantity begin at a point, the keeper's own cuts included.

    Args:
        pond: The pond as set.
        ranges: The keeper's own cuts, by quantity.
        quantity: A key of ROWS; another has no cuts.
        point: Where it was taken.
        around: What else bears on it.

    Returns:
        The cuts, None where a value alone has no answer.

    >>> cuts_of(Pond(id="main"), {}, "kh_dkh", "pond").drift_below
    4
    """
    if point == "after_carbon" and quantity in ("total_chlorine_ug_per_l", "free_chlorine_ug_per_l"):
        limit = (pond.carbon or CarbonBed()).limit_ug_per_l
        return Cuts(quantity=quantity, point=point, drift_above=limit / 2, act_above=limit)
    row = ROWS.get(quantity)
    if point != "pond" or row is None:
        return None
    theirs = ranges.get(quantity, Range())
    ours = _ours(row, around, theirs)
    cuts = ours if why_unused(ours, theirs) else _merged(ours, theirs)
    return cuts if any(one is not None for one in _ends(cuts)) else None


def why_unused(ours: Cuts, theirs: Range) -> str | None:
    """Why the keeper's own range cannot be used, in words; None when it can."""
    for low, high in _SIDES:
        first, second = getattr(theirs, low), getattr(theirs, high)
        if first is not None and second is not None and first > second:
            return f"{_NAMES[low]} {first:g} is above {_NAMES[high]} {second:g}"
    if theirs == Range():
        return None
    merged = _merged(ours, theirs)
    lows = [one for one in (merged.act_below, merged.drift_below) if one is not None]
    highs = [one for one in (merged.drift_above, merged.act_above) if one is not None]
    if lows and highs and max(lows) >= min(highs):
        return f"the lower line {max(lows):g} is not below the upper line {min(highs):g}"
    return None


_NAMES = {
    "act_below": "act now below",
    "drift_below": "drifting below",
    "drift_above": "drifting above",
    "act_above": "act now above",
}


def cuts_and_trouble(
    pond: Pond, ranges: Mapping[str, Range], quantity: str, point: Point, around: Around = ALONE
) -> tuple[Cuts | None, str | None]:
    """`cuts_of`, and why the keeper's own range is not used where it contradicts itself."""
    cuts = cuts_of(pond, ranges, quantity, point, around)
    row = ROWS.get(quantity)
    if row is None or point != "pond" or quantity not in ranges:
        return cuts, None
    return cuts, why_unused(_ours(row, around, ranges[quantity]), ranges[quantity])


def _ours(row: Row, around: Around, theirs: Range) -> Cuts:
    cuts = Cuts(
        quantity=row.quantity,
        point="pond",
        act_below=row.act_below,
        drift_below=row.drift_below,
        drift_above=row.drift_above,
        act_above=row.act_above,
    )
    if row.quantity == "salinity_g_per_l" and around.salt_course:
        return replace(cuts, drift_above=_SALT_COURSE[0], act_above=_SALT_COURSE[1])
    if row.quantity == "ec25_us_per_cm" and around.usual_ec25 is not None:
        change = ROWS["ec25_change_fraction"]
        low, high = change.drift_below or 0.0, change.drift_above or 0.0
        return replace(cuts, drift_below=around.usual_ec25 * (1 + low), drift_above=around.usual_ec25 * (1 + high))
    if row.quantity == "temperature_c" and around.setting_c is not None:
        return _heated(cuts, around.setting_c, around.nature_warms, theirs)
    return cuts


def _heated(cuts: Cuts, setting_c: tuple[float, float], nature_warms: bool, theirs: Range) -> Cuts:
    """The heater's setting narrows our cuts, save on a side the keeper has drawn."""
    low_c = setting_c[0] if theirs.act_below is None and theirs.drift_below is None else -inf
    high_c = setting_c[1] if theirs.drift_above is None and theirs.act_above is None else inf
    above = inf if nature_warms else high_c + _HEATED_DRIFT_C
    return replace(
        cuts,
        act_below=max(cuts.act_below or -inf, low_c - _HEATED_ACT_C),
        drift_below=max(cuts.drift_below or -inf, low_c - _HEATED_DRIFT_C),
        drift_above=min(cuts.drift_above or inf, above),
    )


def _merged(ours: Cuts, theirs: Range) -> Cuts:
    """The keeper's cuts where there are any; ours on the same side give way to them."""
    act_below, drift_below = _side(ours.act_below, ours.drift_below, theirs.act_below, theirs.drift_below)
    # Above, everything is the mirror image of below.
    act_above, drift_above = _side(*(None if one is None else -one for one in _upper(ours, theirs)))
    return replace(
        ours,
        act_below=act_below,
        drift_below=drift_below,
        drift_above=None if drift_above is None else -drift_above,
        act_above=None if act_above is None else -act_above,
    )


def _upper(ours: Cuts, theirs: Range) -> tuple[float | None, float | None, float | None, float | None]:
    return ours.act_above, ours.drift_above, theirs.act_above, theirs.drift_above


def _side(
    act: float | None, drift: float | None, own_act: float | None, own_drift: float | None
) -> tuple[float | None, float | None]:
    if own_drift is not None and act is not None:
        act = min(act, own_drift)
    if own_act is not None and drift is not None:
        drift = max(drift, own_act)
    return (act if own_act is None else own_act), (drift if own_drift is None else own_drift)


def _ends(cuts: Cuts) -> tuple[float | None, float | None, float | None, float | None]:
    return cuts.act_below, cuts.drift_below, cuts.drift_above, cuts.act_above


def answer_of(cuts: Cuts, value: float, step: float = 0.0) -> Answer:
    """The answer to a value, the whole step of the kit counted: where it spans two, the worse.

    A kit that shows nothing at all may hide up to half its step; that is drifting at most, never act now.

    Args:
        cuts: Where the answers begin.
        value: As read, in the stored unit.
        step: The kit's step, 0 or more, in the same unit.

    Returns:
        in_range, drifting or act_now.

    >>> kh = Cuts(quantity="kh_dkh", point="pond", act_below=2.5, drift_below=4.0, drift_above=10.0)
    >>> answer_of(kh, 4.0), answer_of(kh, 4.1), answer_of(kh, 4.1, 0.5)
    ('drifting', 'in_range', 'drifting')
    """
    low = value - step / 2
    high = value + step / 2
    if at_most(low, cuts.act_below):
        return "act_now"
    if _at_least(value if value == 0.0 else high, cuts.act_above):
        return "act_now"
    if at_most(low, cuts.drift_below) or _at_least(high, cuts.drift_above) or _at_least(high, cuts.act_above):
        return "drifting"
    return "in_range"


def at_most(value: float, cut: float | None) -> bool:
    """Whether there is a cut and the value does not lie above it."""
    return cut is not None and value <= cut


def _at_least(value: float, cut: float | None) -> bool:
    return cut is not None and value >= cut


def worse(one: Answer, other: Answer) -> Answer:
    """The worse of two answers."""
    return one if WORSE[one] >= WORSE[other] else other


def better(one: Answer, other: Answer) -> Answer:
    """The better of two answers; not known goes before any."""
    return one if WORSE[one] <= WORSE[other] else other
