"""What holds for every calculator, whatever it reckons."""

import importlib
import math
import pkgutil
import re
from typing import Annotated, Any

import msgspec
import pytest
from msgspec import Meta, Struct

from evenwater.domain import reckon
from evenwater.domain.errors import OutOfRange
from evenwater.domain.reckon import CALCULATORS
from evenwater.domain.reckon.calculator import LIST_ITEMS, OUTPUT_ROWS, Calculator, answer
from evenwater.domain.workings import Workings

# A number's name ends in its unit; pH has none, capfuls and bed volumes count themselves, cost is in any money, and the
# amounts of a label are in the label's own unit.
UNIT = re.compile(
    r"((^|_)(l|dkh|dgh|g|c|m|h|w|kwh|hpa|atm|min|hours|days|volumes|fraction|ratio|per_day|per_step|per_kwh)"
    r"|_(mg_n|mg|g|us)_per_(l|cm)|_w_per_(k|m_k|m2|m2_k)|_m2_k_per_w|_m_per_s|^ph|^capfuls|^cost|^label_amount|^amount(_low|_high)?)$"
)


def flat(given: Any, name: str = "") -> dict[str, Any]:
    """Every value of an input by its path: `volume_l`, `waters[0].fraction`; what is not given is left out."""
    if isinstance(given, dict):
        parts = [(f"{name}.{key}" if name else key, value) for key, value in given.items()]
    elif isinstance(given, list):
        parts = [(f"{name}[{number}]", value) for number, value in enumerate(given)]
    else:
        return {} if given is None else {name: given}
    return {path: value for part, below in parts for path, value in flat(below, part).items()}


def numbers(struct: type[Struct]) -> list[tuple[str, float, float]]:
    """Name and range of each number of an input."""
    schema = msgspec.json.schema(struct)["$defs"][struct.__name__]
    found = ((name, part) for name, field in schema["properties"].items() for part in field.get("anyOf", [field]))
    return [(name, part["minimum"], part["maximum"]) for name, part in found if part.get("type") == "number"]


EACH_NUMBER = [(one, *number) for one in CALCULATORS.values() for number in numbers(one.input)]


def given_with(calculator: Calculator[Any, Any], name: str, value: float) -> Any:
    """The example with one field changed, and what cannot stand beside it."""
    others = {"pressure_hpa": {"altitude_m": None}, "evaporation_l_per_day": {"inflow_l_per_day": 1e6}}
    others |= {"inflow_l_per_day": {"evaporation_l_per_day": 0.0}}
    others |= {"pco2_atm": {"ph": None}, "kh_dkh": {"ph": None, "pco2_atm": 0.001}}
    others |= {"ec25_before_us_per_cm": {"ec25_after_us_per_cm": 1e4}}
    # A film lets through no more than a whole wall may.
    others |= {"u_w_per_m2_k": {"rsi_m2_k_per_w": 0.1}, "rsi_m2_k_per_w": {"u_w_per_m2_k": 0.5}}
    others |= {"ec25_after_us_per_cm": {"ec25_before_us_per_cm": 0.0}}
    other = others.get(name, {})
    return msgspec.structs.replace(calculator.example, **{name: value}, **other)


@pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=CALCULATORS)
def test_the_example_is_answered_twice_alike_with_every_input_in_the_workings(calculator):
    result, workings = answer(calculator, calculator.example)
    assert (result, workings) == answer(calculator, calculator.example)
    assert isinstance(result, calculator.output)
    assert {one.name: one.value for one in workings.inputs} == flat(msgspec.to_builtins(calculator.example))
    assert workings.steps and all(step.text and step.value for step in workings.steps)
    assert workings.source == calculator.source


def test_every_module_of_the_folder_is_listed():
    modules = [one.name for one in pkgutil.iter_modules(reckon.__path__) if one.name != "calculator"]
    made = [importlib.import_module(f"evenwater.domain.reckon.{name}").CALCULATOR.name for name in modules]
    assert sorted(made) == sorted(CALCULATORS)
    assert [name.replace("_", "-") for name in sorted(modules)] == sorted(made)


@pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=CALCULATORS)
def test_every_number_says_its_unit_in_its_name_and_in_words(calculator):
    for struct in (calculator.input, calculator.output):
        schemas = msgspec.json.schema(struct)["$defs"].values()
        for name, field in ((name, field) for schema in schemas for name, field in schema["properties"].items()):
            assert field["description"]
            if any(part.get("type") in {"number", "integer"} for part in field.get("anyOf", [field])):
                assert UNIT.search(name), name
                assert "[" in field["description"], name


@pytest.mark.parametrize(("calculator", "name", "low", "high"), EACH_NUMBER)
def test_the_edges_are_answered_and_one_float_beyond_is_refused(calculator, name, low, high):
    for edge in (low, high):
        result, _ = answer(calculator, given_with(calculator, name, edge))
        values = flat(msgspec.to_builtins(result)).values()
        assert all(math.isfinite(number) for number in values if not isinstance(number, str))
    for wrong in (math.nextafter(low, -math.inf), math.nextafter(high, math.inf), math.nan, math.inf, -math.inf):
        with pytest.raises(OutOfRange) as refused:
            answer(calculator, given_with(calculator, name, wrong))
        assert refused.value.where == name
        assert refused.value.right.startswith(f"{low:.10g} to {high:.10g}")


@pytest.mark.parametrize(("calculator", "name", "low", "high"), EACH_NUMBER)
def test_the_wire_refuses_one_float_beyond_too(calculator, name, low, high):
    for wrong in (math.nextafter(low, -math.inf), math.nextafter(high, math.inf)):
        sent = msgspec.json.encode(given_with(calculator, name, wrong))
        with pytest.raises(msgspec.ValidationError, match=name):
            msgspec.json.decode(sent, type=calculator.input)


class Numbers(Struct):
    """Items of a list."""

    items: Annotated[list[float], Meta(description="Any [–].")]
    times: int = 1


def repeat(given: Numbers) -> tuple[Numbers, Workings]:
    workings = Workings(title="Repeat", inputs=(), steps=(), result="", source="")
    return Numbers(given.items * given.times), workings


REPEAT = Calculator("repeat", "Repeat", "", Numbers([1.0]), Numbers, repeat)


def test_a_list_of_a_hundred_is_taken_and_one_more_refused():
    assert len(answer(REPEAT, Numbers([1.0] * LIST_ITEMS))[0].items) == LIST_ITEMS
    with pytest.raises(OutOfRange, match="list items is 101"):
        answer(REPEAT, Numbers([1.0] * (LIST_ITEMS + 1)))


def test_a_thousand_rows_are_given_and_one_more_refused():
    assert len(answer(REPEAT, Numbers([1.0] * 100, times=10))[0].items) == OUTPUT_ROWS
    with pytest.raises(OutOfRange, match="output rows is 1001"):
        answer(REPEAT, Numbers([1.0] * 91, times=11))
