"""Each kit item as it stands: hours run and litres let through since it was fitted and since it was last seen to."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Final

from msgspec import Struct

from evenwater.domain.book.kit_use import HOURS_A_DAY, Use, by_day, counted, use_between
from evenwater.domain.book.outlook import KitState
from evenwater.domain.entries import KitService, Meter, Service, Set, Tick
from evenwater.domain.fold import Known, Seen
from evenwater.domain.kit import KitItem
from evenwater.domain.pond import Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.water.source_water import carbon_flow_l_per_day

_OF_KIND: Final[Mapping[KitService, str]] = {
    "carbon_agitated": "cartridge",
    "carbon_changed": "cartridge",
    "membrane_flushed": "membrane",
    "membrane_cleaned": "membrane",
    "membrane_changed": "membrane",
    "prefilter_changed": "prefilter",
    "drum_rinsed": "drum",
    "filter_rinsed": "filter",
    "pump_serviced": "pump",
    "air_pump_serviced": "air_pump",
    "lamp_changed": "lamp",
    "probe_calibrated": "probe",
}
_NEW: Final = frozenset({"carbon_changed", "membrane_changed", "prefilter_changed", "lamp_changed"})
"""Work after which the item counts as fitted anew."""
_TRICKLED: Final = frozenset({"cartridge", "membrane", "prefilter"})
_FLOW_FIELDS: Final = frozenset({"inflow_l_per_day", "bypass_fraction", "membrane"})
_MOST_OVER_USUAL: Final = 3.0
"""A counter of litres that shows over so many times the usual did not begin at nought. Our own rule."""
_SERVICES: Final = 12
_STANDING_STILL: Final = frozenset({"filter", "prefilter", "cartridge", "membrane", "probe"})
"""Kinds with nothing in them that runs: in words their age is days, not hours."""


class _Work(Struct, frozen=True):
    """Work done on an item: when, what, by whom, and whether it was new after it."""

    on: date
    what: str
    author: str
    new: bool


def kit_states(known: Known, pond: Pond, today: date) -> tuple[KitState, ...]:
    """Every kit item of a pond, in the keeper's order.

    Args:
        known: All that stands in the log.
        pond: The pond as set for today.
        today: The civil date at the pond; later facts are left out.
    """
    facts = [one for one in known.of_pond(pond.id) if one.on <= today]
    jobs = {job.id: job for job in known.standing_jobs(pond.id, today)}
    flow = _Trickle(known, pond)
    return tuple(_state(item, pond, facts, _works(item, pond.kit, facts, jobs), flow, today) for item in pond.kit)


def _state(
    item: KitItem, pond: Pond, facts: Sequence[Seen], works: Sequence[_Work], flow: "_Trickle", today: date
) -> KitState:
    fitted = [one.on for one in works if one.new] + ([item.fitted_on] if item.fitted_on is not None else [])
    fitted_on = max(fitted) if fitted else None
    since = works[0].on if works else None
    hours = _Meter(item, facts, fitted_on, "hours", HOURS_A_DAY, lambda _: item.hours_per_day, ())
    per_day = flow.of(item)
    usual = per_day(today)
    most = None if usual is None else _MOST_OVER_USUAL * usual
    litres = _Meter(item, facts, fitted_on, "volume_l", most, per_day, flow.changes)
    run, through = hours.since(fitted_on, today), litres.since(fitted_on, today)
    run_since, through_since = hours.since(since, today), litres.since(since, today)
    uses = [one for one in (run, through, run_since, through_since) if one is not None]
    told = any(one.told for one in uses)
    whole, lately = (
        _amounts(item, fitted_on, today, run, through),
        _amounts(item, since, today, run_since, through_since),
    )
    read_on = (hours.last_on or litres.last_on) if told else None
    return KitState(
        id=item.id,
        name=item.name,
        says=_says(fitted_on, whole, works, lately, read_on),
        hours=_whole(run),
        volume_l=_whole(through),
        hours_since_service=_whole(run_since),
        volume_since_service_l=_whole(through_since),
        told=told,
        services=tuple((one.on, one.what, one.author) for one in works[:_SERVICES]),
    )


def _works(
    item: KitItem, kit: Sequence[KitItem], facts: Sequence[Seen], jobs: Mapping[str, StandingJob]
) -> list[_Work]:
    """Work on an item, newest first: told of it by name, or of its kind where it is the only one."""
    alone = sum(one.kind == item.kind for one in kit) == 1
    found: list[_Work] = []
    for one in reversed(facts):
        entry = one.entry
        if isinstance(entry, Service):
            service, about, what = entry.service, entry.kit, ""
        elif isinstance(entry, Tick) and entry.standing_job in jobs:
            job = jobs[entry.standing_job]
            service, about, what = job.service, job.kit, job.text
        else:
            continue
        mine = about == item.id or (
            about is None and service is not None and alone and _OF_KIND.get(service) == item.kind
        )
        if mine:
            words = service.replace("_", " ").capitalize() if service else what
            if isinstance(entry, Service) and entry.text:
                words = f"{words}: {entry.text}"
            found.append(_Work(one.on, words, entry.author, service in _NEW))
    return found


class _Meter:
    """One counter of an item, and what is usual where it was not read."""

    def __init__(
        self,
        item: KitItem,
        facts: Sequence[Seen],
        fitted_on: date | None,
        field: str,
        most_per_day: float | None,
        per_day: Callable[[date], float | None],
        changes: Sequence[date],
    ) -> None:
        shown = [
            (one.on, value)
            for one in facts
            if isinstance(one.entry, Meter) and one.entry.kit == item.id
            if (value := one.entry.hours if field == "hours" else one.entry.volume_l) is not None
        ]
        self._totals = counted(shown, fitted_on, most_per_day)
        self._usual = by_day(per_day, changes)
        self.last_on = shown[-1][0] if shown else None

    def since(self, begins: date | None, today: date) -> Use | None:
        return None if begins is None or begins > today else use_between(self._totals, self._usual, begins, today)


class _Trickle:
    """Litres a day through an item: its own; else, where the trickle runs through it, the pond's as it was set."""

    def __init__(self, known: Known, pond: Pond) -> None:
        self._known, self._pond = known, pond
        self._held: dict[date, Pond] = {}
        self.changes = tuple(
            one.entry.effective_from
            for one in known.settings
            if isinstance(one.entry, Set) and one.entry.pond == pond.id and one.entry.target == "pond"
            if one.entry.field in _FLOW_FIELDS and one.entry.effective_from is not None
        )

    def of(self, item: KitItem) -> Callable[[date], float | None]:
        if item.flow_l_per_day is not None or item.kind not in _TRICKLED:
            return lambda _: item.flow_l_per_day
        return lambda on: self._through(item, self._as_held(on))

    def _as_held(self, on: date) -> Pond:
        if on not in self._held:
            ponds = self._known.ponds(on)
            self._held[on] = next((one for one in ponds if one.id == self._pond.id), self._pond)
        return self._held[on]

    def _through(self, item: KitItem, pond: Pond) -> float | None:
        if pond.inflow_l_per_day <= 0:
            return None
        through = carbon_flow_l_per_day(pond)
        return through - pond.bypass_fraction * pond.inflow_l_per_day if item.kind == "membrane" else through


