"""Late and events, held to the cases both copies answer. The browser's turn is in tests/journeys."""

import importlib.util
from collections import Counter
from pathlib import Path

from reference.rounds.care_cases import EVENT_FILE, LATE_FILE, event_cases, late_cases


def test_the_files_are_what_their_maker_writes_today():
    spec = importlib.util.spec_from_file_location("make_care_cases", Path(__file__).with_name("make_care_cases.py"))
    assert spec is not None and spec.loader is not None
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    assert maker.written(maker.late_cases()) == LATE_FILE.read_bytes()
    assert maker.written(maker.event_cases()) == EVENT_FILE.read_bytes()


def test_the_cases_of_lateness_meet_every_word():
    met = Counter(case.kind for case in late_cases())
    assert set(met) == {"not_late", "can_wait", "late", "matters"}
    assert min(met.values()) >= 15


def test_the_cases_of_events_meet_each_of_them_and_none():
    cases = event_cases()
    running = [case.running for case in cases if case.running]
    assert min(sum(one.serious for one in running), sum(not one.serious for one in running)) >= 10
    assert {one.dechlorinated for one in running} == {True, False, None}
    assert {case.out.rinse for case in cases if case.out} == {True, False}
    assert {case.back.rinse for case in cases if case.back} == {True, False}
    assert sum(case.running is None and case.out is None and case.back is None for case in cases) >= 10
