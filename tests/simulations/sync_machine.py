"""Phones, a server, and everything that goes wrong between them, in any order Hypothesis can think of.

Whatever happened: once all is calm again, every entry written is in exactly one place (the server, or set aside on its
own phone), the server has each once, and every phone knows what the server knows.
"""

import asyncio
import json
import shutil
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

from home_server import FAULTS, HomeServer, wait
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule
from pocket import Pocket

from evenwater.domain import entries
from evenwater.domain.fold import Seen, fold

PHONES = 3
START = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
FRONTEND = Path(__file__).parents[2] / "frontend"
phone = st.integers(0, PHONES - 1)


class SyncMachine(RuleBasedStateMachine):
    """One household. `pocket` is the kind of phone, so that a mutant can be put in."""

    pocket = Pocket

    def __init__(self) -> None:
        super().__init__()
        self.now = START
        self.loop = asyncio.new_event_loop()
        self.folder = Path(tempfile.mkdtemp())
        self.server = HomeServer(self.folder, FRONTEND, lambda: self.now)
        self.backup: Path | None = None
        self.written: dict[str, dict[str, object]] = {}
        self.poisoned: set[str] = set()

    @initialize()
    def begin(self) -> None:
        wait(self.loop, self.server.open())
        self.phones = [self.pocket(number, self.server.person) for number in range(PHONES)]
        wait(self.loop, self.server.begin([one.device for one in self.phones]))

    def _write(self, which: int, kind: str, **fields: object) -> str:
        entry_id = self.phones[which].write(self.now, kind, **fields)
        self.written[entry_id] = self.phones[which].store.entries[entry_id][0]
        return entry_id

    @rule(which=phone, job=st.sampled_from(["cover", "buffer", "heater"]), day=st.integers(0, 2))
    def tick(self, which: int, job: str, day: int) -> None:
        self._write(which, "tick", standing_job=job, due_on=str((START + timedelta(days=day)).date()), slot="dusk")

    @rule(which=phone, value=st.sampled_from([4.0, 4.5, 5.0, 5.5]))
    def measure(self, which: int, value: float) -> None:
        self._write(which, "reading", quantity="kh_dkh", value=value)

    @rule(which=phone)
    def measure_wrongly(self, which: int) -> None:
        self.poisoned.add(self._write(which, "reading", quantity="kh_dkh", value=400))

    @rule(which=phone)
    def write_with_a_newer_app(self, which: int) -> None:
        self._write(which, "note", v=entries.VERSION + 1, text="from tomorrow")

    @rule(which=phone, data=st.data())
    def take_back(self, which: int, data: st.DataObject) -> None:
        own = sorted(self.phones[which].store.entries)
        if own:
            self._write(which, "take_back", entry=data.draw(st.sampled_from(own)))

    @rule(which=phone, fault=st.sampled_from(FAULTS))
    def push(self, which: int, fault: str) -> None:
        wait(self.loop, self.phones[which].push(self.now, lambda call: self.server.ask(call, fault)))

    @rule(which=phone, faults=st.tuples(*[st.sampled_from(["ok", "lost ack", "duplicate delivery"])] * 2))
    def push_from_two_tabs(self, which: int, faults: tuple[str, str]) -> None:
        async def both() -> None:
            asks = [lambda call, fault=fault: self.server.ask(call, fault) for fault in faults]
            await asyncio.gather(*(self.phones[which].push(self.now, ask) for ask in asks))

        wait(self.loop, both())

    @rule(which=phone)
    def kill_the_phone(self, which: int) -> None:
        self.phones[which].restart()

    @rule(which=phone, hours=st.sampled_from([-30, -3, 0, 3, 200]))
    def set_its_clock_wrong(self, which: int, hours: int) -> None:
        self.phones[which].skew = timedelta(hours=hours)

    @rule(minutes=st.sampled_from([1, 30, 1000]))
    def time_passes(self, minutes: int) -> None:
        self.now += timedelta(minutes=minutes)

    @rule()
    def back_up(self) -> None:
        self.backup = self.folder / "backup.sqlite"
        wait(self.loop, self.server.backup(self.backup))

    @precondition(lambda self: self.backup is not None)
    @rule()
    def restore(self) -> None:
        wait(self.loop, self.server.restore(self.backup))

    @rule()
    def drain_and_compare(self) -> None:
        """All is calm: everything is sent and fetched, the server is upgraded, and nothing may differ."""
        entries.VERSION += 1
        wait(self.loop, self._reopened())
        try:
            self._drain()
            self._compare()
        finally:
            entries.VERSION -= 1

    async def _reopened(self) -> None:
        await self.server.close()
        await self.server.open()

    def _drain(self) -> None:
        for _ in range(2):  # twice round: the first phone must also get what the last one sent
            for one in self.phones:
                one.restart()
                for _ in range(200):
                    before = one.store.cursor
                    assert wait(self.loop, one.push(self.now, lambda call: self.server.ask(call, "ok")))
                    if not one.waiting() and one.store.cursor == before:
                        break

    def _compare(self) -> None:
        log = wait(self.loop, self.server.log())
        kept = {entry_id: json.loads(content) for _, entry_id, content in log}
        assert len(log) == len(kept), "an entry is there twice"
        assert [seq for seq, _, _ in log] == list(range(1, len(log) + 1)), "the log has a hole"
        aside = {one for phone in self.phones for one in phone.store.set_aside}
        assert aside == self.poisoned
        assert kept == {one: entry for one, entry in self.written.items() if one not in aside}, "an entry is lost"
        expected = None
        for one in self.phones:
            assert one.store.outbox == []
            seqs = {entry_id: place["seq"] for entry_id, (_, place) in one.store.entries.items()}
            assert seqs == {entry_id: seq for seq, entry_id, _ in log}, "a phone knows another log"
            folded = fold(_seen(one))
            expected = expected or folded
            assert folded == expected, "two phones see two ponds"

    def teardown(self) -> None:
        try:
            if hasattr(self, "phones"):
                self.drain_and_compare()
        finally:
            try:
                if hasattr(self.server, "database"):
                    wait(self.loop, self.server.close())
            finally:
                self.loop.close()
                shutil.rmtree(self.folder)


def _seen(one: Pocket) -> list[Seen]:
    seen = []
    for entry, place in one.store.entries.values():
        read = entries.read_entry(json.dumps(entry).encode())
        at = datetime.fromisoformat(place["placed_at"])
        seen.append(Seen(read, place["seq"], at, at.date()))
    return seen
