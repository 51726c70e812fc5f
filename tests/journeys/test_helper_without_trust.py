"""A household with its own authority: a neighbour gets in by the plain port, trusting nothing, while connected."""

import asyncio
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx
import pytest
from helper_phone import Writes, hand_over, make_link, pond_settings
from journeys.phones import PASSPHRASE, launch, phone_in
from journeys.process import ServerProcess
from playwright.sync_api import Playwright, expect

NAME = "pond.example"
DEVICE = "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"


class TrustedServer(ServerProcess):
    """The server with --https, as those reach it who trust it."""

    def __init__(self, data: Path) -> None:
        super().__init__(data, "--https", "--public-name", NAME)

    @property
    def url(self) -> str:
        return f"https://localhost:{self._port}"

    @property
    def plain(self) -> str:
        return f"http://{NAME}:{self._port + 1}"

    def start(self) -> None:
        super().start()
        assert self._process is not None and self._process.stdout is not None
        lines = [self._process.stdout.readline() for _ in range(3)]
        self.code = lines[-1].rpartition(": ")[2].strip()

    def _answers(self) -> bool:
        try:
            return httpx.get(f"{self.url}/health", verify=False).status_code == 200
        except httpx.TransportError:
            return False


@pytest.fixture
def server(tmp_path: Path) -> Iterator[TrustedServer]:
    server = TrustedServer(tmp_path / "data")
    server.start()
    yield server
    server.kill()


async def hand_over_to_jo(server: TrustedServer) -> str:
    """Marit begins the household, sets her pond up and makes the link."""
    now = datetime.now(UTC)
    async with httpx.AsyncClient(base_url=server.url, headers={"Origin": server.url}, verify=False) as marit:
        told = {"name": "Marit", "passphrase": PASSPHRASE, "device": DEVICE, "code": server.code}
        begun = await marit.post("/api/people/first", json=told)
        assert begun.status_code == 200, begun.text
        writer = Writes(marit, begun.json()["person"]["id"], DEVICE)
        at = now - timedelta(days=20)
        made = [*pond_settings(writer, at), *hand_over(writer, at, now.date() - timedelta(days=1))]
        assert set(await writer.verdicts(*made, now=now)) == {"accepted"}
        link = await make_link(marit)
        assert link["works_offline"] is False
        return str(link["url"])


def test_a_neighbour_gets_in_by_the_plain_port_and_is_told_that_it_needs_signal(
    playwright: Playwright, server: TrustedServer
) -> None:
    with ThreadPoolExecutor() as aside:  # a loop runs in this thread
        url = aside.submit(asyncio.run, hand_over_to_jo(server)).result()
    assert url.startswith(f"{server.plain}/h#")
    browser = launch(playwright, f"--host-resolver-rules=MAP {NAME} 127.0.0.1")
    page = phone_in(browser, server.plain)
    page.goto(url)
    expect(page.get_by_role("heading", name="Marit asks for your help")).to_be_visible()
    expect(page.get_by_text("It opens only with signal.")).to_be_visible()
    page.get_by_role("button", name="Use this phone").click()
    expect(page.get_by_role("heading", name="Today's round")).to_be_visible()
    expect(page.get_by_text("works only in reach of home")).to_be_visible()
    page.reload()
    expect(page.get_by_text("Day 2 of 10")).to_be_visible()
    stranger = phone_in(browser, server.plain)
    stranger.goto("/round")
    expect(stranger.get_by_role("heading", name="Trust this household's server")).to_be_visible()
    browser.close()
