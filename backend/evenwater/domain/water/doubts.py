"""Is a typed value what the person meant? Asked before it is saved; never changed unasked, never refused here.

The browser's copy is frontend/domain/doubts.js. Both answer every case of tests/reference/water/doubt_cases.json alike,
to the last bit: keep the order of operations.
"""

from collections.abc import Iterable
from typing import Literal

from msgspec import Struct

from evenwater.domain.quantities import Quantity

PERCENT_OF_SATURATION = "% of saturation"
# Our own: more than that no water holds for long.
_MOST_PERCENT = 200.0
_SLIPS = (10.0, 100.0)
# Our own: closer than this to each other, a unit and a slip are as likely: the unit, which comes first.
_SAME = 1e-9


class Doubt(Struct, frozen=True):
    """What is odd about a value: a jump, another unit, or a slip of the decimal point.

    `meant`: what it would be in the stored unit, None where it cannot be told. `unit`: the unit it seems to be in.
    """

    kind: Literal["jump", "unit", "slip"]
    meant: float | None = None
    unit: str | None = None


def doubt(quantity: Quantity, value: float, expected: tuple[float, float] | None) -> Doubt | None:
    """What to ask about a typed value, None when there is nothing to ask.

    With `expected`, a value outside it is doubted: as another unit or a slipped decimal point where that would bring it
    inside (of several the one nearest the middle, units first), else as a jump. Without, nothing is known of this
    pond: only a value outside the usual is doubted, when another unit would explain it; and one no kit can show, also
    by a slip.

    Args:
        quantity: What was typed; its `low`, `high`, `usual` and `others` count.
        value: As typed, taken to be in the stored unit.
        expected: Lowest and highest reading this pond would nearly surely show now, both ends inside; or None.
            An empty band (low above high) lets nothing in.

    Returns:
        The doubt; None too for a value no kit can show and nothing explains: the field itself refuses that.

    Source:
        Our own rules of thumb.

    >>> from evenwater.domain.quantities import QUANTITIES
    >>> doubt(QUANTITIES["kh_dkh"], 60.0, (4.5, 6.5))
    Doubt(kind='slip', meant=6.0, unit=None)
    >>> doubt(QUANTITIES["kh_dkh"], 89.0, None).unit
    'mg/L as CaCO₃'
    """
    possible = quantity.low <= value <= quantity.high
    if _is_percent(quantity, value, possible):
        return Doubt("unit", None, PERCENT_OF_SATURATION)
    if expected is not None:
        if possible and expected[0] <= value <= expected[1]:
            return None
        found = _nearest(_candidates(quantity, value, slips=True), expected)
        if found or possible:
            return found or Doubt("jump")
    if possible and quantity.usual[0] <= value <= quantity.usual[1]:
        return None
    usual = (one for one in _candidates(quantity, value, slips=not possible) if _inside(one, quantity.usual))
    return next(usual, None)


def _candidates(quantity: Quantity, value: float, *, slips: bool) -> Iterable[Doubt]:
    for other in quantity.others:
        yield Doubt("unit", (value - other.offset) / other.per, other.unit)
    if slips:
        for factor in _SLIPS:
            yield Doubt("slip", value / factor)
            yield Doubt("slip", value * factor)


def _inside(one: Doubt, band: tuple[float, float]) -> bool:
    return one.meant is not None and band[0] <= one.meant <= band[1]


def _nearest(candidates: Iterable[Doubt], band: tuple[float, float]) -> Doubt | None:
    middle = (band[0] + band[1]) / 2
    best, least = None, 0.0
    for one in candidates:
        if one.meant is None or not _inside(one, band):
            continue
        away = abs(one.meant - middle)
        if best is None or away < least - _SAME:
            best, least = one, away
    return best


def _is_percent(quantity: Quantity, value: float, possible: bool) -> bool:
    """Oxygen as a share of saturation: what that is in mg/L hangs on the temperature, so nothing is proposed."""
    return quantity.quantity == "oxygen_mg_per_l" and not possible and 0.0 < value <= _MOST_PERCENT
