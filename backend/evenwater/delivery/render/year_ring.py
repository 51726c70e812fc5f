"""The year's temperature as one closed ring: months go round like the hours of a clock, warmer is further out.

The span told of is a line over a wash, the year before it a broken line; what happened stands on the rim by number.
Nothing in it is told by colour alone. An SVG with classes; `report_style.py` draws them.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from html import escape
from math import cos, floor, pi, sin
from typing import Final

from msgspec import Struct

from evenwater.domain.report.outlook import Mark, Ring

_SIDE: Final = 400
_MIDDLE: Final = _SIDE / 2
_INNER, _OUTER = 42.0, 134.0
_MONTHS_AT: Final = 146.0
_LANES: Final = (173.0, 190.0)
_SPOT: Final = 9.0
_APART: Final = 19.5
"""How far apart the middles of two marks must be, in the drawing's own units."""
_TURN: Final = 2 * pi
_GAP: Final = timedelta(days=10)
"""Over a gap longer than this no line is drawn: nothing is known there."""
_ROUND: Final = 5
_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

Days = Sequence[tuple[date, float]]


class _Scale(Struct, frozen=True):
    """From shown degrees to the distance from the middle."""

    low: float
    high: float
    step: float

    def radius(self, shown: float) -> float:
        return _INNER + (shown - self.low) / (self.high - self.low) * (_OUTER - _INNER)

    def rings(self) -> Iterator[float]:
        value = self.low
        while value <= self.high + 1e-9:
            yield value
            value += self.step


def year_ring(ring: Ring) -> str:
    """The ring as an SVG element, and what it shows in a sentence for those who do not see it."""
    shown = [(on, value * ring.unit.per + ring.unit.offset) for on, value in ring.now]
    before = [(on, value * ring.unit.per + ring.unit.offset) for on, value in ring.before]
    scale = _scale([value for _, value in (*shown, *before)])
    parts = [
        *_washes(shown, scale),
        *_grid(scale),
        *(f'<path class="before-line" d="{_line(run, scale)}"/>' for run in _runs(before)),
        *(f'<path class="now-line" d="{_line(run, scale)}"/>' for run in _runs(shown)),
        *_spots(ring.marks),
        *_months(),
        *_degrees(scale, ring.unit.unit),
        _inside(ring),
    ]
    says = escape(ring_says(ring))
    return f'<svg viewBox="0 0 {_SIDE} {_SIDE}" role="img" aria-label="{says}">{"".join(parts)}</svg>'


def ring_says(ring: Ring) -> str:
    """What the ring shows, in a sentence."""
    if not ring.now and not ring.before:
        return "No temperature of the water is known."
    said = [
        f"{name}: {_span(days, ring)} over {len(days)} days"
        for name, days in ((ring.now_name, ring.now), (ring.before_name, ring.before))
        if days
    ]
    return f"The water's temperature round the year. {'; '.join(said)}."


def _span(days: Days, ring: Ring) -> str:
    low, high = (pick(value for _, value in days) * ring.unit.per + ring.unit.offset for pick in (min, max))
    return f"{low:.1f} to {high:.1f} {ring.unit.unit}"


def _scale(values: Sequence[float]) -> _Scale:
    low, high = min((0.0, *values)), max((20.0, *values))
    if values and min(values) > 32.0:  # °F: from the ice on
        low = 32.0
    step = float(_ROUND) if high - low <= 40 else 2.0 * _ROUND
    low = floor(low / step) * step
    return _Scale(low, low + step * max(1.0, -floor(-(high - low) / step)), step)


def _angle(on: date) -> float:
    """Where a date stands, clockwise from the top, 0 to 2π."""
    first = date(on.year, 1, 1)
    return _TURN * (on - first).days / (date(on.year + 1, 1, 1) - first).days


def _at(angle: float, radius: float) -> tuple[float, float]:
    return _MIDDLE + radius * sin(angle), _MIDDLE - radius * cos(angle)


