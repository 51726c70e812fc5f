"""The unit of a column: as its header says, else as its numbers look, over the whole column.

Where kits differ and nothing tells, the likelier is taken and marked to be checked. What is likelier is common
practice, no source; what a pond usually shows stands in `quantities.py`.
"""

import statistics
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from evenwater.domain.past.meanings import Meaning, scale_of
from evenwater.domain.quantities import QUANTITIES

_AS_ION: Final = {"nitrite_n_mg_per_l": "mg/L as NO₂", "nitrate_n_mg_per_l": "mg/L as NO₃"}
_BY_SIZE: Final = {
    "kh_dkh": (25.0, "mg/L as CaCO₃"),
    "gh_dgh": (40.0, "mg/L as CaCO₃"),
    "temperature_c": (38.0, "°F"),
}
"""Above that [stored unit] the middle of a column is in the other unit."""
_FEWEST: Final = 3


class UnitFound(Struct, frozen=True):
    """A column's unit; `sure` when the header says it and the numbers do not contradict."""

    unit: str
    sure: bool
    why: str


def unit_of_column(meaning: Meaning, told: str, values: Sequence[float]) -> UnitFound:
    """Which unit the values are in.

    Args:
        meaning: What the column is.
        told: The unit its header names, "" for none.
        values: The column's numbers as they stand, those with a unit of their own left out.
    """
    if told and scale_of(meaning, told) is None:
        told = ""
    middle = statistics.median(values) if values else 0.0
    limit, by_size = _BY_SIZE.get(meaning.meaning, (0.0, ""))
    if by_size and told in ("", meaning.unit) and middle > limit:
        return UnitFound(by_size, False, f"{middle:g} in the middle is too much for {meaning.unit}: please check")
    if told:
        return UnitFound(told, True, "the header says so")
    return _silent(meaning, middle, len(values))


def _silent(meaning: Meaning, middle: float, count: int) -> UnitFound:
    name = meaning.meaning
    ion = _AS_ION.get(name)
    if ion:
        return UnitFound(
            ion, False, f"kits read {ion.removeprefix('mg/L as ')} or N, the header does not say: please check"
        )
    if name == "tan_mg_n_per_l":
        return UnitFound(meaning.unit, False, "kits read NH₄ or N, the header does not say: please check")
    if name in ("total_chlorine_ug_per_l", "free_chlorine_ug_per_l") and middle < 5:
        return UnitFound("mg/L", False, f"{middle:g} in the middle is little for µg/L: please check")
    if name == "ec25_us_per_cm" and 0 < middle < 5:
        return UnitFound("mS/cm", False, f"{middle:g} in the middle is little for µS/cm: please check")
    if not meaning.others or count < _FEWEST:
        return UnitFound(
            meaning.unit, not meaning.others, "" if not meaning.others else "too few to tell: please check"
        )
    usual = QUANTITIES[name].usual if name in QUANTITIES else None
    fits = usual is not None and usual[0] <= middle <= usual[1]
    return UnitFound(
        meaning.unit, fits, "by the size of the numbers" if fits else "the header does not say: please check"
    )
