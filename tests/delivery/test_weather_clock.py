"""When the weather is asked for, what is kept of it, and what a failure leaves standing."""

import asyncio
import logging
from datetime import datetime, timedelta

import pytest
from kept_log import settle_pond, write_entry
from weather_service import FIRST, HOURS, NOW, WeatherService

from evenwater.delivery.send import weather as sending
from evenwater.delivery.weather_clock import WeatherClock, is_due
from evenwater.storage.database import Database
from evenwater.storage.samples import Sample, hourly_of_pond, keep_samples, latest_forecast
from evenwater.storage.weather import WeatherState, weather_state

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)


class Watch:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def watch() -> Watch:
    return Watch()


@pytest.fixture
def clock(database: Database, service: WeatherService, watch: Watch) -> WeatherClock:
    return WeatherClock(database, service.url, watch)


async def settle(database: Database, pond: str = "main", first: int = 100, **settings: object) -> list[str]:
    """A pond with the service switched on."""
    on = {"latitude": 50.9, "longitude": 4.4, "weather_service": True}
    return await settle_pond(database, pond, first, **on | settings)


async def forecast_age(database: Database, now: datetime) -> timedelta | None:
    found = await latest_forecast(database, "main", now)
    return found and now - found[0]


async def test_what_has_been_and_what_is_to_come_are_kept_apart(database, clock, service):
    await settle(database)
    await clock.ask_who_is_due()
    issued_at, ahead = await latest_forecast(database, "main", NOW)
    assert issued_at == NOW
    assert ahead["air_c"][0][0] == NOW.replace(minute=0) + HOUR
    assert ahead["air_c"][-1][0] == FIRST + (HOURS - 1) * HOUR
    assert set(ahead) == {
        *("air_c", "humidity_fraction", "wind_m_per_s", "gust_m_per_s"),
        *("cloud_fraction", "sun_w_per_m2", "rain_mm", "snow_cm"),
    }
    past = await hourly_of_pond(database, "main", NOW - 3 * DAY, NOW + 9 * DAY)
    assert past["service_air_c"][0] == (FIRST, 0.0)
    assert past["service_air_c"][-1][0] == NOW.replace(minute=0)
    assert "air_c" not in past
    assert await weather_state(database, "main") == WeatherState(last_good_at=NOW)


async def test_the_ponds_own_probe_is_left_as_it_is(database, clock, service):
    await settle(database)
    at = NOW.replace(minute=0)
    await keep_samples(database, [Sample("main/air_c", at, 7.25)])
    await clock.ask_who_is_due()
    assert (await hourly_of_pond(database, "main", at, at + HOUR))["air_c"] == [(at, 7.25)]


async def test_only_ponds_that_switched_it_on_and_have_a_place_are_asked_for(database, clock, service):
    await clock.ask_who_is_due()
    await settle(database, "off", 100, weather_service=False)
    await settle(database, "nowhere", 200, latitude=None)
    await settle(database, "closed", 300, closed=True)
    await clock.ask_who_is_due()
    assert service.asked == []
    await settle(database, "on", 400, latitude=-33.94)
    await clock.ask_who_is_due()
    assert [one["latitude"] for one in service.asked] == ["-33.9"]


async def test_switching_off_and_taking_the_switch_back_both_end_the_asking(database, clock, service, watch):
    *_, switch = await settle(database)
    await clock.ask_who_is_due()
    watch.now += 2 * HOUR
    await write_entry(database, 500, "take_back", entry=switch)
    await clock.ask_who_is_due()
    assert len(service.asked) == 1


async def test_it_asks_once_an_hour_whoever_restarts_the_server(database, clock, service, watch):
    await settle(database)
    for minutes, asked in ((0, 1), (1, 1), (59, 1), (60, 2), (61, 2), (119, 2), (120, 3)):
        watch.now = NOW + minutes * MINUTE
        await clock.ask_who_is_due()
        await WeatherClock(database, service.url, watch).ask_who_is_due()
        assert len(service.asked) == asked, minutes


async def test_after_a_failure_it_waits_longer_each_time_and_then_an_hour(database, clock, service, watch):
    await settle(database)
    service.status = 500
    asked_at = []
    for minute in range(241):
        watch.now = NOW + minute * MINUTE
        before = len(service.asked)
        await clock.ask_who_is_due()
        asked_at += [minute] * (len(service.asked) - before)
    assert asked_at == [0, 5, 20, 80, 140, 200]
    service.tells()
    watch.now = NOW + 260 * MINUTE
    await clock.ask_who_is_due()
    assert await weather_state(database, "main") == WeatherState(last_good_at=watch.now)


FAULTS = {
    "not JSON": {"body": b"<html>"},
    "500": {"status": 500},
    "429": {"status": 429},
    "too large": {"body": b" " * 2_000_000},
    "too slow": {"pause_s": 5.0},
}


@pytest.mark.parametrize("fault", [*FAULTS, "not there"])
async def test_a_failure_leaves_the_last_good_forecast_and_says_how_old(
    database, clock, service, watch, fault, monkeypatch
):
    await settle(database)
    await clock.ask_who_is_due()
    good = await latest_forecast(database, "main", NOW)
    for name, value in FAULTS.get(fault, {}).items():
        setattr(service, name, value)
    monkeypatch.setattr(sending, "TIME_LIMIT_S", 0.2)
    watch.now = NOW + HOUR
    later = clock if fault in FAULTS else WeatherClock(database, "http://127.0.0.1:1/", watch)
    await later.ask_who_is_due()
    assert await latest_forecast(database, "main", watch.now) == good
    assert await forecast_age(database, watch.now) == HOUR
    state = await weather_state(database, "main")
    assert (state.last_good_at, state.last_failed_at, state.failures) == (NOW, watch.now, 1)
    assert state.failure.startswith("the weather service") or "the weather service sent" in state.failure


async def test_a_failing_pond_holds_up_no_other(database, clock, service, watch):
    await settle(database, "a", 100)
    await settle(database, "b", 200)
    service.status = 500
    await clock.ask_who_is_due()
    assert [(await weather_state(database, pond)).failures for pond in ("a", "b")] == [1, 1]


async def test_a_forecast_that_has_been_overtaken_by_time_is_none(database, clock, watch):
    await settle(database)
    await clock.ask_who_is_due()
    assert await forecast_age(database, NOW + 3 * DAY) == 3 * DAY
    assert await forecast_age(database, NOW + 5 * DAY) is None


def test_a_clock_that_was_set_back_does_not_silence_the_asking():
    assert is_due(WeatherState(last_good_at=NOW), NOW - DAY)
    assert is_due(WeatherState(last_failed_at=NOW, failures=9), NOW - MINUTE)


async def test_stopping_it_while_it_asks_is_quick(database, service, clock):
    await settle(database)
    service.pause_s = 30.0
    task = asyncio.create_task(clock.run())
    await service.called.wait()
    task.cancel()
    with pytest.raises(asyncio.CancelledError):
        async with asyncio.timeout(2):
            await task


async def test_nothing_that_goes_wrong_ends_it(tmp_path, service, watch):
    gone = await Database.open(tmp_path / "gone.sqlite")
    await gone.close()
    told = asyncio.Event()
    handler = logging.Handler()
    handler.emit = lambda record: told.set()  # type: ignore[method-assign]
    logging.getLogger("evenwater.weather").addHandler(handler)
    task = asyncio.create_task(WeatherClock(gone, service.url, watch).run())
    async with asyncio.timeout(5):
        await told.wait()
    await asyncio.sleep(0)
    assert not task.done()
    task.cancel()
    logging.getLogger("evenwater.weather").removeHandler(handler)
