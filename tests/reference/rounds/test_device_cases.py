"""What a device does, held to the cases both copies answer. The browser's turn is in tests/journeys."""

import importlib.util
from collections import Counter
from datetime import date, datetime
from pathlib import Path

import msgspec
import pytest

from evenwater.domain.fold import Seen
from evenwater.domain.rounds.jobs import Day
from evenwater.domain.rounds.today import GIVEN_REASON, POWER_OUT_REASON, WATER_RUNNING_REASON, JobNow, round_now

FILE = Path(__file__).with_name("device_cases.json")


class PlanIn(msgspec.Struct):
    days: tuple[Day, ...]
    log_seq: int
    good_until: datetime


class Case(msgspec.Struct):
    name: str
    plan: str
    entries: list[Seen]
    now: datetime
    on: date
    expect: list[JobNow]


class Cases(msgspec.Struct):
    plans: dict[str, PlanIn]
    cases: list[Case]


@pytest.fixture(scope="module")
def cases() -> Cases:
    return msgspec.json.decode(FILE.read_bytes(), type=Cases)


def test_every_case_comes_out_as_written(cases):
    for case in cases.cases:
        plan = cases.plans[case.plan]
        assert round_now(plan.days, case.entries, plan.log_seq, plan.good_until, case.now, case.on) == case.expect, (
            case.name
        )


def test_the_file_is_what_its_maker_writes_today():
    spec = importlib.util.spec_from_file_location("make_device_cases", FILE.with_name("make_device_cases.py"))
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    assert maker.written() == FILE.read_bytes()


def test_the_cases_meet_every_state_and_are_many(cases):
    met = Counter(job.state for case in cases.cases for job in case.expect)
    assert len(cases.cases) >= 200
    states = {"upcoming", "due", "late", "lapsed", "done", "not_done", "stood_down", "held_back", "not_known"}
    assert {state for state, count in met.items() if count >= 5} == states


def test_the_cases_meet_what_holds_jobs_back_while_it_lasts(cases):
    met = Counter(job.reason for case in cases.cases for job in case.expect if job.state == "held_back")
    assert met[POWER_OUT_REASON] >= 5 and met[WATER_RUNNING_REASON] >= 5


def test_the_cases_meet_bags_that_stay_shut_and_such_that_do_not(cases):
    bags = {(case.name, job.id) for case in cases.cases if case.plan == "helped" for job in case.expect}
    met = Counter(job.reason for case in cases.cases for job in case.expect if (case.name, job.id) in bags)
    assert met[GIVEN_REASON] >= 10
    assert sum(count for reason, count in met.items() if reason.startswith("Bag ")) >= 10
