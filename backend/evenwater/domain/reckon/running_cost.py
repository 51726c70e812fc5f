"""What something that draws current takes and costs between two moments."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Annotated, Any, Final, Literal, cast
from zoneinfo import ZoneInfo

import msgspec
from msgspec import Meta, Struct, field

from evenwater.domain.entries import zone_named
from evenwater.domain.errors import DomainError, require_between
from evenwater.domain.kit import Clock, Rate, Tariff, TariffWindow, Weekday
from evenwater.domain.reckon.calculator import Calculator
from evenwater.domain.warmth.heater.tariff import POWER_W, Cost, cost_of
from evenwater.domain.warmth.heater.tariff_clock import YEARS
from evenwater.domain.workings import Given, Step, Workings

TITLE: Final = "Running cost"
SOURCE: Final = (
    "Power by elapsed time, each second at the rate the tariff's clock shows then; "
    "changes of the clock from the IANA time zone database."
)
DUTY_FRACTION: Final = (0.0, 1.0)
WINDOWS: Final = 48
OTHERWISE: Final = "otherwise"
UNITS: Final = {"power_w": "W", "rate_per_kwh": "per kWh", "otherwise_rate_per_kwh": "per kWh"}


class RunningWindow(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """When another rate holds."""

    begins: Annotated[Clock, Meta(description="When it begins, HH:MM.")] = field(name="from")
    ends: Annotated[
        Clock, Meta(description="When it ends, HH:MM; sooner in the day than its begin: after midnight.")
    ] = field(name="to")
    rate_per_kwh: Annotated[Rate, Meta(description="Price of a kWh [currency]; may be below 0.")]
    days: Annotated[
        list[Weekday], Meta(max_length=7, description="Days of its beginning; all, when none are named.")
    ] = []


class RunningTariff(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a kWh costs when."""

    clock: Annotated[
        Literal["local", "standard", "utc"],
        Meta(description="What the windows are read on: the wall clock, winter time all year, or UTC."),
    ] = "local"
    windows: Annotated[
        list[RunningWindow], Meta(max_length=WINDOWS, description="Windows that do not overlap; gaps are fine.")
    ] = []
    otherwise_rate_per_kwh: Annotated[Rate, Meta(description="Price of a kWh outside all windows [currency].")]


