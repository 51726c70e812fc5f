"""Writes late_cases.json and event_cases.json: what both copies of late and events must answer. Drawn by seed."""

import random
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import msgspec

from evenwater.domain.entries import Power, TakeBack, WaterRunning
from evenwater.domain.fold import Seen, fold
from evenwater.domain.read_entries import read_entry
from evenwater.domain.rounds.held.events import power_back, power_out, water_running
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.rounds.walk.late import lateness, lateness_kind

LATE_FILE = Path(__file__).with_name("late_cases.json")
EVENT_FILE = Path(__file__).with_name("event_cases.json")
NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
_WHO = str(UUID(int=2 << 64))


def late_cases() -> list[dict[str, object]]:
    """Jobs before, in and past their window, patient or serious or neither, at odd milliseconds too."""
    chance = random.Random("late")
    cases: list[dict[str, object]] = []
    for _ in range(300):
        closes = NOW - timedelta(milliseconds=chance.choice((0, 1, 999, 60_000, chance.randrange(40 * 86_400_000))))
        waits = closes + chance.choice((1, 2, 7, 30)) * DAY if chance.random() < 0.5 else None
        times = {
            "closes_at": closes,
            "lapses_at": closes + chance.choice((1, 30, 400)) * HOUR if chance.random() < 0.2 else None,
            "waits_until": waits,
            "serious_at": (waits or closes) if chance.random() < 0.4 else None,
        }
        now = NOW + timedelta(milliseconds=chance.choice((0, 0, 1, -1, chance.randrange(86_400_000))))
        job = _job(**times)
        cases.append({"job": times, "now": now, "score": lateness(job, now), "kind": lateness_kind(job, now)})
    return cases


def _job(**times: object) -> Job:
    fixed = dict.fromkeys(("id", "standing_job", "slot", "pond", "place", "name", "text"), "")
    return Job(**fixed, due_on=NOW.date(), part="morning", opens_at=NOW, **times)  # type: ignore[arg-type]


def event_cases() -> list[dict[str, object]]:
    """Logs of hoses and power cuts in any order, some taken back, some of the future, of two ponds."""
    chance = random.Random("events")
    cases: list[dict[str, object]] = []
    for number in range(120):
        entries = [_happening(chance, nth) for nth in range(chance.randrange(9))]
        for taken in [one for one in entries if chance.random() < 0.12]:
            more = {"entry": taken.entry.id}
            entries.append(_written("take_back", taken.at + MINUTE, 500 + len(entries), taken.entry.pond, **more))
        chance.shuffle(entries)
        pond = chance.choice((None, None, "main"))
        usual_min = chance.choice((30.0, 12.5))
        facts = fold(entries).facts
        cases.append(
            {
                "name": str(number),
                "entries": entries,
                "now": NOW,
                "pond": pond,
                "usual_min": usual_min,
                "running": water_running(facts, NOW, pond, usual_min),
                "out": power_out(facts, NOW),
                "back": power_back(facts, NOW),
            }
        )
    return cases


def _happening(chance: random.Random, nth: int) -> Seen:
    ago = chance.choice((0, 1, 29, 30, 31, 59, 60, 61, 125, 1439, 1440, 1441, 3000, -5)) * MINUTE
    at = NOW - ago - timedelta(seconds=chance.choice((0, 0, 1, 59)))
    pond = chance.choice(("main", "main", "quarantine"))
    if chance.random() < 0.5:
        return _written("power", at, nth, pond, on=chance.random() < 0.5)
    more: dict[str, object] = {"running": chance.random() < 0.6}
    if chance.random() < 0.5:
        more["limit_min"] = chance.choice((1, 10, 10.5, 30.0083, 45, 1440))
    if chance.random() < 0.5:
        more["dechlorinated"] = chance.random() < 0.5
    return _written("water_running", at, nth, pond, **more)


def _written(kind: str, at: datetime, number: int, pond: str, **more: object) -> Seen:
    stamp = at.isoformat()
    envelope = {"id": str(UUID(int=number + 1)), "v": 1, "pond": pond, "kind": kind, "zone": "UTC", **more}
    when = {"happened_at": stamp, "recorded_at": stamp, "local_date": at.date().isoformat()}
    entry = read_entry(msgspec.json.encode({**envelope, **when, "device": _WHO, "author": _WHO}))
    assert isinstance(entry, Power | WaterRunning | TakeBack)
    return Seen(entry, number, at, at.date())


def written(cases: list[dict[str, object]]) -> bytes:
    """A file's content, one case on a line."""
    lines = (msgspec.json.encode(case).decode() for case in cases)
    return ("[\n" + ",\n".join(lines) + "\n]\n").encode()


if __name__ == "__main__":
    LATE_FILE.write_bytes(written(late_cases()))
    EVENT_FILE.write_bytes(written(event_cases()))
