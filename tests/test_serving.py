"""What runs beside the web server: it asks for the weather, and ends with it."""

import asyncio
import signal
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from kept_log import settle_pond
from weather_service import WeatherService

from evenwater.storage.database import Database
from evenwater.storage.samples import latest_forecast
from evenwater.storage.weather import WeatherState, weather_state


async def served(data: Path, service: WeatherService) -> WeatherState:
    """Run a real server over a pond that wants weather until the service was asked; how the asking went."""
    database = await Database.open(data / "evenwater.sqlite")
    await settle_pond(database, latitude=50.9, longitude=4.4, weather_service=True)
    command = [sys.executable, "-m", "evenwater.main", "serve", "--port", "0", "--data", str(data)]
    server = await asyncio.create_subprocess_exec(
        *command, "--weather-url", service.url, stdout=asyncio.subprocess.DEVNULL
    )
    async with asyncio.timeout(60):
        await service.called.wait()
        state = None
        while state is None and service.pause_s == 0:
            await asyncio.sleep(0.02)  # the state is written by another process; nothing to wait on but the file
            state = await weather_state(database, "main")
    async with asyncio.timeout(10):
        server.send_signal(signal.SIGTERM)
        assert await server.wait() in (0, -signal.SIGTERM)
    await database.close()
    return state or WeatherState()


async def test_the_weather_comes_by_itself(tmp_path):
    service = WeatherService()
    today = datetime.now(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
    service.tells(first=today - timedelta(days=2))
    async with service.running():
        state = await served(tmp_path, service)
    assert (state.failure, state.failures) == (None, 0)
    database = await Database.open(tmp_path / "evenwater.sqlite")
    found = await latest_forecast(database, "main", datetime.now(UTC))
    await database.close()
    assert found is not None and found[0] == state.last_good_at


async def test_a_service_that_says_nothing_does_not_hold_up_the_servers_end(tmp_path):
    service = WeatherService()
    service.pause_s = 30.0
    async with service.running():
        assert await served(tmp_path, service) == WeatherState()


@pytest.mark.parametrize(
    ("more", "warned"),
    [((), True), (("--public-url", "https://pond.example"), False), (("--public-name", "koi"), False)],
)
async def test_a_server_whose_mail_would_lead_nowhere_says_so_when_it_starts(tmp_path, more, warned):
    mail = ("--smtp-host", "127.0.0.1", "--smtp-security", "none", "--mail-from", "pond@example.org")
    command = [sys.executable, "-m", "evenwater.main", "serve", "--port", "0", "--data", str(tmp_path)]
    server = await asyncio.create_subprocess_exec(*command, *mail, *more, stdout=asyncio.subprocess.PIPE)
    assert server.stdout is not None
    async with asyncio.timeout(60):
        said = (await server.stdout.readuntil(b"ends it.\n")).decode()
        server.send_signal(signal.SIGTERM)
        await server.wait()
    assert ("name the address phones reach it by with --public-url" in said) is warned
