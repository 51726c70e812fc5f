"""Answers from cuts alone, held to the cases both copies answer. The browser's turn is in tests/journeys."""

import importlib.util
from collections import Counter
from pathlib import Path

import msgspec
import pytest

from evenwater.domain.water.outlook import Answer, Cuts
from evenwater.domain.water.range_table import ROWS
from evenwater.domain.water.ranges import answer_of

FILE = Path(__file__).with_name("answer_cases.json")


class Case(msgspec.Struct):
    name: str
    cuts: Cuts
    value: float
    step: float
    answer: Answer


@pytest.fixture(scope="module")
def written() -> list[Case]:
    return msgspec.json.decode(FILE.read_bytes(), type=list[Case])


def test_every_case_is_answered_as_written(written):
    for case in written:
        assert answer_of(case.cuts, case.value, case.step) == case.answer, case.name


def test_the_file_is_what_its_generator_writes(written):
    spec = importlib.util.spec_from_file_location("make_answer_cases", FILE.with_name("make_answer_cases.py"))
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    assert msgspec.convert(msgspec.to_builtins(list(maker.cases())), list[Case]) == written


def test_every_line_that_a_value_alone_can_answer_is_among_the_cases(written):
    seen = {case.cuts.quantity for case in written}
    # Ammonia needs its pH and warmth besides.
    assert set(ROWS) - seen == {"tan_mg_n_per_l"}
    assert min(Counter(case.answer for case in written).values()) > 50


def test_without_a_step_the_answer_is_what_the_words_say(written):
    """Said once more, the other way round: which cuts the value has reached."""
    for case in (one for one in written if one.step == 0.0):
        ends = msgspec.structs.asdict(case.cuts)
        reached = {
            name.partition("_")[0]
            for name in ("act_below", "drift_below", "drift_above", "act_above")
            if ends[name] is not None
            and (case.value <= ends[name] if name.endswith("below") else case.value >= ends[name])
        }
        expected = "act_now" if "act" in reached else "drifting" if "drift" in reached else "in_range"
        assert case.answer == expected, case.name


def test_a_step_never_makes_an_answer_better(written):
    order = ["in_range", "drifting", "act_now"]
    for case in (one for one in written if one.step > 0.0):
        assert order.index(case.answer) >= order.index(answer_of(case.cuts, case.value)), case.name
