"""Phones, a server, and everything that goes wrong between them, in any order Hypothesis can think of.

At every step: an entry is in exactly one place on its phone (waiting, confirmed, set aside), and what is confirmed is
in the log, once. Once all is calm: the log holds all that was written and not refused, every phone knows the same log
and the same round, and the round is what plain reading of the entries says.
"""

import asyncio
import shutil
import sys
import tempfile
from collections.abc import Awaitable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

from home_server import CRASH_POINTS, LINE_FAULTS, HomeServer
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from oracle import Written, compare
from pocket import Call, Heard, NoSignal, Pocket

from evenwater.domain import read_entries
from evenwater.domain.placing import to_millisecond
from evenwater.web.exchange import sync

PEOPLE = [str(UUID(int=number << 100)) for number in (1, 2)]
OWNERS = (0, 0, 1)  # who has which phone
START = datetime(2026, 11, 3, 16, 30, 0, 120_456, tzinfo=UTC)
PAGE = 6
POND: dict[str, object] = {"volume_l": 20_000, "capful_g": 27, "zone": "UTC"}
JOBS: dict[str, dict[str, object]] = {
    "cover": {"windows": {"on": {"part": "dusk", "opens": "16:00", "closes": "18:00"}}},
    "buffer": {"windows": {"dusk": {"part": "dusk", "opens": "16:00", "closes": "22:00"}}, "shape": "dose"},
    "agitate": {
        "windows": {"day": {"part": "midday", "opens": "09:00", "closes": "17:00"}},
        "recur": {"every": "after_done", "days": 3},
    },
}
SLOTS = {"cover": "on", "buffer": "dusk", "agitate": "day"}

phones = st.integers(0, len(OWNERS) - 1)
jobs = st.sampled_from(sorted(JOBS))


