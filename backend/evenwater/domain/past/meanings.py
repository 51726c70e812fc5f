"""What a column may be taken for, and the units it may be in. The names are those of the API.

A meaning is a quantity, or one of five things done or said, or a part of the moment, or nothing.
"""

from typing import Final

from msgspec import Struct

from evenwater.domain.quantities import QUANTITIES, OtherUnit
from evenwater.domain.units import L_PER_US_GAL

LEFT_OUT: Final = "left_out"
DATE: Final = "date"
TIME: Final = "time"
NOTE: Final = "note"


class Meaning(Struct, frozen=True):
    """`unit` is the stored one; value in another unit = value × `per` + `offset`. `low` to `high` in `unit`."""

    meaning: str
    label: str
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    decimals: int = 0
    others: tuple[OtherUnit, ...] = ()

    @property
    def is_measured(self) -> bool:
        """Whether its cells are numbers."""
        return self.high > 0


_GIVEN: Final = (
    Meaning("dose_g", "Buffer given", "g", 0, 100_000, 0, (OtherUnit("kg", 0.001),)),
    Meaning(
        "water_change_l",
        "Water changed",
        "L",
        0,
        1_000_000,
        0,
        (OtherUnit("m³", 0.001), OtherUnit("US gal", 1 / L_PER_US_GAL)),
    ),
    Meaning("feed_g", "Food given", "g", 0, 100_000, 0, (OtherUnit("kg", 0.001),)),
    Meaning("salt_g", "Salt put in", "g", 0, 10_000_000, 0, (OtherUnit("kg", 0.001),)),
)

_BY_NAME: Final = {
    one.meaning: one
    for one in (
        Meaning(LEFT_OUT, "Left out"),
        Meaning(DATE, "Date, with the time or without"),
        Meaning(TIME, "Time of day"),
        *(Meaning(q.quantity, q.label, q.unit, q.low, q.high, q.decimals, q.others) for q in QUANTITIES.values()),
        *_GIVEN,
        Meaning(NOTE, "Note"),
    )
}


def meanings(capful_g: float | None = None, volume_l: float | None = None) -> dict[str, Meaning]:
    """Every meaning by name. Capfuls [g] and shares of the pond [L] are units only where the pond's are known."""
    known = dict(_BY_NAME)
    if capful_g:
        known["dose_g"] = _with(known["dose_g"], OtherUnit("capfuls", 1 / capful_g))
    if volume_l:
        known["water_change_l"] = _with(known["water_change_l"], OtherUnit("% of the pond", 100 / volume_l))
    return known


def _with(meaning: Meaning, unit: OtherUnit) -> Meaning:
    one = meaning
    return Meaning(one.meaning, one.label, one.unit, one.low, one.high, one.decimals, (*one.others, unit))


def scale_of(meaning: Meaning, unit: str) -> OtherUnit | None:
    """How values in that unit relate to the stored one; None when it is no unit of this."""
    if unit == meaning.unit:
        return OtherUnit(unit, 1.0)
    return next((one for one in meaning.others if one.unit == unit), None)
