"""What must be known once all is calm, told from what was written: none of the program's own fold decides it."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import msgspec
from pocket import Json, Pocket

from evenwater.domain import read_entries
from evenwater.domain.fold import fold
from evenwater.domain.rounds.jobs import Plan
from evenwater.domain.rounds.plan import make_plan
from evenwater.domain.rounds.today import JobNow, round_now

PLACE = ("seq", "received_at", "placed_at", "placed_on", "skew_s", "time_doubtful")
A_MOMENT = timedelta(milliseconds=1)


@dataclass(frozen=True)
class Written:
    """An entry as it was written: when it truly was, and how often that phone's clock had been set by then."""

    entry: Json
    truly_at: datetime
    phone: Pocket
    clock_set: int
    poisoned: bool


def compare(written: dict[str, Written], phones: list[Pocket], log: list[Any], now: datetime) -> None:
    """Hold the log and every phone to what was written."""
    logged = {one["entry"]["id"]: one for one in msgspec.json.decode(msgspec.json.encode(log))}
    readable = {key: one for key, one in written.items() if not one.poisoned and one.entry["v"] <= read_entries.VERSION}
    kept = {key: one["entry"] for key, one in logged.items()}
    assert kept == {key: one.entry for key, one in readable.items()}, "the log is not what was written"
    for key, one in readable.items():
        _compare_place(one, logged[key])
    for phone in phones:
        _compare_phone(phone, written, logged)
    _compare_plans({key: one.entry for key, one in readable.items()}, logged, phones, now)


def _compare_place(one: Written, logged: Json) -> None:
    placed_at, received_at = (datetime.fromisoformat(logged[key]) for key in ("placed_at", "received_at"))
    assert placed_at <= received_at
    if one.phone.clock_set == one.clock_set:
        assert abs(placed_at - one.truly_at) <= A_MOMENT, "an entry stands where it never was"
        assert logged["time_doubtful"] == (abs(one.phone.clock_wrong_by) > timedelta(days=1))


def _compare_phone(phone: Pocket, written: dict[str, Written], logged: dict[str, Json]) -> None:
    own = {key: one for key, one in written.items() if one.phone is phone}
    waits = {key for key, one in own.items() if one.entry["v"] > read_entries.VERSION}
    assert set(phone.store.outbox) == waits, "an entry waits for nothing, or does not wait"
    aside = {key: one.entry for key, one in own.items() if one.poisoned and one.entry["v"] <= read_entries.VERSION}
    assert phone.store.set_aside.items() >= aside.items(), "a refused entry was dropped"
    confirmed = {key: (entry, place) for key, (entry, place) in phone.store.entries.items() if place is not None}
    assert confirmed.keys() == logged.keys(), "a phone knows another log"
    for key, (entry, place) in confirmed.items():
        assert entry == logged[key]["entry"]
        assert [place[name] for name in PLACE] == [logged[key][name] for name in PLACE], "two places for one entry"


def _compare_plans(known: dict[str, Json], logged: dict[str, Json], phones: list[Pocket], now: datetime) -> None:
    answers, capful_g = answered(known), last_setting(known, logged, "capful_g")
    rounds = []
    for phone in phones:
        seen = [one for one in phone.seen() if one.seq is not None]
        plan = _plan_of(phone)
        afresh = make_plan(fold(seen), len(logged), {}, now)
        assert (plan.log_seq, plan.days) == (len(logged), afresh.days), "a plan is not what the log says"
        assert [pond.capful_g for pond in plan.ponds] == [capful_g]
        rounds.append(round_now(plan.days, seen, plan.log_seq, plan.good_until, now, now.date()))
        _compare_round(rounds[-1], answers, now)
    assert all(one == rounds[0] for one in rounds), "two phones show two rounds"


def _compare_round(jobs: list[JobNow], answers: dict[str, str], now: datetime) -> None:
    daily = {f"cover/{now.date()}/on", f"buffer/{now.date()}/dusk"}
    assert daily <= {job.id for job in jobs}, "a job is missing"
    for job in jobs:
        if job.id in answers:
            assert job.state == answers[job.id], "an answer does not count"
        else:
            assert job.state not in ("done", "not_done"), "an answer nobody gave"


def _plan_of(phone: Pocket) -> Plan:
    plan = phone.store.plan
    return msgspec.convert({**plan, "days": list(plan["days"].values())}, Plan, str_keys=True)


def standing(known: dict[str, Json]) -> dict[str, Json]:
    """Entries that are not taken back, in the order they were written.

    Nobody takes back what is not there yet, so seen from the newest on, each take back is settled before its target.
    """
    gone: set[str] = set()
    for key, entry in reversed(known.items()):
        if entry["kind"] == "take_back" and key not in gone:
            gone.add(entry["entry"])
    return {key: entry for key, entry in known.items() if key not in gone}


def answered(known: dict[str, Json]) -> dict[str, str]:
    """State of each job somebody answered, by `standing_job/due_on/slot`; a tick wins over "not done"."""
    states: dict[str, str] = {}
    for entry in standing(known).values():
        if entry["kind"] in ("tick", "not_done"):
            key = f"{entry['standing_job']}/{entry['due_on']}/{entry['slot']}"
            states[key] = "done" if entry["kind"] == "tick" else states.get(key, "not_done")
    return states


def last_setting(known: dict[str, Json], logged: dict[str, Json], field: str) -> Any:
    """The value of a field of the pond: the last by server order of those that stand."""
    settings = [(logged[key]["seq"], entry) for key, entry in standing(known).items() if entry.get("field") == field]
    return max(settings, key=lambda one: one[0])[1]["value"] if settings else None
