"""A weather service of our own on a real socket, which answers well, wrongly, slowly or not at all."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import parse_qs, urlsplit

import msgspec

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
FIRST = datetime(2026, 11, 1, tzinfo=UTC)
HOURS = 144
UNITS = {
    "time": "unixtime",
    "temperature_2m": "°C",
    "relative_humidity_2m": "%",
    "wind_speed_10m": "m/s",
    "wind_gusts_10m": "m/s",
    "cloud_cover": "%",
    "shortwave_radiation": "W/m²",
    "precipitation": "mm",
    "snowfall": "cm",
}


def weather(first: datetime = FIRST, **changes: Any) -> dict[str, Any]:
    """An answer in the service's format: two days back, four ahead; the value of each hour tells which hour it is."""
    hourly = {name: [float(hour % 60) for hour in range(HOURS)] for name in UNITS}
    hourly["time"] = [int((first + timedelta(hours=hour)).timestamp()) for hour in range(HOURS)]  # type: ignore[misc]
    hourly |= changes
    kept = {name: values for name, values in hourly.items() if values is not None}
    return {"latitude": 50.9, "longitude": 4.4, "utc_offset_seconds": 0, "hourly_units": UNITS, "hourly": kept}


class WeatherService:
    """`status`, `body`, `pause_s` say how the next calls are answered; `asked` keeps what each call asked."""

    def __init__(self) -> None:
        self.status, self.body, self.pause_s, self.headers = 200, msgspec.json.encode(weather()), 0.0, ""
        self.asked: list[dict[str, str]] = []
        self.url, self.called = "", asyncio.Event()

    def tells(self, answer: Any = None, **changes: Any) -> None:
        """Answer well from now on: `answer`, or the usual weather with changes."""
        self.status, self.body = 200, msgspec.json.encode(weather(**changes) if answer is None else answer)

    @asynccontextmanager
    async def running(self) -> AsyncIterator["WeatherService"]:
        """Listens on a port of its own."""
        server = await asyncio.start_server(self, "127.0.0.1", 0)
        self.url = f"http://127.0.0.1:{server.sockets[0].getsockname()[1]}/v1/forecast"
        yield self
        server.close()
        await server.wait_closed()

    async def __call__(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        try:
            request = (await reader.readuntil(b"\r\n\r\n")).decode()
            query = parse_qs(urlsplit(request.split(" ")[1]).query)
            self.asked.append({name: value for name, (value,) in query.items()})
            self.called.set()
            await asyncio.sleep(self.pause_s)
            head = f"HTTP/1.1 {self.status} as asked\r\nContent-Length: {len(self.body)}\r\n{self.headers}\r\n"
            writer.write(head.encode() + self.body)
            await writer.drain()
        except ConnectionError:
            pass  # who asked has gone
        finally:
            writer.close()
