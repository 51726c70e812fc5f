"""How the last length of a fish stands against what its own earlier ones foretold of it."""

from typing import Final

from evenwater.domain.fish.grown import Grown
from evenwater.domain.fish.growth import Foreseen, curve_of
from evenwater.domain.fish.length_weight import Z90
from evenwater.domain.fish.outlook import AgainstPast, Band

_EARLIER: Final = 2
"""Sessions before one that may be held against them. Our own."""


def foretold_last(one: Grown) -> Foreseen | None:
    """What the lengths before the last foretold of it, as it would be measured; None of a group, and of too few."""
    if one.fish.count > 1 or len(one.points) <= _EARLIER:
        return None
    last = one.points[-1]
    return curve_of(one.points[:-1]).foresee(last.years, last.sd_cm)


def against_past(one: Grown) -> AgainstPast | None:
    """The last length that counts against the band it was to lie in nine times in ten."""
    foreseen = foretold_last(one)
    if foreseen is None:
        return None
    half_cm = Z90 * foreseen.sd
    band = Band(foreseen.middle - half_cm, foreseen.middle, foreseen.middle + half_cm).shown()
    measured_cm, on = one.points[-1].total_cm, one.dates[-1]
    return AgainstPast(
        on=on,
        total_cm=band,
        says=(
            f"By its earlier lengths it would measure {band.low:.1f} to {band.high:.1f} cm on {on.day} {on:%b %Y}; it"
            f" measured {measured_cm:.1f} cm, total: {_stands(measured_cm, band)}."
        ),
    )


def _stands(measured_cm: float, band: Band) -> str:
    if measured_cm > band.high:
        return "more than that"
    if measured_cm < band.low:
        return "less than that"
    third_cm = (band.high - band.low) / 3.0
    if measured_cm > band.high - third_cm:
        return "as expected, in the upper third"
    return "as expected" if measured_cm >= band.low + third_cm else "as expected, in the lower third"
