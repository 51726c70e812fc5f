"""Words the parts of a report share: two figures side by side, and the heads over them."""

from collections.abc import Callable, Sequence
from typing import Final

from evenwater.domain.pond import Pond
from evenwater.domain.report.span import Span
from evenwater.domain.units import G_PER_LB, L_PER_IMP_GAL, L_PER_US_GAL, OZ_PER_LB

UNKNOWN: Final = "not known"
NONE: Final = "–"
_G_PER_KG: Final = 1000
_SMALL_G: Final = 10_000
"""Below so many grams a hundredth of a kilogram is told."""
_ONLY_POUNDS: Final = 30
"""From so many pounds on nobody counts ounces."""
_EMPTY: Final = frozenset({UNKNOWN, NONE, ""})
_PER_L: Final = {"US gal": 1 / L_PER_US_GAL, "imp gal": 1 / L_PER_IMP_GAL}

Rows = tuple[tuple[str, ...], ...]


def heads(span: Span, first: str = "") -> tuple[str, str, str]:
    """The head of a table of two spans: "2026" beside "2025", or both years of a winter."""
    return first, year_name(span), year_name(span.before)


def year_name(span: Span) -> str:
    """ "2026", or "2025/26"."""
    first, last = span.first.year, span.last.year
    return str(last) if first == last else f"{first}/{last % 100:02d}"


def told(value: float | None, say: Callable[[float], str]) -> str:
    """A figure in words, or that it is not known."""
    return UNKNOWN if value is None else say(value)


def counted(count: int, one: str, many: str | None = None) -> str:
    """ "1 day", "12 days"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def told_apart(columns: Sequence[str], rows: Sequence[tuple[str, ...]]) -> tuple[tuple[str, ...], Rows]:
    """A table without the columns and rows in which nothing is known; what that means is said beside it."""
    rows = rows_told(rows)
    full = [nth for nth in range(len(columns)) if nth == 0 or any(row[nth] not in _EMPTY for row in rows)]
    return tuple(columns[nth] for nth in full) if rows else (), tuple(tuple(row[nth] for nth in full) for row in rows)


def rows_told(rows: Sequence[tuple[str, ...]]) -> Rows:
    """Rows of which at least one figure is known."""
    return tuple(row for row in rows if not set(row[1:]) <= _EMPTY)


def volume_words(pond: Pond, volume_l: float) -> str:
    """A volume of water in the keeper's unit: "12.4 m³", "310 L", "3,200 US gal"."""
    unit = pond.units.get("volume", "L")
    if unit in _PER_L:
        return f"{volume_l * _PER_L[unit]:,.0f} {unit}"
    return f"{volume_l / 1000:,.1f} m³" if volume_l >= 1000 else f"{volume_l:.0f} L"


def mass_words(pond: Pond, mass_g: float) -> str:
    """A mass as the keeper reads it: "840 g", "2.83 kg", "12.4 kg", "6 lb 4 oz"."""
    if pond.units.get("mass") == "lb oz":
        return _in_pounds(mass_g)
    if mass_g < _G_PER_KG:
        return f"{mass_g:.0f} g"
    return f"{round(mass_g / _G_PER_KG, 2):g} kg" if mass_g < _SMALL_G else f"{mass_g / _G_PER_KG:,.1f} kg"


def _in_pounds(mass_g: float) -> str:
    pounds = mass_g / G_PER_LB
    if pounds >= _ONLY_POUNDS:
        return f"{pounds:,.0f} lb"
    whole, ounces = divmod(round(pounds * OZ_PER_LB), OZ_PER_LB)
    if not whole:
        return f"{ounces} oz"
    return f"{whole} lb {ounces} oz" if ounces else f"{whole} lb"
