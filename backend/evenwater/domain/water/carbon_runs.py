"""The carbon's services and what was read after it since each, out of the log."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Final

from evenwater.domain.entries import KitService, Reading, Service, Tick
from evenwater.domain.fold import Seen
from evenwater.domain.learn.carbon_life import Kind, Outlet, Run
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.units import SECONDS_PER_DAY

KINDS: Final[Mapping[KitService, Kind]] = {"carbon_agitated": "agitated", "carbon_changed": "changed"}
_RUNS = 12
_READINGS = 40
"""Readings of a run that are looked at, from its end back: a probe after the carbon gives more than are needed."""
_LEAST_STEP_UG_PER_L = 0.1
"""Our own: no kit shows less, and a step of nothing would make a nought certain."""


def services_of(facts: Sequence[Seen], jobs: Sequence[StandingJob]) -> list[tuple[Seen, KitService]]:
    """Every service of the kit, oldest first: entries of their own, and ticks of standing jobs that name one."""
    by_job: dict[str, KitService | None] = {job.id: job.service for job in jobs}
    found: list[tuple[Seen, KitService]] = []
    for one in facts:
        service: KitService | None = None
        if isinstance(one.entry, Service):
            service = one.entry.service
        elif isinstance(one.entry, Tick):
            service = by_job.get(one.entry.standing_job)
        if service is not None:
            found.append((one, service))
    return found


def runs_of(facts: Sequence[Seen], jobs: Sequence[StandingJob], now: datetime) -> list[Run]:
    """The latest runs of the carbon from service to service, the last one under way; empty before the first service."""
    starts: list[tuple[datetime, Kind]] = []
    for one, service in services_of(facts, jobs):
        kind = KINDS.get(service)
        if kind is not None and one.at <= now:
            starts.append((one.at, kind))
    starts = starts[-_RUNS:]
    outlets = [one for one in facts if _is_outlet(one) and one.at <= now]
    runs: list[Run] = []
    for number, (at, kind) in enumerate(starts):
        ends_at = starts[number + 1][0] if number + 1 < len(starts) else now
        last = number + 1 == len(starts)
        within = [one for one in outlets if at < one.at and (one.at <= ends_at if last else one.at < ends_at)]
        readings = tuple(_outlet(one, at) for one in within[-_READINGS:])
        runs.append(
            Run(kind=kind, started_at=at, days=(ends_at - at).total_seconds() / SECONDS_PER_DAY, readings=readings)
        )
    return runs


def _is_outlet(one: Seen) -> bool:
    entry = one.entry
    return isinstance(entry, Reading) and entry.quantity == "total_chlorine_ug_per_l" and entry.point == "after_carbon"


def _outlet(one: Seen, since: datetime) -> Outlet:
    assert isinstance(one.entry, Reading)
    step = one.entry.step or QUANTITIES[one.entry.quantity].step
    return Outlet((one.at - since).total_seconds() / SECONDS_PER_DAY, one.entry.value, max(step, _LEAST_STEP_UG_PER_L))
