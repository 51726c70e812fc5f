"""The Warmth page of every pond, worked out anew only when something it rests on has changed."""

import asyncio
from collections.abc import Mapping
from datetime import datetime, timedelta

from evenwater.domain.entries import AirForecast, CoverMove, Look, NotDone, Reading, Tick
from evenwater.domain.fold import Known, Seen
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.warmth.heat_log import OFF, ON
from evenwater.domain.warmth.page import Warm
from evenwater.domain.warmth.pond_air import ByHour, Samples
from evenwater.storage.database import Database
from evenwater.storage.samples import hourly_of_pond, last_heard, latest_forecast
from evenwater.storage.weather import weather_state

_SEASON_DAYS = 200
_FRESH_FOR = timedelta(minutes=5)
# A season of a value a minute takes a second to read: it is read whole once a day, its last days whenever asked.
_WHOLE_FOR, _LATE = timedelta(days=1), timedelta(days=3)
_WARM_QUANTITIES = frozenset({"temperature_c", "air_temperature_c", "relative_humidity_fraction", "heater_meter_kwh"})
_AHEAD = timedelta(days=3)
_NOTHING: ByHour = {}


class WarmthPlanner:
    """Reads samples every few minutes; a page stands for the hour unless the log says something new of warmth."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._samples: dict[str, tuple[datetime, Samples]] = {}
        self._measured: dict[str, tuple[datetime, ByHour]] = {}
        self._pages: dict[str, tuple[tuple[object, ...], Warm]] = {}

    async def of_ponds(self, known: Known, now: datetime) -> Mapping[str, Warm]:
        """By pond; those open at `now`."""
        return {pond.id: await self._of(known, pond, now) for pond in known.ponds(known.civil_date(now)[0])}

    async def _of(self, known: Known, pond: Pond, now: datetime) -> Warm:
        samples = await self._samples_of(pond, now)
        hour = now.replace(minute=0, second=0, microsecond=0)
        facts = tuple(one.entry.id for one in known.of_pond(pond.id) if _is_warm(one))
        settings = known.settings[-1].order if known.settings else None
        rests_on = (hour, facts, len(known.settings), settings, id(samples))
        before = self._pages.get(pond.id)
        if before is not None and before[0] == rests_on:
            return before[1]
        # A second of arithmetic on a small machine: sync and probes go on meanwhile.
        warm = await asyncio.to_thread(warmth_now, known, pond, samples, now)
        self._pages[pond.id] = (rests_on, warm)
        return warm

    async def _samples_of(self, pond: Pond, now: datetime) -> Samples:
        read_at, samples = self._samples.get(pond.id, (None, Samples()))
        if read_at is not None and timedelta(0) <= now - read_at < _FRESH_FOR:
            return samples
        state = await weather_state(self._database, pond.id) if pond.weather_service else None
        found = Samples(
            measured=await self._measured_of(pond, now),
            forecast=await latest_forecast(self._database, pond.id, now) if pond.weather_service else None,
            last_heard=await last_heard(self._database, pond.id),
            failure=state.failure if state else None,
        )
        # The same again is the same record: pages made from it stand.
        self._samples[pond.id] = (now, samples if found == samples else found)
        return self._samples[pond.id][1]

    async def _measured_of(self, pond: Pond, now: datetime) -> ByHour:
        """Every series by the hour, for a season back; what a logger sent late is seen for three days at once."""
        read_at, kept = self._measured.get(pond.id, (None, _NOTHING))
        whole = read_at is None or not timedelta(0) <= now - read_at < _WHOLE_FOR
        since = now - (timedelta(days=_SEASON_DAYS) if whole else _LATE)
        since = since.replace(minute=0, second=0, microsecond=0)
        fresh = await hourly_of_pond(self._database, pond.id, since, now + _AHEAD)
        if not whole:
            names = sorted({*kept, *fresh})
            before = {name: [one for one in kept.get(name, ()) if one[0] < since] for name in names}
            fresh = {name: [*before[name], *fresh.get(name, ())] for name in names}
        self._measured[pond.id] = (now if whole or read_at is None else read_at, fresh)
        return fresh


def _is_warm(one: Seen) -> bool:
    """Whether an entry says anything of warmth, as far back as is looked."""
    entry = one.entry
    if isinstance(entry, Reading):
        return entry.quantity in _WARM_QUANTITIES
    if isinstance(entry, Tick | NotDone):
        return entry.slot in (OFF, ON) or (isinstance(entry, Tick) and entry.setting_c is not None)
    return isinstance(entry, CoverMove | AirForecast | Look)
