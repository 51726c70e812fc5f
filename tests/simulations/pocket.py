"""A phone without a browser: the rules of frontend/offline/ in a few lines, to be broken in a thousand ways.

What is in `Store` is on its disk and survives being killed; nothing else does. An answer changes the store in one go.
"""

import json
from collections.abc import Awaitable, Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import count
from typing import Any
from uuid import UUID

import msgspec

from evenwater.domain.fold import Seen
from evenwater.domain.placing import to_millisecond
from evenwater.domain.read_entries import read_entry

BATCH = 4
NO_SKEW_S = 60

Json = dict[str, Any]


class NoSignal(Exception):
    """Nothing came back, and nothing is known of what was sent."""


@dataclass(frozen=True)
class Heard:
    """Whatever came back, from whomever."""

    status: int
    media_type: str
    body: bytes


@dataclass
class Store:
    """A phone's database: each entry with its place in the log (None: unconfirmed), and what waits to be sent."""

    entries: dict[str, tuple[Json, Json | None]] = field(default_factory=dict)
    outbox: dict[str, bool] = field(default_factory=dict)  # id -> whether the server has put it off
    set_aside: dict[str, Json] = field(default_factory=dict)
    plan: Json = field(default_factory=dict)
    epoch: str | None = None
    cursor: int = 0
    skew_s: float = 0.0


@dataclass(frozen=True)
class Call:
    """One call under way: what it carries, and where the phone stood when it was made."""

    sent: list[Json]
    asked: Json

    @property
    def body(self) -> bytes:
        return json.dumps(self.asked).encode()


class Pocket:
    """One phone of one person."""

    def __init__(self, number: int, person: str) -> None:
        self.device = str(UUID(int=(number + 1) << 96))
        self.person = person
        self.store = Store()
        self.clock_wrong_by, self.clock_set = timedelta(0), 0
        self.app_version = 1
        self._numbers: Iterator[int] = count(1)
        self._asked: set[str] = set()

    def set_clock(self, wrong_by: timedelta) -> None:
        """Set this phone's clock so far ahead of the true time (behind, when negative)."""
        self.clock_wrong_by = wrong_by
        self.clock_set += 1

    def reads(self, now: datetime) -> datetime:
        """What this phone's clock shows."""
        return to_millisecond(now + self.clock_wrong_by)

    def write(self, now: datetime, kind: str, **fields: object) -> Json:
        """Write an entry by this phone's own clock, and queue it."""
        mine = self.reads(now)
        stamp = {"happened_at": mine.isoformat(), "recorded_at": mine.isoformat(), "local_date": str(mine.date())}
        who = {"device": self.device, "author": self.person, "pond": "main", "zone": "UTC"}
        entry_id = str(UUID(int=UUID(self.device).int + next(self._numbers)))
        entry = {"id": entry_id, "v": self.app_version, "kind": kind, **stamp, **who, **fields}
        self.store.entries[entry_id] = (entry, None)
        self.store.outbox[entry_id] = False
        return entry

    def restart(self) -> None:
        """Killed and opened again: what the server put off is asked about once more."""
        self._asked.clear()

    def waiting(self) -> list[str]:
        """What the next run would send, oldest first."""
        return [one for one, put_off in self.store.outbox.items() if not put_off or one not in self._asked]

    def call(self, now: datetime) -> Call:
        """What would be sent now."""
        waiting = self.waiting()
        sent = [self.store.entries[one][0] for one in waiting[:BATCH]]
        asked = {
            "device": self.device,
            "device_now": self.reads(now).isoformat(),
            "app_version": str(self.app_version),
            "epoch": self.store.epoch,
            "cursor": self.store.cursor,
            "entries": sent,
            "want_plan": len(sent) == len(waiting),
            "plan_tags": {on: day["tag"] for on, day in self.store.plan.get("days", {}).items()},
        }
        return Call(sent, asked)

    async def push(self, now: datetime, send: Callable[[bytes], Awaitable[Heard]]) -> bool:
        """One call; True when the server itself answered it."""
        call = self.call(now)
        try:
            heard = await send(call.body)
        except NoSignal:
            return False
        return self.hear(call, heard)

    def hear(self, call: Call, heard: Heard) -> bool:
        """Take what came back for what it is."""
        answer = own_answer(heard, call.sent)
        if answer is not None:
            self.take(call, answer)
        return answer is not None

    def take(self, call: Call, answer: Json) -> None:
        """Everything an answer changes."""
        store = self.store
        device_now, server_now = (
            datetime.fromisoformat(one) for one in (call.asked["device_now"], answer["server_now"])
        )
        store.skew_s = (server_now - device_now).total_seconds()
        if call.asked["epoch"] not in (None, answer["epoch"]):
            self._start_again()
        store.epoch, store.cursor = answer["epoch"], answer["cursor"]
        for entry, verdict in zip(call.sent, answer["verdicts"], strict=True):
            self._settle(entry, verdict)
        for logged in answer["entries"]:
            store.entries[logged["entry"]["id"]] = (logged["entry"], logged)
            store.outbox.pop(logged["entry"]["id"], None)
        if answer["plan"] is not None:
            days = store.plan.get("days", {}) | {day["date"]: day for day in answer["plan"]["days"]}
            store.plan = {**answer["plan"], "days": {on: days[on] for on in answer["plan"]["dates"] if on in days}}

    def _settle(self, entry: Json, verdict: Json) -> None:
        store, entry_id = self.store, entry["id"]
        if verdict["verdict"] == "deferred":
            self._asked.add(entry_id)
            if entry_id in store.outbox:
                store.outbox[entry_id] = True
            return
        store.outbox.pop(entry_id, None)
        if verdict["verdict"] == "refused":
            store.set_aside[entry_id] = entry
            store.entries.pop(entry_id, None)
        else:
            store.entries[entry_id] = (entry, verdict)

    def _start_again(self) -> None:
        """The log is another one: others' entries go and are fetched again, this phone's own are sent again."""
        store = self.store
        store.entries = {
            one: (entry, None) for one, (entry, _) in store.entries.items() if entry["device"] == self.device
        }
        store.outbox |= {one: False for one in store.entries if one not in store.outbox}
        store.plan = {}

    def seen(self) -> list[Seen]:
        """What this phone folds: each entry where the server placed it, or where this phone would."""
        skew = timedelta(seconds=self.store.skew_s if abs(self.store.skew_s) >= NO_SKEW_S else 0.0)
        found = []
        for entry, place in self.store.entries.values():
            read = read_entry(json.dumps(entry).encode())
            if place is None:
                at = datetime.fromisoformat(entry["happened_at"]) + skew
                found.append(Seen(read, None, at, date.fromisoformat(entry["local_date"])))
            else:
                at, on = datetime.fromisoformat(place["placed_at"]), date.fromisoformat(place["placed_on"])
                found.append(Seen(read, place["seq"], at, on))
        return found


def own_answer(heard: Heard, sent: list[Json]) -> Json | None:
    """The answer, when it is the server's own: status, media type, our shape, and about the entries that were sent."""
    if heard.status != 200 or heard.media_type != "application/json":
        return None
    try:
        answer = msgspec.json.decode(heard.body)
    except msgspec.DecodeError:
        return None
    if not isinstance(answer, dict) or not {"epoch", "cursor", "entries", "server_now", "verdicts"} <= answer.keys():
        return None
    ids = [verdict["id"] for verdict in answer["verdicts"]]
    ours = len(ids) == len(sent) and all(one in (None, entry["id"]) for one, entry in zip(ids, sent, strict=True))
    return answer if ours else None
