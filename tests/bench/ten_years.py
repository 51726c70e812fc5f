"""Gate 8: ten years of a busy pond. Today's plan in a freshly started server, after one new entry, a year told back,
and its memory.

About 150,000 entries (41 a day, as a household with many standing jobs writes them) and 105,000 hourly samples a year
stand in the invented pond's own file before the server starts; thirty fish are measured twice a year. What is timed is
POST /api/sync with the plan asked for, from the first byte sent to the last received; pages that follow are waited for,
untimed.
"""

import asyncio
import math
import random
import re
import sqlite3
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import chain
from pathlib import Path

import diary
import msgspec
from figures import Report
from household import Keeper, log_of, serving

from evenwater.domain.placing import place
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.storage.database import Database, in_text
from evenwater.storage.entry_log import Arrival, append

DAYS = 3653
_SERIES = ("water_c", "air_c", "house_c", "house_humidity_fraction", "heater_kwh", "heater_w")
_SERVICE = ("air_c", "humidity_fraction", "wind_m_per_s", "gust_m_per_s", "cloud_fraction", "sun_w_per_m2")
_AT_ONCE = 2000


def measure(report: Report, folder: Path, rounds: int) -> None:
    """Add gate 8 to the report.

    Source of the limits: our own. A second is what a person waits for without doubting; 30 ms is not felt at a tap;
    300 MB is what a small home computer can spare.
    """
    data = folder / "ten-years"
    with serving(data) as (port, _):
        keeper = Keeper(port)
        person, device = keeper.person, keeper.device
        keeper.wire.close()
    count = asyncio.run(_pour(log_of(data), person, device))
    first, after, season, memory = [], {name: [] for name in _LATEST}, [], []
    for number in range(rounds):
        with serving(data) as (port, pid):
            keeper = Keeper(port)
            first.append(_plan(keeper, []))
            for name, fields in _LATEST.items():
                after[name].append(_plan(keeper, [_now(keeper, number, fields)]) * 1000)
            season.append(_season(keeper))
            memory.append(_resident_mb(pid))
            keeper.wire.close()
    report.add(8, f"first plan of a fresh server, {count:,} entries", first, "s", limit=1)
    for name, spent in after.items():
        report.add(8, f"plan after {name}", spent, "ms", limit=30, digits=0)
    report.add(8, "the report of a year, and the year before", season, "s", limit=1)
    report.add(8, "resident memory", memory, "MB", limit=300, digits=0)


_LATEST: dict[str, diary.Fields] = {
    "a note": {"kind": "note", "text": "Fog."},
    "a job done": {"kind": "tick", "standing_job": "rinse-drum", "slot": "day"},
    "covers on": {"kind": "tick", "standing_job": "cover", "slot": "on"},
    "a reading of KH": {"kind": "reading", "quantity": "kh_dkh", "value": 5.0, "point": "pond", "step": 0.5},
    "a reading of the water's warmth": {"kind": "reading", "quantity": "temperature_c", "value": 15.2, "point": "pond"},
    "a fish measured": {"kind": "fish_measure", "fish": "fish-3", "length_cm": 61.5, "length_is": "total"},
}


def _now(keeper: Keeper, number: int, fields: diary.Fields) -> diary.Fields:
    now = datetime.now(diary.ZONE)
    due = {"due_on": now.date().isoformat()} if fields["kind"] == "tick" else {}
    told = {name: value for name, value in fields.items() if name != "kind"}
    return diary.entry(now, str(fields["kind"]), told | due, keeper.person, keeper.device, 2**40 + number)


def _plan(keeper: Keeper, entries: list[diary.Fields]) -> float:
    """Seconds until what is new of the plan is there; no plan of two weeks is no measurement."""
    spent, status, body = keeper.wire.timed(keeper.push_request(entries, want_plan=True))
    told = keeper.note(status, body)
    while told["more"]:
        spent, status, body = keeper.wire.timed(keeper.push_request([], want_plan=True))
        told = keeper.note(status, body)
    plan = told["plan"]
    if not isinstance(plan, dict) or len(plan["dates"]) != 14:
        raise RuntimeError(f"no plan came: {body[:300].decode()}")
    while plan["follows"]:  # as the app does, so that nothing of this entry is still going on at the next
        time.sleep(0.2)
        _, status, body = keeper.wire.timed(keeper.push_request([], want_plan=True))
        plan = keeper.note(status, body)["plan"]
    return spent


def _season(keeper: Keeper) -> float:
    """Seconds until a whole year is told back beside the one before; without its parts it is no measurement."""
    today = datetime.now(diary.ZONE).date()
    path = f"/season-report?pond=main&first={today - timedelta(days=364)}&last={today}"
    spent, status, body = keeper.wire.timed(keeper.wire.request("GET", path, headers={"Cookie": keeper.cookie}))
    if status != 200 or b"Forecasts" not in body:
        raise RuntimeError(f"no report came: {status} {body[:300].decode()}")
    return spent


async def _pour(log: Path, person: str, device: str) -> int:
    """Ten years of entries and samples into the file; how many entries."""
    end = datetime.now(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
    database = await Database.open(log)
    count = 0
    try:
        batch: list[Arrival] = []
        start = end - timedelta(days=DAYS)
        jobs = diary.standing_jobs(start, person, device)
        fish = diary.fish_years(start, DAYS, person, device)
        for fields in chain(jobs, fish, diary.busy_days(start, DAYS, person, device)):
            content = msgspec.json.encode(fields)
            entry = read_entry(content)
            assert not isinstance(entry, Deferred)
            batch.append(Arrival(entry, place(entry, end, 0.0), content))
            count += 1
            if len(batch) == _AT_ONCE:
                await append(database, batch, [], end, 0.0)
                batch.clear()
        await append(database, batch, [], end, 0.0)
    finally:
        await database.close()
    with sqlite3.connect(log) as connection:
        connection.executemany(
            "INSERT OR IGNORE INTO sample (series, at, issued_at, value, thinned) VALUES (?, ?, '', ?, 1)",
            _samples(end - timedelta(days=DAYS)),
        )
    connection.close()
    return count


def _samples(start: datetime) -> Iterator[tuple[str, str, float]]:
    chance = random.Random(1)
    for hour in range(DAYS * 24):
        at = start + timedelta(hours=hour)
        year, day = math.sin(hour / 8766 * math.tau), math.sin(hour / 24 * math.tau)
        air_c = round(10 - 8 * year + 4 * day + chance.gauss(0, 1), 2)
        values = {"water_c": 15 - 4 * year, "house_c": air_c + 5, "heater_kwh": hour * 0.7, "heater_w": 700.0}
        values |= {"air_c": air_c, "house_humidity_fraction": 0.7}
        service = {"air_c": air_c + 1, "humidity_fraction": 0.8, "wind_m_per_s": 3.0, "gust_m_per_s": 6.0}
        service |= {"cloud_fraction": 0.5, "sun_w_per_m2": max(0.0, 300 * day)}
        for series in _SERIES:
            yield f"main/{series}", in_text(at), values[series]
        for series in _SERVICE:
            yield f"main/service_{series}", in_text(at), service[series]


def _resident_mb(pid: int) -> float:
    """What the process holds now. Source: proc(5), VmRSS [kB]."""
    found = re.search(r"^VmRSS:\s+(\d+) kB", Path(f"/proc/{pid}/status").read_text(), re.MULTILINE)
    assert found
    return int(found[1]) / 1024
