"""How the weight of a fish comes about, for whoever asks."""

from datetime import date
from typing import Final

from evenwater.domain.fish.grown import Grown
from evenwater.domain.fish.length_weight import TOTAL_PER_STANDARD, PondWeights, standard_weight_g
from evenwater.domain.fish.outlook import Band
from evenwater.domain.workings import Given, Step, Workings

_SOURCE: Final = (
    "Bister et al. (2000), N. Am. J. Fish. Manage. 20:570-574, as tabulated by FSA; drawn to this pond's weighings."
    " Growth: von Bertalanffy, begun from Fatemi et al. (2009)"
)


def weight_workings(
    one: Grown, weights: PondWeights, length: tuple[float, float] | None, weight: Band | None, today: date
) -> Workings | None:
    """Inputs, steps, result; None where there is no weight from length."""
    if length is None or weight is None:
        return None
    total_cm, sd_cm = length
    last, measured = one.points[-1], one.dates[-1]
    usual_g = standard_weight_g(min(150.0, total_cm))
    last_told = next(told for told in reversed(one.measures) if told.total_cm is not None)
    steps = [Step("grown since then, by its own curve or what koi do in general", f"{total_cm:.1f} cm ± {sd_cm:.1f}")]
    if last_told.length_is == "standard":
        steps.insert(0, Step(f"standard length × {TOTAL_PER_STANDARD:g} = total length", f"{last.total_cm:.1f} cm"))
    steps += [
        Step("standard weight of carp: 10^(-4.639 + 2.920 log10 mm)", f"{usual_g:.0f} g"),
        Step(
            f"× what {weights.fish} fish of this household weighed for their length ({weights.weighings} weighings)"
            if weights.weighings
            else "× 1.1: koi are deeper than wild carp, none was weighed here yet",
            f"{weight.middle:.0f} g",
        ),
    ]
    return Workings(
        title=f"Weight of {one.fish.name} today",
        inputs=(
            Given("last total length", round(last.total_cm, 1), "cm", f"measured {measured.day} {measured:%b %Y}"),
            Given("days since", (today - measured).days, "days", "today"),
        ),
        steps=tuple(steps),
        result=f"{weight.middle:.0f} g ({weight.low:.0f} to {weight.high:.0f} g nine times in ten)",
        source=_SOURCE,
    )
