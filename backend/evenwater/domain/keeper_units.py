"""Numbers in sentences, in the units the keeper reads. Inside everything stays in the stored ones; so do workings."""

from math import ceil, log10

from evenwater.domain.pond import Pond
from evenwater.domain.quantities import QUANTITIES, OtherUnit


def unit_for(pond: Pond, quantity: str) -> OtherUnit:
    """The unit in which this pond's keeper reads a quantity; the stored one unless another was chosen."""
    known = QUANTITIES[quantity]
    wanted = pond.units.get(quantity) or known.shown_in
    return next((one for one in known.others if one.unit == wanted), OtherUnit(known.unit, 1.0))


def level_words(pond: Pond, quantity: str, value: float) -> str:
    """A level with its unit, four digits at most: "5 °dKH", "89.24 mg/L as CaCO₃"."""
    shown = unit_for(pond, quantity)
    return with_unit(f"{value * shown.per + shown.offset:.4g}", shown.unit)


def change_number(pond: Pond, quantity: str, change: float, decimals: int) -> str:
    """A difference of levels, without its unit, with as many decimals as tell as much as `decimals` of the stored."""
    per = unit_for(pond, quantity).per
    return f"{change * per:.{max(0, ceil(decimals - log10(per)))}f}"


def change_words(pond: Pond, quantity: str, change: float, decimals: int = 1) -> str:
    """A difference of levels with its unit: "1.9 °C", "3.4 °F"."""
    return with_unit(change_number(pond, quantity, change, decimals), unit_for(pond, quantity).unit)


def with_unit(number: str, unit: str) -> str:
    """A number and its unit; pH has none."""
    return f"{number} {unit}" if unit else number
