"""The carbon on the Water page: when it will reach the limit, and what has gone through it."""

from collections.abc import Sequence
from datetime import date, datetime

from evenwater.domain.entries import zone_named
from evenwater.domain.fold import Seen
from evenwater.domain.learn.carbon_life import Run
from evenwater.domain.pond import CarbonBed, Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.water.carbon_advice import Advice, advice_of, day_words
from evenwater.domain.water.carbon_bed import CONTACT_WANTED_MIN, FLOW_L_PER_MIN, contact_min
from evenwater.domain.water.carbon_runs import runs_of
from evenwater.domain.water.outlook import Answer, Finding
from evenwater.domain.water.source_water import carbon_flow_l_per_day
from evenwater.domain.workings import Given, Step, Workings

_MIN_PER_DAY = 1440.0
_ROWS = 6
_FIRST = {
    "agitate": ("Agitate the cartridges, then read total chlorine after them again.",),
    "change": ("Change the cartridges, then read total chlorine after them again.",),
    "leave": (),
}
_CAUTIONS = ("Shut the water and let the pressure off first. First water after it goes to waste, not to the pond.",)


def carbon_findings(
    pond: Pond, facts: Sequence[Seen], now: datetime, jobs: Sequence[StandingJob] = ()
) -> list[Finding]:
    """What is known of the carbon: how long it will hold, and how long water stays in it.

    Args:
        pond: The pond as set; without carbon there is nothing to find.
        facts: The pond's standing facts, oldest first.
        now: The moment; only its date at the pond counts.
        jobs: The pond's standing jobs, whose ticks may be services.
    """
    if pond.carbon is None:
        return []
    found = [_life_finding(pond, pond.carbon, facts, now, jobs), _contact_finding(pond, pond.carbon)]
    return [one for one in found if one is not None]


def _life_finding(
    pond: Pond, carbon: CarbonBed, facts: Sequence[Seen], now: datetime, jobs: Sequence[StandingJob]
) -> Finding:
    today = now.astimezone(zone_named(pond.zone)).date()
    advice = advice_of(pond, facts, today, jobs)
    runs = runs_of(facts, jobs, now)
    rows = tuple(_row(pond, run, today if run is runs[-1] else None) for run in reversed(runs))
    if advice is None:
        says = (
            f"Nothing was read after the carbon since its last services: the fixed interval of {carbon.service_days} "
            "days holds. Read total chlorine after it, and log each agitation and change."
        )
        big, answer, first = "not known", "not_known", ()
    else:
        says = {"agitate": "Agitate", "change": "Change", "leave": "Leave alone"}[advice.act] + f": {advice.reason}."
        big, answer = _big(advice, today), _answer(advice)
        first = _FIRST[advice.act]
    return Finding(
        id="carbon-life",
        section="carbon",
        title="Carbon",
        big=big,
        says=says,
        answer=answer,
        first=first,
        cautions=_CAUTIONS if first else (),
        columns=("Service", "Held", "Water through", "Last read after it"),
        rows=rows[:_ROWS],
        workings=None if advice is None else _workings(pond, carbon, advice),
    )


def _big(advice: Advice, today: date) -> str:
    if advice.over or advice.life is None or advice.started_on is None:
        return "at its limit"
    left = (advice.life.on(advice.started_on, advice.life.middle_days) - today).days
    return "due" if left <= 0 else f"about {left} day{'' if left == 1 else 's'}"


def _answer(advice: Advice) -> Answer:
    if advice.over:
        return "act_now"
    return "in_range" if advice.act == "leave" else "drifting"


def _row(pond: Pond, run: Run, today: date | None) -> tuple[str, ...]:
    """A run in words; `today` for the one under way, counted in dates so that it changes at midnight only."""
    started = run.started_at.astimezone(zone_named(pond.zone)).date()
    days = round(run.days) if today is None else (today - started).days
    litres = carbon_flow_l_per_day(pond) * days
    read = "nothing read" if not run.readings else f"{run.readings[-1].value_ug_per_l:g} µg/L"
    if run.readings and run.readings[-1].value_ug_per_l <= 0.0:
        read = f"under {run.readings[-1].step_ug_per_l:g} µg/L"
    held = f"{days} days" + ("" if today is None else " so far")
    return (
        f"{run.kind} {started.day} {started:%b}",
        held,
        f"{litres:.0f} L" if carbon_flow_l_per_day(pond) else "flow not set",
        read,
    )


def _workings(pond: Pond, carbon: CarbonBed, advice: Advice) -> Workings | None:
    life = advice.life
    if life is None or advice.started_on is None:
        return None
    flow = carbon_flow_l_per_day(pond)
    return Workings(
        title="How long the carbon holds",
        inputs=(
            Given("limit_ug_per_l", carbon.limit_ug_per_l, "µg/L", "pond"),
            Given("service_days", carbon.service_days, "days", "pond"),
            Given("readings", life.readings, "", "log"),
            Given("last service", day_words(advice.started_on), "", "log"),
        ),
        steps=(
            Step("days from this service to the limit, middle", f"{life.middle_days:.0f} days"),
            Step("the same, 90 % of the time between", f"{life.low_days:.0f} to {life.high_days:.0f} days"),
            Step("in litres through the carbon", f"{life.middle_days * flow:.0f} L" if flow else "flow not set"),
            Step("usual days after an agitation", f"{life.next_agitated_days:.0f} days"),
            Step("usual days after a change", f"{life.next_changed_days:.0f} days"),
            Step("due when one in five would be over the limit", day_words(advice.due_on)),
        ),
        result=advice.reason,
        source=(
            "Our own: outlet chlorine climbs by a constant factor a day within a run; runs after agitating and after "
            "changing learned apart; a reading of 0 says only that it is under a step."
        ),
    )


def _contact_finding(pond: Pond, carbon: CarbonBed) -> Finding | None:
    flow_l_per_day = carbon_flow_l_per_day(pond)
    if carbon.bed_l is None or flow_l_per_day < FLOW_L_PER_MIN[0] * _MIN_PER_DAY:
        return None
    minutes = contact_min(carbon.bed_l, flow_l_per_day / _MIN_PER_DAY)
    chloramine = pond.mains is not None and pond.mains.disinfectant == "chloramine"
    short = minutes < CONTACT_WANTED_MIN
    wanted = f"Chloramine takes {CONTACT_WANTED_MIN:g} minutes or more (ISO 23500-2, from memory)."
    return Finding(
        id="carbon-contact",
        section="carbon",
        title="Contact with the carbon",
        big=f"{minutes:.0f} min",
        says=f"{flow_l_per_day:.0f} L a day through {carbon.bed_l:g} L of carbon. {wanted}",
        answer="drifting" if short and chloramine else None,
        workings=Workings(
            title="Contact time",
            inputs=(
                Given("bed_l", carbon.bed_l, "L", "pond"),
                Given("inflow_l_per_day", pond.inflow_l_per_day, "L/day", "pond"),
                Given("bypass_fraction", pond.bypass_fraction, "", "pond"),
                Given(
                    "recovery_fraction", 1.0 if pond.membrane is None else pond.membrane.recovery_fraction, "", "pond"
                ),
            ),
            steps=(
                Step("flow = trickle × (bypass + (1 - bypass) / recovery)", f"{flow_l_per_day:.0f} L/day"),
                Step("contact = bed / flow", f"{minutes:.1f} min"),
                Step("bed volumes a day = flow / bed", f"{flow_l_per_day / carbon.bed_l:.0f}"),
            ),
            result=f"{minutes:.1f} min",
            source="Definition of empty-bed contact time; an even trickle all day.",
        ),
    )
