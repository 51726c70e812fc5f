"""A phone without a browser: the outbox's rules in a few lines, as frontend/offline/ has them.

What is in `Store` is on its disk and survives being killed; nothing else does.
"""

import itertools
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID

BATCH = 4

Entry = dict[str, object]
Ask = Callable[[dict[str, object]], Awaitable[dict[str, object] | None]]


@dataclass
class Store:
    """A phone's database: every entry it knows with its place in the log, and what it has not heard about."""

    entries: dict[str, tuple[Entry, dict[str, object] | None]] = field(default_factory=dict)
    outbox: list[str] = field(default_factory=list)
    deferred: set[str] = field(default_factory=set)
    set_aside: dict[str, Entry] = field(default_factory=dict)
    epoch: str | None = None
    cursor: int = 0


class Pocket:
    """One phone. `ask` sends a call and gives the server's own answer, or None for anything else."""

    deletes_first = False

    def __init__(self, number: int, person: str) -> None:
        self.device = str(UUID(int=(number + 1) << 96))
        self.person = person
        self.store = Store()
        self.skew = timedelta(0)
        self._numbers = itertools.count(1)
        self._asked: set[str] = set()

    def write(self, now: datetime, kind: str, v: int = 1, **fields: object) -> str:
        """Write an entry by this phone's own clock, and queue it."""
        mine = now + self.skew
        entry_id = str(UUID(int=UUID(self.device).int + next(self._numbers)))
        stamp = {"happened_at": mine.isoformat(), "recorded_at": mine.isoformat(), "local_date": str(mine.date())}
        who = {"device": self.device, "author": self.person, "pond": "main", "zone": "UTC"}
        self.store.entries[entry_id] = ({"id": entry_id, "v": v, "kind": kind, **stamp, **who, **fields}, None)
        self.store.outbox.append(entry_id)
        return entry_id

    def restart(self) -> None:
        """Killed and opened again: deferred entries are asked about once more."""
        self._asked.clear()

    def waiting(self) -> list[str]:
        """What the next run would send, oldest first."""
        return [one for one in self.store.outbox if one not in self.store.deferred or one not in self._asked]

    async def push(self, now: datetime, ask: Ask) -> bool:
        """One call; True when it was answered by the server itself."""
        store = self.store
        sent = self.waiting()[:BATCH]
        call = {
            "device": self.device,
            "device_now": (now + self.skew).isoformat(),
            "app_version": "test",
            "epoch": store.epoch,
            "cursor": store.cursor,
            "entries": [store.entries[one][0] for one in sent],
            "want_plan": False,
        }
        if self.deletes_first:
            store.outbox = [one for one in store.outbox if one not in sent]
        answer = await ask(call)
        if answer is None:
            return False
        self._take(sent, answer)
        return True

    def _take(self, sent: list[str], answer: dict[str, object]) -> None:
        """Everything an answer changes, as one transaction."""
        store = self.store
        if store.epoch not in (None, answer["epoch"]):
            self._start_again()
        store.epoch, store.cursor = answer["epoch"], answer["cursor"]
        settled = set()
        for entry_id, verdict in zip(sent, answer["verdicts"], strict=True):
            if verdict["verdict"] == "deferred":
                store.deferred.add(entry_id)
                self._asked.add(entry_id)
                continue
            settled.add(entry_id)
            if entry_id not in store.entries:
                continue  # another tab of this phone has set it aside already
            entry = store.entries[entry_id][0]
            if verdict["verdict"] == "refused":
                store.set_aside[entry_id] = entry
                del store.entries[entry_id]
            else:
                store.entries[entry_id] = (entry, verdict)
        for logged in answer["entries"]:
            entry = logged["entry"]
            settled.add(entry["id"])
            store.entries[entry["id"]] = (entry, logged)
        store.outbox = [one for one in store.outbox if one not in settled]
        store.deferred -= settled

    def _start_again(self) -> None:
        """The log is another one: others' entries go and are pulled again, this phone's own are sent again."""
        store = self.store
        own = {one: (entry, None) for one, (entry, _) in store.entries.items() if entry["device"] == self.device}
        store.entries = own
        store.outbox += [one for one in own if one not in store.outbox]
