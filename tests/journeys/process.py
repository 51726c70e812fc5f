"""The server as people start it: `evenwater serve` in a process of its own, which can be killed and started again."""

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import httpx
from journeys.waiting import until


class ServerProcess:
    """One server process after the other, on one data folder and one port."""

    def __init__(self, data: Path, *arguments: str) -> None:
        self.data = data
        self._arguments = arguments
        self._port = 0
        self._process: subprocess.Popen[str] | None = None

    @property
    def url(self) -> str:
        """Where it answers, without a path; the same after each start."""
        return f"http://localhost:{self._port}"

    def start(self) -> None:
        """Start it, and wait until it says where it is open."""
        command = [sys.executable, "-m", "evenwater.main", "serve", "--port", str(self._port), "--data", str(self.data)]
        self._process = subprocess.Popen(
            [*command, *self._arguments], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        assert self._process.stdout is not None
        greeting = self._process.stdout.readline()
        found = re.search(r"open https?://[^ ]*:(\d+) ", greeting)
        assert found, f"the server said: {greeting!r}"
        self._port = int(found.group(1))
        until(self._answers, "the server answers")

    def _answers(self) -> bool:
        try:
            return httpx.get(f"{self.url}/health").status_code == 200
        except httpx.ConnectError:
            return False

    def stop(self) -> None:
        """Ask it to stop, as Ctrl-C does, and wait."""
        self._end(signal.SIGINT)

    def kill(self) -> None:
        """SIGKILL: nothing can be put in order first."""
        self._end(signal.SIGKILL)

    def _end(self, how: signal.Signals) -> None:
        if self._process is None:
            return
        os.kill(self._process.pid, how)
        self._process.wait(timeout=20)
        assert self._process.stdout is not None
        self._process.stdout.close()
        self._process = None