def _whole(use: Use | None) -> float | None:
    return None if use is None else float(round(use.amount))


def _says(fitted_on: date | None, whole: str, works: Sequence[_Work], lately: str, read_on: date | None) -> str:
    """ "2,140 h since 3 March 2026, 310 h since 12 November 2026 (drum rinsed); by its own counter." """
    parts = [f"{whole} since {_day(fitted_on)}"] if fitted_on is not None and whole else []
    if works and works[0].on != fitted_on and lately:
        what = works[0].what.partition(":")[0]
        parts.append(f"{lately} since {_day(works[0].on)} ({what[:1].lower()}{what[1:]})")
    if not parts:
        return "Tell when it was fitted, or log the next work on it: then it is counted."
    how = f"by its own counter, last read {_day(read_on)}" if read_on else "reckoned from its usual day"
    return f"{', '.join(parts)}; {how}."


def _amounts(item: KitItem, since: date | None, today: date, hours: Use | None, litres: Use | None) -> str:
    if since is None or since >= today:
        return ""
    words = [f"{hours.amount:,.0f} h"] if hours else []
    if item.kind in _STANDING_STILL and not (hours and hours.told):
        days = (today - since).days
        words = [f"{days} day{'' if days == 1 else 's'}"]
    words += [f"{litres.amount:,.0f} L"] if litres else []
    return " and ".join(words)


def _day(on: date) -> str:
    return f"{on.day} {on:%B} {on.year}"
