"""Gate 2: 1,000 entries written without signal, then sent: from the line's return to the last confirmation.

Ours is the app itself: its page from the real server, its IndexedDB, its outbox, its answer to `online`. The peer is
PouchDB replicating to express-pouchdb, on a page of that server, so neither asks leave across origins. Both write the
same content at once while the line is cut, and both have synced once before. The server's log is counted afterwards.
"""

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import diary
import msgspec
from browser import Line, chromium, open_round, phone_page
from figures import Report, ratios
from household import Keeper, log_of, serving
from peers import NoPeer, pouch_serving
from playwright.sync_api import Browser, Page
from wire import Wire

ENTRIES = 1000
SLOW = {"latency_ms": 100, "kbit_per_s": 750}
SCRIPT = Path(__file__).with_name("flush_page.js").read_text(encoding="utf-8")


def measure(report: Report, folder: Path, rounds: int) -> None:
    """Add gate 2 to the report.

    Source of the limits: our own; an outbox with nothing behind it took 0.39 of the peer's time on the slow line.
    """
    with chromium() as browser:
        for words, line in (("no delay", {}), ("100 ms, 750 kbit/s", SLOW)):
            ours, peer = [], []
            for number in range(rounds):
                name = f"{number}-{len(line)}"
                ours.append(flush_ours(browser, folder / f"flush-ours-{name}", line))
                try:
                    peer.append(flush_peer(browser, folder / f"flush-peer-{name}", line))
                except NoPeer as reason:
                    report.remark(f"gate 2 lacks a peer: {reason}")
            against = ratios(ours, peer) if peer else []
            report.add(2, f"1,000 entries sent, {words}: ours", ours, "ms", digits=0)
            report.add(2, f"1,000 documents replicated, {words}: PouchDB", peer, "ms", digits=0)
            report.add(2, f"ours over PouchDB, {words}", against, "x", limit=0.4)


def flush_ours(browser: Browser, data: Path, line: dict[str, int]) -> float:
    """Milliseconds for one flush of the app's outbox."""
    with serving(data) as (port, _):
        keeper = Keeper(port)
        with phone_page(browser, keeper, port) as page:
            open_round(page, port)
            device = page.evaluate("async () => (await import('/main.js')).modules['/store.js'].get().device")
            took = _timed(page, "ours", diary.entries(ENTRIES, datetime.now(UTC), keeper.person, device), line)
        _require(_count(log_of(data), device), "entries in our log")
    return took


def flush_peer(browser: Browser, data: Path, line: dict[str, int]) -> float:
    """Milliseconds for one replication by PouchDB."""
    with pouch_serving(data) as port:
        _ask(port, "PUT")
        with phone_page(browser) as page:
            page.goto(f"http://127.0.0.1:{port}/page.html")
            page.evaluate("() => new PouchDB('round').replicate.to(location.origin + '/round').then(() => true)")
            took = _timed(page, "pouch", diary.entries(ENTRIES, datetime.now(UTC), "0" * 36, "0" * 36), line)
        _require(msgspec.json.decode(_ask(port, "GET"))["doc_count"], "documents at the peer")
    return took


def _ask(port: int, method: str) -> bytes:
    """The peer's answer about its database; each time on a new connection, for it closes idle ones."""
    wire = Wire(port)
    _, _, body = wire.send(wire.request(method, "/round"))
    wire.close()
    return body


def _timed(page: Page, side: str, entries: list[diary.Fields], line: dict[str, int]) -> float:
    way = Line(page)
    way.cut()
    page.evaluate(
        f"async ([side, entries]) => {{ const all = {SCRIPT}; await all.start(all[side], entries); }}", [side, entries]
    )
    way.restore(**line)
    took: float = page.evaluate("() => globalThis.flushed")
    return took


def _count(log: Path, device: str) -> int:
    with sqlite3.connect(log) as connection:
        (count,) = connection.execute("SELECT count(*) FROM entry WHERE device = ?", (device,)).fetchone()
    connection.close()
    return int(count)


def _require(count: int, what: str) -> None:
    if count != ENTRIES:
        raise RuntimeError(f"{count} {what} after the flush, and not {ENTRIES}")