def _point(on: date, radius: float) -> str:
    x, y = _at(_angle(on), radius)
    return f"{x:.1f} {y:.1f}"


def _runs(days: Days) -> list[Days]:
    """Cut where too little is known."""
    found: list[list[tuple[date, float]]] = []
    for one in days:
        if found and one[0] - found[-1][-1][0] <= _GAP:
            found[-1].append(one)
        else:
            found.append([one])
    return [run for run in found if len(run) > 1]


def _line(run: Days, scale: _Scale) -> str:
    return "M" + "L".join(_point(on, scale.radius(value)) for on, value in run)


def _washes(days: Days, scale: _Scale) -> Iterable[str]:
    for run in _runs(days):
        back = "L".join(_point(on, _INNER) for on, _ in reversed(run))
        yield f'<path class="now-wash" d="{_line(run, scale)}L{back}Z"/>'


def _grid(scale: _Scale) -> Iterable[str]:
    for value in scale.rings():
        yield f'<circle class="grid" cx="{_MIDDLE:g}" cy="{_MIDDLE:g}" r="{scale.radius(value):.1f}"/>'
    for month in range(1, 13):
        angle = _angle(date(2025, month, 1))
        (x1, y1), (x2, y2) = _at(angle, _INNER), _at(angle, _OUTER + 4)
        yield f'<path class="grid" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"/>'


def _degrees(scale: _Scale, unit: str) -> Iterable[str]:
    """The scale's figures, over the lines."""
    rings = list(scale.rings())
    for value in rings[1:]:
        label = f"{value:g} {unit}" if value == rings[-1] else f"{value:g}"
        yield f'<text class="scale" x="{_MIDDLE:g}" y="{_MIDDLE - scale.radius(value):.1f}">{escape(label)}</text>'


def _months() -> Iterable[str]:
    for number, name in enumerate(_MONTHS, 1):
        x, y = _at(_angle(date(2025, number, 15)), _MONTHS_AT)
        yield f'<text class="month" x="{x:.1f}" y="{y:.1f}">{name}</text>'


def _inside(ring: Ring) -> str:
    """The names of the two lines, each over a piece of its own."""
    told = [
        (ring.now_name, "middle", "now-line", ring.now),
        (ring.before_name, "middle-quiet", "before-line", ring.before),
    ]
    found: list[str] = []
    for row, (name, size, line, days) in enumerate(told):
        if days:
            y = _MIDDLE - 13 + 24 * row
            found.append(f'<text class="{size}" x="{_MIDDLE:g}" y="{y:g}">{escape(name)}</text>')
            found.append(f'<path class="{line}" d="M{_MIDDLE - 14:g} {y + 10:g}h28"/>')
    return "".join(found)


def _spots(marks: Sequence[Mark]) -> Iterable[str]:
    """Each mark at its date's angle, or as near to it as there is room."""
    taken: list[tuple[float, float]] = []
    for mark in marks:
        true = _angle(mark.on)
        x, y = _free(true, taken)
        taken.append((x, y))
        from_x, from_y = _at(true, _OUTER)
        yield f'<path class="leader" d="M{from_x:.1f} {from_y:.1f}L{x:.1f} {y:.1f}"/>'
    for mark, (x, y) in zip(marks, taken, strict=True):
        yield (
            f'<circle class="spot" cx="{x:.1f}" cy="{y:.1f}" r="{_SPOT:g}"/>'
            f'<text class="number" x="{x:.1f}" y="{y:.1f}">{mark.number}</text>'
        )


def _free(true: float, taken: Sequence[tuple[float, float]]) -> tuple[float, float]:
    for turn in range(120):
        for lane in _LANES:
            x, y = _at(true + turn * _TURN / 360, lane)
            if all((x - other_x) ** 2 + (y - other_y) ** 2 >= _APART**2 for other_x, other_y in taken):
                return x, y
    return _at(true, _LANES[-1])
