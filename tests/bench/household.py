"""The real server in a process of its own, with the invented pond, and a person signed in to it with a real cookie."""

import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

import msgspec
from wire import Wire

ROOT = Path(__file__).parents[2]
COOKIE = "evenwater_session"


@contextmanager
def serving(data: Path) -> Iterator[tuple[int, int]]:
    """(port, process id) of `evenwater serve --example`, the invented pond in it; ended on the way out."""
    command = [sys.executable, "-m", "evenwater.main", "serve", "--example", "--port", "0", "--data", str(data)]
    environment = os.environ | {"PYTHONPATH": str(ROOT / "backend")}
    with (data.parent / f"{data.name}.log").open("w") as said:
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=said, text=True, env=environment)
        try:
            port = _port(process)
            _wait_for(port)
            yield port, process.pid
        finally:
            process.terminate()
            process.wait(20)


def log_of(data: Path) -> Path:
    """The file with the log of a server over this data folder."""
    return data / "example" / "evenwater.sqlite"


def _port(process: "subprocess.Popen[str]") -> int:
    assert process.stdout is not None
    for line in process.stdout:
        found = re.search(r"http://127\.0\.0\.1:(\d+)", line)
        if found:
            return int(found[1])
    raise RuntimeError(f"the server ended with {process.wait()} before it was ready")


def _wait_for(port: int) -> None:
    """The server says where it will be before it listens."""
    deadline = time.monotonic() + 20
    while True:
        try:
            socket.create_connection(("127.0.0.1", port)).close()
            return
        except ConnectionRefusedError:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.02)


def now_text() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


class Keeper:
    """A person signed in on one device, who sends entries as the browser's app does."""

    def __init__(self, port: int) -> None:
        self.wire = Wire(port)
        self.device = str(uuid4())
        self.epoch: str | None = None
        self.cursor = 0
        self.tags: dict[str, str] = {}
        told = msgspec.json.encode({"device": self.device, "device_label": "bench"})
        status, headers, body = self.wire.send(self.wire.request("POST", "/api/sign-in/example", told))
        if status >= 300:
            raise RuntimeError(f"signing in answered {status}: {body.decode()}")
        self.cookie = headers["set-cookie"].partition(";")[0]
        self.person = msgspec.json.decode(body)["person"]["id"]

    def push_request(self, entries: list[dict[str, object]], *, want_plan: bool) -> bytes:
        """The bytes of POST /api/sync with these entries, from where the last `noted` answer left off."""
        asked = {
            "device": self.device,
            "device_now": now_text(),
            "app_version": "bench",
            "epoch": self.epoch,
            "cursor": self.cursor,
            "entries": entries,
            "want_plan": want_plan,
            "plan_tags": self.tags,
        }
        return self.wire.request("POST", "/api/sync", msgspec.json.encode(asked), {"Cookie": self.cookie})

    def catch_up(self) -> None:
        """Fetch all there is, so that what is pushed next is the end of the log."""
        more = True
        while more:
            status, _, body = self.wire.send(self.push_request([], want_plan=False))
            more = self.note(status, body)["more"]

    def note(self, status: int, body: bytes) -> dict[str, object]:
        """Take in an answer: every entry accepted, or it is no measurement."""
        if status != 200:
            raise RuntimeError(f"/api/sync answered {status}: {body[:300].decode()}")
        told = msgspec.json.decode(body)
        refused = [one for one in told["verdicts"] if one["verdict"] != "accepted"]
        if refused:
            raise RuntimeError(f"not accepted: {refused[0]}")
        self.epoch, self.cursor = told["epoch"], told["cursor"]
        if told["plan"]:
            self.tags |= _tags(told["plan"])
        return told


def _tags(plan: dict[str, Any]) -> dict[str, str]:
    """What the app says it has: a tag for each day, each page and the year on offer."""
    days = {day["date"]: day["tag"] for day in plan["days"]} | {
        f"back/{one['date']}": one["tag"] for one in plan["back"]
    }
    pages = {f"{page}/{one['pond']}": one["tag"] for page in ("water", "warmth", "book") for one in plan[page]}
    return days | pages | {"starter": plan["starter_tag"]}
