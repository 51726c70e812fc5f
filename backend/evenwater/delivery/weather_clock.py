"""Asks for the weather of each pond that wants it: once an hour, and after a failure in 5, 15, then 60 minutes.

It looks each minute whether somebody's turn has come, so a pond that has just switched the service on waits no longer.
When it last asked is kept, not remembered: a server that restarts does not ask more often. A failure changes nothing
of what was kept before.
"""

import asyncio
import logging
from collections.abc import Callable
from datetime import datetime, timedelta

from msgspec.structs import replace

from evenwater.delivery.send.weather import NoWeather, Told, ask_weather
from evenwater.domain.fold import Seen, fold, seen
from evenwater.domain.pond import Pond
from evenwater.domain.warmth.series import SERVICE, series_name
from evenwater.storage.database import Database
from evenwater.storage.entry_log import settings_after
from evenwater.storage.samples import Sample
from evenwater.storage.weather import WeatherState, keep_weather, keep_weather_state, weather_state

ASK_EVERY = timedelta(hours=1)
AFTER_FAILURE = (timedelta(minutes=5), timedelta(minutes=15), timedelta(minutes=60))
_LOOK_EVERY_S = 60.0
# A disk that is full keeps no state; asking each minute because of it would be rude to the service.
_AFTER_A_FAULT_S = 3600.0

log = logging.getLogger("evenwater.weather")


class WeatherClock:
    """One for the whole server. `url`: the service's forecast address; `clock` gives the moment, aware, in UTC."""

    def __init__(self, database: Database, url: str, clock: Callable[[], datetime]) -> None:
        self._database, self._url, self._clock = database, url, clock
        self._settings: list[Seen] = []
        self._log_seq = 0

    async def run(self) -> None:
        """Until cancelled. Nothing that goes wrong here ends it, or the server beside it."""
        while True:
            wait_s = _LOOK_EVERY_S
            try:
                await self.ask_who_is_due()
            except Exception:
                log.exception("unforeseen while asking for the weather")
                wait_s = _AFTER_A_FAULT_S
            await asyncio.sleep(wait_s)

    async def ask_who_is_due(self) -> None:
        """Ask for every pond whose turn has come; a failure of one holds up no other."""
        for pond in await self._ponds():
            state = await weather_state(self._database, pond.id) or WeatherState()
            if is_due(state, self._clock()):
                await self._ask(pond, state)

    async def _ponds(self) -> list[Pond]:
        fresh = await settings_after(self._database, self._log_seq)
        if fresh:
            self._settings += [seen(one) for one in fresh]
            self._log_seq = fresh[-1].seq
        return [pond for pond in fold(self._settings).ponds(self._clock().date()) if pond.weather_service]

    async def _ask(self, pond: Pond, state: WeatherState) -> None:
        if pond.latitude is None or pond.longitude is None:
            return
        now = self._clock()
        try:
            told = await ask_weather(self._url, pond.latitude, pond.longitude, now)
        except NoWeather as error:
            log.warning("no new weather for pond %s: %s; the last forecast stands", pond.id, error)
            failed = replace(state, last_failed_at=now, failure=str(error), failures=state.failures + 1)
            await keep_weather_state(self._database, pond.id, failed)
        else:
            await keep_weather(self._database, pond.id, [_sample(pond.id, one, now) for one in told], now, state)


def is_due(state: WeatherState, now: datetime) -> bool:
    """Whether it is time to ask again.

    A clock that was set back must not silence us until it has caught up.
    """
    last_at = state.last_failed_at if state.failures else state.last_good_at
    if last_at is None or now < last_at:
        return True
    wait = AFTER_FAILURE[min(state.failures, len(AFTER_FAILURE)) - 1] if state.failures else ASK_EVERY
    return now - last_at >= wait


def _sample(pond: str, told: Told, now: datetime) -> Sample:
    return Sample(series_name(pond, SERVICE + told.series), told.at, told.value, now if told.is_forecast else None)
