"""What the pond's own temperatures have taught of its loss, with its definition and what was left out."""

from datetime import date
from math import exp, sqrt
from typing import Final

from evenwater.domain.entries import zone_named
from evenwater.domain.keeper_units import change_words
from evenwater.domain.learn.estimate import BAND_SIGMAS
from evenwater.domain.warmth.from_log import Heat
from evenwater.domain.warmth.loss_filter import Foretold, loss_w_per_k
from evenwater.domain.warmth.outlook import WarmthFinding
from evenwater.domain.workings import Given, Step, Workings

DEFINITION: Final = (
    "Loss of the covered pond: heat lost through cover, walls and floor for each degree between water and air, as a"
    " mean over covered hours; without trickle, pumps, sun and heater."
)
_SOURCE: Final = (
    "Heat balance by the hour: evaporation Smith, Löf & Jones (1994), convection Bowen (1926), sky Berdahl & Martin"
    " (1984), walls ISO 6946 and ISO 13370; learned by an extended Kalman filter from this pond's own temperatures."
)
_TRACKED: Final = 30
_DAYS_TO_LEARN: Final = 10


def loss_finding(heat: Heat) -> WarmthFinding:
    """The loss as learned, or as told while too little is known."""
    known = loss_w_per_k(heat.belief) if heat.belief else None
    days = (heat.now_h - heat.belief.foretold[0].at_h) / 24 if heat.belief and heat.belief.foretold else 0.0
    if known is None or days < _DAYS_TO_LEARN or heat.belief is None:
        return WarmthFinding(
            id="loss",
            section="loss",
            title="Loss of the covered pond",
            big="not yet known",
            says=f"{_why_not(heat, days)} Until then {heat.model.ua_w_per_k:.0f} W/K is taken, from what was told.",
            workings=_workings(heat, f"{heat.model.ua_w_per_k:.0f} W/K, as told"),
        )
    ua, sd = known
    low, high = ua * exp(-BAND_SIGMAS * sd), ua * exp(BAND_SIGMAS * sd)
    return WarmthFinding(
        id="loss",
        section="loss",
        title="Loss of the covered pond",
        big=f"{ua:.0f} W/K",
        says=f"Between {low:.0f} and {high:.0f} W/K, nine times in ten, from {heat.belief.readings} readings."
        f"{_left_out(heat.left_out)}",
        workings=_workings(heat, f"{ua:.0f} W/K"),
    )


def _why_not(heat: Heat, days: float) -> str:
    if heat.belief is None:
        return "No water temperature of the last 60 days is known."
    if days < _DAYS_TO_LEARN:
        return "Two readings of the water a day, morning and evening, teach it in about three weeks."
    if heat.belief.covered_h < 24:
        return "No night is known with both its covers and its air."
    return "The water is less than 4 °C warmer than the air on average: the loss cannot be told from the rest."


def _left_out(days: tuple[date, ...]) -> str:
    if not days:
        return ""
    shown = ", ".join(f"{on.day} {on:%b}" for on in days[-4:])
    more = f" and {len(days) - 4} more" if len(days) > 4 else ""
    return f" Left out, for want of air, of a tick for the covers, or of what the heater did: {shown}{more}."


def _workings(heat: Heat, result: str) -> Workings:
    model = heat.model
    origin = "learned" if heat.belief else "told"
    return Workings(
        title="Loss of the covered pond",
        inputs=(
            Given("heat the water stores", round(model.capacity_j_per_k / 3.6e6, 1), "kWh/K", "told"),
            Given("surface", round(model.surface_m2, 1), "m²", "told"),
            Given("share lost to the ground", round(model.ground_fraction, 2), "", "told"),
            Given("trickle", round(model.inflow_w_per_k, 1), "W/K", origin),
            Given("trickle comes in at", round(model.inflow_c, 1), "°C", "told"),
            Given("steady gain, pumps and the like", round(model.gain_w), "W", origin),
            Given("open surface against the formulas", round(model.open_multiplier, 2), "×", origin),
            Given("sun taken up under covers, as black surface", round(model.sun_covered_m2, 1), "m²", origin),
        ),
        steps=(Step(DEFINITION, result), *(Step(one, "assumed") for one in heat.assumed)),
        result=result,
        source=_SOURCE,
    )


def track_words(heat: Heat) -> str:
    """How far the last thirty dawns were from what was expected the evening before."""
    nights = dawns(heat)
    if len(nights) < 5:
        return ""
    rms = sqrt(sum((one.mean_c - one.reading_c) ** 2 for one in nights) / len(nights))
    inside = sum(abs(one.mean_c - one.reading_c) <= BAND_SIGMAS * one.sd_k for one in nights)
    off = change_words(heat.pond, "temperature_c", rms, 2)
    return f"The last {len(nights)} mornings were off by {off}; {inside} lay inside the band."


def dawns(heat: Heat) -> list[Foretold]:
    """What was expected of morning readings, from the reading before, and what was then read."""
    if heat.belief is None:
        return []
    zone = zone_named(heat.pond.zone)
    return [one for one in heat.belief.foretold if one.believed and 4 <= heat.at(one.at_h).astimezone(zone).hour < 11][
        -_TRACKED:
    ]
