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

# A number's name ends in its unit; pH has none, capfuls count themselves.
UNIT = re.compile(r"(_l|_dkh|_g|_c|_m|_hpa|_fraction|_(mg_n|mg|g|us)_per_(l|cm)|^ph|^capfuls)$")


def numbers(struct: type[Struct]) -> list[tuple[str, float, float]]:
    """Name and range of each number of an input."""
    schema = msgspec.json.schema(struct)["$defs"][struct.__name__]
    found = ((name, part) for name, field in schema["properties"].items() for part in field.get("anyOf", [field]))
    return [(name, part["minimum"], part["maximum"]) for name, part in found if part.get("type") == "number"]


EACH_NUMBER = [(one, *number) for one in CALCULATORS.values() for number in numbers(one.input)]


def given_with(calculator: Calculator[Any, Any], name: str, value: float) -> Any:
    """The example with one field changed; of height and pressure only that one is left."""
    other = {"pressure_hpa": {"altitude_m": None}}.get(name, {})
    return msgspec.structs.replace(calculator.example, **{name: value}, **other)


@pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=CALCULATORS)
def test_the_example_is_answered_twice_alike_with_every_input_in_the_workings(calculator):
    result, workings = answer(calculator, calculator.example)
    assert (result, workings) == answer(calculator, calculator.example)
    assert isinstance(result, calculator.output)
    given = {name: value for name, value in msgspec.to_builtins(calculator.example).items() if value is not None}
    assert {one.name: one.value for one in workings.inputs} == given
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
        fields = msgspec.json.schema(struct)["$defs"][struct.__name__]["properties"]
        for name, field in fields.items():
            assert field["description"]
            if "enum" not in field:
                assert UNIT.search(name), name
                assert "[" in field["description"], name


@pytest.mark.parametrize(("calculator", "name", "low", "high"), EACH_NUMBER)
def test_the_edges_are_answered_and_one_float_beyond_is_refused(calculator, name, low, high):
    for edge in (low, high):
        result, _ = answer(calculator, given_with(calculator, name, edge))
        assert all(math.isfinite(number) for number in msgspec.to_builtins(result).values())
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