class SyncMachine(RuleBasedStateMachine):
    """One household. `pocket` is the kind of phone, so that a mutant can be put in."""

    pocket = Pocket

    def __init__(self) -> None:
        super().__init__()
        self.now = START
        self.loop = asyncio.new_event_loop()
        self.folder = Path(tempfile.mkdtemp())
        self.server = HomeServer(self.folder, lambda: self.now)
        self.backup = self.folder / "backup.sqlite"
        self.written: dict[str, Written] = {}
        self.offline: set[int] = set()
        self.frozen: dict[int, tuple[Call, Heard]] = {}
        self._page, self._version = sync.PAGE, read_entries.VERSION
        sync.PAGE = PAGE

    def wait(self, work: Awaitable[Any]) -> Any:
        return self.loop.run_until_complete(work)

    @initialize()
    def begin(self) -> None:
        self.phones = [self.pocket(number, PEOPLE[owner]) for number, owner in enumerate(OWNERS)]
        self.wait(self.server.open())
        for phone in self.phones:
            self.wait(self.server.sign_in(phone.person, phone.device))
        for field, value in POND.items():
            self._write(0, "set", target="pond", field=field, value=value)
        for job, fields in JOBS.items():
            for field, value in fields.items():
                self._write(0, "set", target=f"job/{job}", field=field, value=value)
        while self.phones[0].waiting():
            self.push(0)
        self.setup = set(self.written)

    def _write(self, which: int, kind: str, *, poisoned: bool = False, **fields: object) -> None:
        phone = self.phones[which]
        entry = phone.write(self.now, kind, **fields)
        self.written[entry["id"]] = Written(entry, self.now, phone, phone.clock_set, poisoned)

    @rule(which=phones, job=jobs, day=st.integers(-1, 1), amount_g=st.sampled_from([None, 13.5, 54.0]))
    def tick(self, which: int, job: str, day: int, amount_g: float | None) -> None:
        dose = {"amount_g": amount_g, "substance": "sodium_bicarbonate"} if job == "buffer" and amount_g else {}
        self._write(which, "tick", standing_job=job, due_on=self._day(day), slot=SLOTS[job], **dose)

    @rule(which=phones, job=jobs)
    def say_it_was_not_done(self, which: int, job: str) -> None:
        self._write(which, "not_done", standing_job=job, due_on=self._day(0), slot=SLOTS[job], reason="ice")

    def _day(self, days: int) -> str:
        return str((self.now + timedelta(days=days)).date())

    @rule(which=phones, value=st.sampled_from([4.0, 4.5, 5.0, 5.5]))
    def measure(self, which: int, value: float) -> None:
        self._write(which, "reading", quantity="kh_dkh", value=value)

    @rule(which=phones)
    def measure_what_cannot_be(self, which: int) -> None:
        self._write(which, "reading", poisoned=True, quantity="kh_dkh", value=400)

    @rule(which=phones, capful_g=st.sampled_from([20, 27, 30]))
    def change_a_setting(self, which: int, capful_g: float) -> None:
        self._write(which, "set", target="pond", field="capful_g", value=capful_g)

    @rule(which=phones, data=st.data())
    def take_back(self, which: int, data: st.DataObject) -> None:
        there = sorted(self.phones[which].store.entries.keys() - self.setup)
        if there:
            self._write(which, "take_back", entry=data.draw(st.sampled_from(there)))

    @rule(which=phones, data=st.data(), value=st.sampled_from([3.5, 6.0]))
    def mend_a_reading(self, which: int, data: st.DataObject, value: float) -> None:
        own = [
            entry["id"]
            for entry, _ in self.phones[which].store.entries.values()
            if entry["kind"] == "reading" and entry["device"] == self.phones[which].device
        ]
        if own:
            self._write(which, "take_back", entry=data.draw(st.sampled_from(sorted(own))))
            self.measure(which, value)

    @rule(which=phones)
    def push(self, which: int) -> None:
        self._push(which, "lost request" if which in self.offline else "")

    @rule(which=phones, fault=st.sampled_from(LINE_FAULTS))
    def push_over_a_bad_line(self, which: int, fault: str) -> None:
        self._push(which, fault)

    @rule(which=phones, point=st.sampled_from(CRASH_POINTS))
    def push_to_a_server_that_dies(self, which: int, point: str) -> None:
        self.measure(which, 5.0)  # it dies only of something to write
        self._push(which, point)

    def _push(self, which: int, fault: str) -> None:
        phone = self.phones[which]
        self.wait(phone.push(self.now, lambda body: self.server.hear(body, phone.device, fault)))

    @rule(which=phones)
    def lose_or_find_the_signal(self, which: int) -> None:
        self.offline ^= {which}

    @rule(
        which=phones,
        faults=st.tuples(*[st.sampled_from(["", "lost answer", "after some rows"])] * 2),
        swap=st.booleans(),
    )
    def push_from_two_tabs_at_once(self, which: int, faults: tuple[str, str], swap: bool) -> None:
        phone, call = self.phones[which], self.phones[which].call(self.now)
        heard = [one for one in (self._hear(phone, call, fault) for fault in faults) if one is not None]
        for one in reversed(heard) if swap else heard:
            phone.hear(call, one)

    def _hear(self, phone: Pocket, call: Call, fault: str = "") -> Heard | None:
        try:
            return self.wait(self.server.hear(call.body, phone.device, fault))
        except NoSignal:
            return None

    @rule(which=phones)
    def freeze_a_tab_that_has_its_answer(self, which: int) -> None:
        call = self.phones[which].call(self.now)
        heard = self._hear(self.phones[which], call)
        assert heard is not None
        self.frozen[which] = (call, heard)

    @precondition(lambda self: self.frozen)
    @rule(data=st.data())
    def thaw_a_tab(self, data: st.DataObject) -> None:
        which = data.draw(st.sampled_from(sorted(self.frozen)))
        self.phones[which].hear(*self.frozen.pop(which))

    @rule(which=phones)
    def kill_the_phone(self, which: int) -> None:
        self.phones[which].restart()
        self.frozen.pop(which, None)

    @rule(which=phones, hours=st.sampled_from([-30, -3, 0, 3, 200]))
    def set_its_clock(self, which: int, hours: int) -> None:
        self.phones[which].set_clock(timedelta(hours=hours))

    @rule(which=phones)
    def put_a_newer_app_on_it(self, which: int) -> None:
        self.phones[which].app_version = self._version + 1

    @rule(minutes=st.sampled_from([1, 30, 1000]))
    def time_passes(self, minutes: int) -> None:
        self.now += timedelta(minutes=minutes, microseconds=1234)

    @rule()
    def kill_the_server_while_it_rests(self) -> None:
        self.wait(self.server.reopen())

    @rule()
    def upgrade_the_server(self) -> None:
        read_entries.VERSION = self._version + 1
        self.wait(self.server.reopen())

    @rule()
    def back_up(self) -> None:
        self.wait(self.server.back_up(self.backup))

    @precondition(lambda self: self.backup.exists())
    @rule()
    def restore(self) -> None:
        self.wait(self.server.restore(self.backup))

    @rule()
    def drain_and_compare(self) -> None:
        """All is calm: everything is sent and fetched, and nothing may differ."""
        for _ in range(2):  # twice round: the first phone must also get what the last one sent
            for phone in self.phones:
                self._drain(phone)
        compare(self.written, self.phones, self.wait(self.server.whole_log()), to_millisecond(self.now))

    def _drain(self, phone: Pocket) -> None:
        phone.restart()
        for _ in range(500):
            stood = (phone.store.epoch, phone.store.cursor)
            assert self.wait(phone.push(self.now, lambda body: self.server.hear(body, phone.device)))
            if not phone.waiting() and stood == (phone.store.epoch, phone.store.cursor):
                return
        raise AssertionError("a phone is never done")

    @invariant()
    def every_entry_is_in_one_place(self) -> None:
        if not self.written:
            return
        log = self.wait(self.server.log())
        assert [seq for seq, _ in log] == list(range(1, len(log) + 1)), "the log has a hole"
        seqs = {entry_id: seq for seq, entry_id in log}
        assert len(seqs) == len(log), "an entry is there twice"
        epoch = self.wait(self.server.database.epoch())
        for entry_id, one in self.written.items():
            store = one.phone.store
            _, place = store.entries.get(entry_id, (None, None))
            places = [entry_id in store.outbox, entry_id in store.set_aside, place is not None]
            assert sum(places) == 1, "an entry is nowhere, or in two places"
            if place is not None and store.epoch == epoch:
                assert seqs.get(entry_id) == place["seq"], "an entry was confirmed and is not there"

    def teardown(self) -> None:
        try:
            if sys.exc_info()[0] is None and self.written:
                self.upgrade_the_server()
                self.drain_and_compare()
        finally:
            sync.PAGE, read_entries.VERSION = self._page, self._version
            try:
                if hasattr(self.server, "database"):
                    self.wait(self.server.close())
            finally:
                self.loop.close()
                shutil.rmtree(self.folder)
