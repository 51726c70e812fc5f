"""Gate 1: pushing batches of 100 entries, against express-pouchdb on leveldb and against bare SQLite.

Ours is the real endpoint in a real server process: session, origin check, validation, placing, the audit columns, one
transaction with synchronous=FULL per batch. As the app does, the plan is asked for with the last batch only; that call
is among the batches counted. The peer takes the same content as documents through _bulk_docs (`id` becomes `_id`), from
the same client, in batches of the same number. Bare SQLite writes the same rows into the same table, in FULL, with
everything but the writing done beforehand.
"""

import sqlite3
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import diary
import msgspec
from figures import Report, percentile, ratios
from household import Keeper, log_of, serving
from peers import NoPeer, pouch_serving
from wire import Wire

BATCH = 100
WARM_UP = 20  # batches not counted, for every side: the peer's engine compiles while it runs
BATCHES = 200


@dataclass
class Push:
    """One side of one round: seconds per batch."""

    batches_s: list[float]

    @property
    def per_s(self) -> float:
        return BATCH * len(self.batches_s) / sum(self.batches_s)

    @property
    def p95_ms(self) -> float:
        return percentile(self.batches_s, 95) * 1000


def measure(report: Report, folder: Path, rounds: int) -> None:
    """Add gate 1 to the report.

    Source of the limits: our own. A server with no sign-in, rules or columns but the content reached twice the peer and
    half of bare SQLite; what those three cost must fit in the rest.
    """
    ours, bare, peer, missing = [], [], [], ""
    for number in range(rounds):
        ours.append(push_ours(folder / f"ours-{number}"))
        bare.append(push_bare(log_of(folder / f"ours-{number}"), folder / f"bare-{number}.sqlite"))
        try:
            peer.append(push_peer(folder / f"peer-{number}"))
        except NoPeer as reason:
            missing = str(reason)
    ours_per_s, bare_per_s, peer_per_s = ([one.per_s for one in side] for side in (ours, bare, peer))
    report.add(1, "entries pushed per second, ours", ours_per_s, "/s", digits=0)
    report.add(1, "documents per second, express-pouchdb/leveldb", peer_per_s, "/s", digits=0)
    report.add(1, "rows per second, bare SQLite, FULL", bare_per_s, "/s", digits=0)
    against = ratios(ours_per_s, peer_per_s) if peer else []
    report.add(1, "ours over express-pouchdb", against, "x", limit=1.5, at_least=True)
    report.add(1, "ours over bare SQLite", ratios(ours_per_s, bare_per_s), "x", limit=0.35, at_least=True)
    report.add(1, "a batch of 100, 95th percentile", [one.p95_ms for one in ours], "ms", limit=10)
    report.add(1, "a batch of 100, 95th percentile, express-pouchdb", [one.p95_ms for one in peer], "ms")
    if missing:
        report.remark(f"gate 1 lacks a peer: {missing}")
    report.remark(f"gate 1: {BATCHES} batches of {BATCH} a round; the last one asks for the plan, as the app's does")


def _batches(person: str, device: str) -> list[list[diary.Fields]]:
    every = diary.entries((WARM_UP + BATCHES) * BATCH, datetime.now(UTC), person, device)
    return [every[start : start + BATCH] for start in range(0, len(every), BATCH)]


def push_ours(data: Path) -> Push:
    """One round against the real endpoint."""
    with serving(data) as (port, _):
        keeper = Keeper(port)
        keeper.catch_up()
        batches = _batches(keeper.person, keeper.device)
        spent = []
        for number, batch in enumerate(batches):
            request = keeper.push_request(batch, want_plan=number == len(batches) - 1)
            seconds, status, body = keeper.wire.timed(request)
            keeper.note(status, body)
            spent.append(seconds)
        keeper.wire.close()
    return Push(spent[WARM_UP:])


def push_peer(data: Path) -> Push:
    """One round against express-pouchdb."""
    with pouch_serving(data) as port:
        wire = Wire(port)
        wire.send(wire.request("PUT", "/round"))
        spent = []
        for batch in _batches("0" * 36, "0" * 36):
            docs = [{"_id": one["id"], **{key: one[key] for key in one if key != "id"}} for one in batch]
            seconds, status, body = wire.timed(
                wire.request("POST", "/round/_bulk_docs", msgspec.json.encode({"docs": docs}))
            )
            if status != 201 or body.count(b'"ok":true') != BATCH:
                raise RuntimeError(f"_bulk_docs answered {status}: {body[:300].decode()}")
            spent.append(seconds)
        wire.close()
    return Push(spent[WARM_UP:])


def push_bare(ours: Path, copy: Path) -> Push:
    """The rows our server wrote in this round, written again by bare SQLite into an empty copy of its tables."""
    with sqlite3.connect(ours) as source:
        tables = [
            sql for (sql,) in source.execute("SELECT sql FROM sqlite_master WHERE tbl_name = 'entry' AND sql NOT NULL")
        ]
        rows = source.execute("SELECT * FROM entry ORDER BY seq").fetchall()
    source.close()
    bare = sqlite3.connect(copy, isolation_level=None)
    bare.executescript("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;" + ";".join(tables))
    statement = f"INSERT INTO entry VALUES ({', '.join('?' * len(rows[0]))})"
    spent = []
    for start in range(0, len(rows), BATCH):
        before = time.perf_counter()
        bare.execute("BEGIN IMMEDIATE")
        bare.executemany(statement, rows[start : start + BATCH])
        bare.execute("COMMIT")
        spent.append(time.perf_counter() - before)
    bare.close()
    return Push(spent[WARM_UP:])