class RunningCostInput(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What runs, when, where, and at which tariff."""

    power_w: Annotated[float, Meta(ge=POWER_W[0], le=POWER_W[1], description="Power while it runs [W].")]
    duty_fraction: Annotated[
        float, Meta(ge=DUTY_FRACTION[0], le=DUTY_FRACTION[1], description="Share of the time it runs [–].")
    ]
    begins_at: Annotated[
        str,
        Meta(max_length=40, description="From when, ISO 8601: with its offset, or the wall clock of the zone."),
    ] = field(name="from")
    ends_at: Annotated[str, Meta(max_length=40, description="Until when, the same; at most ten years later.")] = field(
        name="to"
    )
    zone: Annotated[str, Meta(max_length=64, description="IANA time zone, such as Europe/Berlin.")]
    tariff: Annotated[RunningTariff, Meta(description="The tariff that holds in between.")]


class RunningCostWindow(Struct, frozen=True, kw_only=True):
    """What fell into one window."""

    window: Annotated[str, Meta(description="Its begin and end, or otherwise.")]
    rate_per_kwh: Annotated[float, Meta(description="Price of a kWh [currency].")]
    hours: Annotated[float, Meta(ge=0, description="How long [hours].")]
    energy_kwh: Annotated[float, Meta(ge=0, description="Energy taken [kWh].")]
    cost: Annotated[float, Meta(description="What that costs [currency].")]


class RunningCostOutput(Struct, frozen=True, kw_only=True):
    """The whole, and by window."""

    energy_kwh: Annotated[float, Meta(ge=0, description="Energy taken [kWh].")]
    cost: Annotated[float, Meta(description="What it costs, without a standing charge [currency].")]
    by_window: Annotated[
        list[RunningCostWindow], Meta(description="The windows anything fell into, in the tariff's order.")
    ]


def reckon(given: RunningCostInput) -> tuple[RunningCostOutput, Workings]:
    """Energy and cost; a day of 23 or 25 hours is one."""
    require_between("duty_fraction", given.duty_fraction, *DUTY_FRACTION)
    require_between("power_w", given.power_w, *POWER_W, "W")
    zone = zone_named(given.zone)
    begins_at, ends_at = _moment("from", given.begins_at, zone), _moment("to", given.ends_at, zone)
    tariff = _tariff(given.tariff)
    found = cost_of(tariff, zone, given.power_w * given.duty_fraction, begins_at, ends_at)
    output = RunningCostOutput(energy_kwh=found.energy_kwh, cost=found.cost, by_window=_by_window(tariff, found))
    return output, _workings(given, (ends_at - begins_at).total_seconds() / 3600, output)


def _moment(name: str, written: str, zone: ZoneInfo) -> datetime:
    """In UTC. A wall clock's time that is skipped is read by the offset before; one shown twice is the first."""
    try:
        at = datetime.fromisoformat(written)
    except ValueError:
        right = "a moment such as 2026-11-01T00:00, or 2026-11-01T00:00+01:00"
        raise DomainError(f"{name} is {written!r}", where=name, right=right) from None
    require_between(name, at.year, *YEARS)
    return (at.replace(tzinfo=zone) if at.tzinfo is None else at).astimezone(UTC)


def _tariff(given: RunningTariff) -> Tariff:
    windows = tuple(TariffWindow(one.begins, one.ends, one.rate_per_kwh, tuple(one.days)) for one in given.windows)
    return Tariff(clock=given.clock, windows=windows, otherwise_rate_per_kwh=given.otherwise_rate_per_kwh)


def _by_window(tariff: Tariff, found: Cost) -> list[RunningCostWindow]:
    def name(number: int | None) -> str:
        if number is None:
            return OTHERWISE
        one = tariff.windows[number]
        return " ".join([f"{one.begins} to {one.ends}", *one.days])

    return [
        RunningCostWindow(
            window=name(one.window),
            rate_per_kwh=one.rate_per_kwh,
            hours=one.hours,
            energy_kwh=one.energy_kwh,
            cost=one.cost,
        )
        for one in found.by_window
    ]


def _workings(given: RunningCostInput, hours: float, output: RunningCostOutput) -> Workings:
    return Workings(
        title=TITLE,
        inputs=tuple(_inputs("", msgspec.to_builtins(given))),
        steps=(
            Step("elapsed time, changes of the clock counted", f"{hours:.6g} h"),
            Step(
                f"mean power = {given.power_w:g} W × {given.duty_fraction:g}",
                f"{given.power_w * given.duty_fraction:.5g} W",
            ),
            *(
                Step(
                    f"{one.window}: {one.hours:.6g} h, {one.energy_kwh:.5g} kWh × {one.rate_per_kwh:g}",
                    f"{one.cost:.2f}",
                )
                for one in output.by_window
            ),
            Step("together", f"{output.energy_kwh:.5g} kWh, {output.cost:.2f}"),
        ),
        result=f"{output.energy_kwh:.5g} kWh for {output.cost:.2f}",
        source=SOURCE,
    )


def _inputs(path: str, value: object) -> Iterator[Given]:
    """Every number and word of the input, by its path."""
    if isinstance(value, dict):
        for name, one in cast(dict[str, Any], value).items():
            yield from _inputs(f"{path}.{name}" if path else name, one)
    elif isinstance(value, list):
        for number, one in enumerate(cast(list[Any], value)):
            yield from _inputs(f"{path}[{number}]", one)
    else:
        yield Given(path, cast("float | str", value), UNITS.get(path.rpartition(".")[2], ""))


CALCULATOR: Final = Calculator(
    name="running-cost",
    title=TITLE,
    source=SOURCE,
    example=RunningCostInput(
        power_w=2400.0,
        duty_fraction=0.35,
        begins_at="2026-10-25T00:00",
        ends_at="2026-11-01T00:00",
        zone="Europe/Amsterdam",
        tariff=RunningTariff(
            windows=[
                RunningWindow(begins="22:30", ends="05:30", rate_per_kwh=0.17),
                RunningWindow(
                    begins="17:00", ends="20:00", rate_per_kwh=0.41, days=["mon", "tue", "wed", "thu", "fri"]
                ),
            ],
            otherwise_rate_per_kwh=0.29,
        ),
    ),
    output=RunningCostOutput,
    reckon=reckon,
)
