"""Where a dissolved matter goes in a pond that water trickles through."""

from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.water.buffer import VOLUME_L
from evenwater.domain.water.mixing import (
    DAYS,
    DECAY_PER_DAY,
    FLOW_L_PER_DAY,
    MATTER_MG_PER_L,
    SOURCE_G_PER_DAY,
    FlowThrough,
    exhausted_after_days,
    level_after_mg_per_l,
    steady_mg_per_l,
)
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Flow-through pond"
SOURCE: Final = (
    "Mass balance of a well-mixed vessel, V dC/dt = Q Cin - (Q - E) C + S - k V C "
    "(Levenspiel, Chemical Reaction Engineering, chapter 5, from memory)."
)
UNITS: Final = {
    "volume_l": "L",
    "inflow_l_per_day": "L/day",
    "inflow_mg_per_l": "mg/L",
    "start_mg_per_l": "mg/L",
    "source_g_per_day": "g/day",
    "days": "days",
    "evaporation_l_per_day": "L/day",
    "decay_per_day": "1/day",
}


class FlowThroughInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The pond, the trickle and one matter, all steady over the days asked for."""

    volume_l: Annotated[float, Meta(ge=VOLUME_L[0], le=VOLUME_L[1], description="Water volume [L].")]
    inflow_l_per_day: Annotated[
        float, Meta(ge=FLOW_L_PER_DAY[0], le=FLOW_L_PER_DAY[1], description="Water running in [L/day].")
    ]
    inflow_mg_per_l: Annotated[
        float, Meta(ge=MATTER_MG_PER_L[0], le=MATTER_MG_PER_L[1], description="What it carries [mg/L].")
    ]
    start_mg_per_l: Annotated[
        float, Meta(ge=MATTER_MG_PER_L[0], le=MATTER_MG_PER_L[1], description="Level in the pond now [mg/L].")
    ]
    source_g_per_day: Annotated[
        float,
        Meta(
            ge=SOURCE_G_PER_DAY[0],
            le=SOURCE_G_PER_DAY[1],
            description="What is put in less what is used up [g/day]; below 0 when more is used.",
        ),
    ]
    days: Annotated[float, Meta(ge=DAYS[0], le=DAYS[1], description="How far ahead [days].")]
    evaporation_l_per_day: Annotated[
        float,
        Meta(
            ge=FLOW_L_PER_DAY[0],
            le=FLOW_L_PER_DAY[1],
            description="Water that evaporates [L/day], at most the inflow; it leaves what was dissolved behind.",
        ),
    ] = 0.0
    decay_per_day: Annotated[
        float, Meta(ge=DECAY_PER_DAY[0], le=DECAY_PER_DAY[1], description="Share that goes by itself [1/day].")
    ] = 0.0


class FlowThroughOutput(Struct, frozen=True, kw_only=True):
    """Where it stands then, where it settles, and when it is used up."""

    value_mg_per_l: Annotated[float, Meta(ge=0, description="Level after those days [mg/L], never below 0.")]
    steady_mg_per_l: Annotated[
        float | None, Meta(description="Level it settles at [mg/L]; null when nothing leaves and there is none.")
    ]
    exhausted_after_days: Annotated[
        float | None, Meta(description="When nothing is left [days], within those asked for or after; null if never.")
    ]


def reckon(given: FlowThroughInput) -> tuple[FlowThroughOutput, Workings]:
    """The closed form of the mass balance, never below nothing."""
    pond = FlowThrough(
        volume_l=given.volume_l,
        inflow_l_per_day=given.inflow_l_per_day,
        inflow_mg_per_l=given.inflow_mg_per_l,
        source_g_per_day=given.source_g_per_day,
        evaporation_l_per_day=given.evaporation_l_per_day,
        decay_per_day=given.decay_per_day,
    )
    output = FlowThroughOutput(
        value_mg_per_l=level_after_mg_per_l(pond, given.start_mg_per_l, given.days),
        steady_mg_per_l=steady_mg_per_l(pond),
        exhausted_after_days=exhausted_after_days(pond, given.start_mg_per_l),
    )
    return output, _workings(given, pond, output)


def _workings(given: FlowThroughInput, pond: FlowThrough, output: FlowThroughOutput) -> Workings:
    steady = "none: nothing leaves" if output.steady_mg_per_l is None else f"{output.steady_mg_per_l:.4g} mg/L"
    gone = output.exhausted_after_days
    used_up = gone is not None and gone <= given.days
    return Workings(
        title=TITLE,
        inputs=tuple(Given(name, getattr(given, name), unit) for name, unit in UNITS.items()),
        steps=(
            Step("leaving = (inflow - evaporation) / volume + decay", f"{pond.leaving_per_day:.5g} a day"),
            Step(
                "coming = (inflow × what it carries + 1000 × source) / volume",
                f"{pond.coming_mg_per_l_per_day:.5g} mg/L a day",
            ),
            Step("steady level = coming / leaving, never below 0", steady),
            Step(
                "level = start × e^(-leaving × days) + coming × (1 - e^(-leaving × days)) / leaving, never below 0",
                f"{output.value_mg_per_l:.5g} mg/L",
            ),
            Step("nothing is left after", "never" if gone is None else f"{gone:.3g} days"),
        ),
        result=f"{output.value_mg_per_l:.4g} mg/L after {given.days:g} days",
        source=SOURCE,
        warnings=(f"It is used up after {gone:.3g} days.",) if used_up else (),
    )


CALCULATOR: Final = Calculator(
    name="flow-through",
    title=TITLE,
    source=SOURCE,
    example=FlowThroughInput(
        volume_l=16_800.0,
        inflow_l_per_day=420.0,
        inflow_mg_per_l=9.0,
        start_mg_per_l=90.0,
        source_g_per_day=-60.0,
        days=14.0,
        evaporation_l_per_day=12.0,
    ),
    output=FlowThroughOutput,
    reckon=reckon,
)
