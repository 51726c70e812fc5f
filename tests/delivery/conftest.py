"""A weather service on a real socket."""

from collections.abc import AsyncIterator

import pytest
from weather_service import WeatherService


@pytest.fixture
async def service() -> AsyncIterator[WeatherService]:
    async with WeatherService().running() as made:
        yield made
