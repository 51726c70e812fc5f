"""The cases of late and events as they are read, and what is held against them."""

from datetime import datetime
from pathlib import Path
from typing import Any

import msgspec

from evenwater.domain.fold import Seen
from evenwater.domain.rounds.held.events import Back, Out, Running

LATE_FILE = Path(__file__).with_name("late_cases.json")
EVENT_FILE = Path(__file__).with_name("event_cases.json")


class LateCase(msgspec.Struct):
    """When a job closes, and how late it is."""

    job: dict[str, Any]
    now: datetime
    score: float
    kind: str


class EventAnswer(msgspec.Struct):
    """What goes on."""

    running: Running | None
    out: Out | None
    back: Back | None


class EventCase(EventAnswer, kw_only=True):
    """A log, and what goes on by it."""

    name: str
    entries: list[Seen]
    now: datetime
    pond: str | None
    usual_min: float


def late_cases() -> list[LateCase]:
    """All cases of lateness."""
    return msgspec.json.decode(LATE_FILE.read_bytes(), type=list[LateCase])


def event_cases() -> list[EventCase]:
    """All cases of events."""
    return msgspec.json.decode(EVENT_FILE.read_bytes(), type=list[EventCase])
