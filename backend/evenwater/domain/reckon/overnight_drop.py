"""How far a pond cools by itself."""

from math import exp
from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.errors import require_between
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.units import SECONDS_PER_HOUR
from evenwater.domain.warmth.heat.air import AIR_C
from evenwater.domain.warmth.heat.stored_heat import WATER_C, capacity_j_per_k
from evenwater.domain.water.buffer import VOLUME_L
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Cooling overnight"
SOURCE: Final = (
    "Lumped capacitance, C dT/dt = gains - UA (T - air), solved exactly "
    "(Incropera & DeWitt, chapter 5, from memory); steady air and gains."
)
UA_W_PER_K: Final = (0.1, 100_000.0)
HOURS: Final = (0.0, 1000.0)
GAINS_W: Final = (-100_000.0, 100_000.0)
UNITS: Final = {
    "volume_l": "L",
    "ua_w_per_k": "W/K",
    "start_c": "°C",
    "air_c": "°C",
    "hours": "h",
    "gains_w": "W",
}


class OvernightDropInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The pond, the night, and what warms it meanwhile."""

    volume_l: Annotated[float, Meta(ge=VOLUME_L[0], le=VOLUME_L[1], description="Water volume [L].")]
    ua_w_per_k: Annotated[
        float, Meta(ge=UA_W_PER_K[0], le=UA_W_PER_K[1], description="Heat lost per degree above the air [W/K].")
    ]
    start_c: Annotated[float, Meta(ge=WATER_C[0], le=WATER_C[1], description="Water temperature at first [°C].")]
    air_c: Annotated[float, Meta(ge=AIR_C[0], le=AIR_C[1], description="Mean air temperature [°C].")]
    hours: Annotated[float, Meta(ge=HOURS[0], le=HOURS[1], description="How long [hours].")]
    gains_w: Annotated[
        float,
        Meta(
            ge=GAINS_W[0],
            le=GAINS_W[1],
            description="Heat from heater and pumps [W], less what trickle and air pump carry off.",
        ),
    ]


class OvernightDropOutput(Struct, frozen=True, kw_only=True):
    """Where it ends, and how slow it is."""

    end_c: Annotated[float, Meta(description="Water temperature at the end [°C].")]
    drop_c: Annotated[float, Meta(description="How much it fell [K]; below 0 where it rose.")]
    time_constant_h: Annotated[
        float, Meta(ge=0, description="Time in which two thirds of the way to its balance are gone [h].")
    ]


def reckon(given: OvernightDropInput) -> tuple[OvernightDropOutput, Workings]:
    """The exact exponential; water's heat as at the start."""
    require_between("ua_w_per_k", given.ua_w_per_k, *UA_W_PER_K, "W/K")
    require_between("start_c", given.start_c, *WATER_C, "°C")
    require_between("air_c", given.air_c, *AIR_C, "°C")
    require_between("hours", given.hours, *HOURS, "h")
    require_between("gains_w", given.gains_w, *GAINS_W, "W")
    constant_h = capacity_j_per_k(given.volume_l, given.start_c) / given.ua_w_per_k / SECONDS_PER_HOUR
    balance_c = given.air_c + given.gains_w / given.ua_w_per_k
    end_c = balance_c + (given.start_c - balance_c) * exp(-given.hours / constant_h)
    output = OvernightDropOutput(end_c=end_c, drop_c=given.start_c - end_c, time_constant_h=constant_h)
    return output, _workings(given, balance_c, output)


def _workings(given: OvernightDropInput, balance_c: float, output: OvernightDropOutput) -> Workings:
    return Workings(
        title=TITLE,
        inputs=tuple(Given(name, getattr(given, name), unit) for name, unit in UNITS.items()),
        steps=(
            Step("time constant = heat of the water per degree / UA", f"{output.time_constant_h:.4g} h"),
            Step("balance = air + gains / UA", f"{balance_c:.4g} °C"),
            Step("end = balance + (start - balance) × e^(-hours / time constant)", f"{output.end_c:.4f} °C"),
            Step("drop = start - end", f"{output.drop_c:.4f} K"),
        ),
        result=f"{output.end_c:.2f} °C after {given.hours:g} h, {output.drop_c:.2f} K lower",
        source=SOURCE,
        warnings=_warnings(output),
    )


def _warnings(output: OvernightDropOutput) -> tuple[str, ...]:
    if output.end_c < WATER_C[0]:
        return ("Water freezes at 0 °C, and freezing gives heat: the figure below that is none.",)
    if output.end_c > WATER_C[1]:
        return ("So hot an end is outside what was checked.",)
    return ()


CALCULATOR: Final = Calculator(
    name="overnight-drop",
    title=TITLE,
    source=SOURCE,
    example=OvernightDropInput(volume_l=17_400.0, ua_w_per_k=52.0, start_c=18.0, air_c=3.5, hours=13.0, gains_w=140.0),
    output=OvernightDropOutput,
    reckon=reckon,
)
