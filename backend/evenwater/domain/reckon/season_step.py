"""On which days the setpoint is turned, and to what."""

from datetime import date
from typing import Annotated, Final

from msgspec import Meta, Struct

from evenwater.domain.errors import require_between
from evenwater.domain.kit import SeasonSteps
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.reckon.heat_energy import DAILY_CHANGE_C
from evenwater.domain.warmth.heater.tariff_clock import YEARS
from evenwater.domain.warmth.season.season_steps import DAYS_PER_STEP, DEGREES_PER_STEP, SETPOINT_C, dated_settings
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Steps of the setpoint"
SOURCE: Final = "Arithmetic. A degree every two to three days is common practice, no source."

Setpoint = Annotated[float, Meta(ge=SETPOINT_C[0], le=SETPOINT_C[1])]


class SeasonStepInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """From where to where, and how slowly."""

    from_c: Annotated[Setpoint, Meta(description="Setpoint on the first day [°C].")]
    to_c: Annotated[Setpoint, Meta(description="Setpoint it comes to [°C].")]
    degrees_per_step: Annotated[
        float, Meta(ge=DEGREES_PER_STEP[0], le=DEGREES_PER_STEP[1], description="One step [K].")
    ]
    days_per_step: Annotated[
        float, Meta(ge=DAYS_PER_STEP[0], le=DAYS_PER_STEP[1], description="From one step to the next [days].")
    ]
    start_on: Annotated[date, Meta(description="The first day, still at from_c.")]


class SeasonStepSetting(Struct, frozen=True, kw_only=True):
    """One setting."""

    on: Annotated[date, Meta(description="The day it is set.")]
    setpoint_c: Annotated[float, Meta(description="What it is set to [°C].")]


class SeasonStepOutput(Struct, frozen=True, kw_only=True):
    """All settings, in order."""

    settings: Annotated[list[SeasonStepSetting], Meta(description="From the first day to the last step.")]


def reckon(given: SeasonStepInput) -> tuple[SeasonStepOutput, Workings]:
    """Steps of equal size, the last what is left; none sooner than agreed."""
    require_between("start_on", given.start_on.year, *YEARS)
    steps = SeasonSteps(
        from_c=given.from_c,
        to_c=given.to_c,
        starts_on=given.start_on,
        degrees_per_step=given.degrees_per_step,
        days_per_step=given.days_per_step,
    )
    settings = [SeasonStepSetting(on=one.on, setpoint_c=one.setpoint_c) for one in dated_settings(steps)]
    output = SeasonStepOutput(settings=settings)
    return output, _workings(given, output)


def _workings(given: SeasonStepInput, output: SeasonStepOutput) -> Workings:
    last = output.settings[-1]
    rate = given.degrees_per_step / given.days_per_step
    fast = f"This is {rate:.2g} °C a day. At most {DAILY_CHANGE_C:g} °C a day is common practice (no source)."
    return Workings(
        title=TITLE,
        inputs=(
            Given("from_c", given.from_c, "°C"),
            Given("to_c", given.to_c, "°C"),
            Given("degrees_per_step", given.degrees_per_step, "K"),
            Given("days_per_step", given.days_per_step, "days"),
            Given("start_on", given.start_on.isoformat(), ""),
        ),
        steps=(
            Step(
                f"steps = |{given.to_c:g} - {given.from_c:g}| / {given.degrees_per_step:g}, rounded up",
                f"{len(output.settings) - 1}",
            ),
            Step("a step on the first day that is days_per_step or more after the last", f"{last.on.isoformat()}"),
        ),
        result=f"{given.from_c:g} °C on {given.start_on.isoformat()}, {last.setpoint_c:g} °C on {last.on.isoformat()}",
        source=SOURCE,
        warnings=(fast,) if rate > DAILY_CHANGE_C else (),
    )


CALCULATOR: Final = Calculator(
    name="season-step",
    title=TITLE,
    source=SOURCE,
    example=SeasonStepInput(
        from_c=17.0, to_c=12.0, degrees_per_step=1.0, days_per_step=3.0, start_on=date(2026, 11, 7)
    ),
    output=SeasonStepOutput,
    reckon=reckon,
)
