"""The calculators' part of the OpenAPI schema, from their own types, so that it cannot lag behind them."""

import re
from dataclasses import dataclass
from typing import Any, Final

import msgspec
from litestar.openapi import ResponseSpec
from litestar.openapi.spec import Example, OpenAPIMediaType, OpenAPIResponse, Operation, RequestBody
from msgspec import Struct

from evenwater.domain.reckon import CALCULATORS
from evenwater.domain.reckon.calculator import Calculator, answer
from evenwater.domain.workings import Workings
from evenwater.web.errors import Problem
from evenwater.web.openapi import JSON, media, schema_of

REFUSALS: Final = {
    status: ResponseSpec(Problem, generate_examples=False, description=text)
    for status, text in {
        400: "Not JSON, or a field is missing, unknown or outside its range",
        404: "No calculator of this name",
        413: "The body is over 64 kB",
        429: "Too many calls from this address",
        503: "It took too long",
    }.items()
}
_FIELD = re.compile(r"(?:missing required|contains unknown) field `(.*)`", re.DOTALL)
_STEP: Final = re.compile(r"\[[^\]]*\]|[^.\[]+")


class Listed(Struct, frozen=True):
    """A calculator as it is listed: its schemas are JSON Schema, whole in themselves."""

    name: str
    title: str
    source: str
    input: dict[str, Any]
    output: dict[str, Any]
    example: dict[str, Any]


def listed(one: Calculator[Any, Any]) -> Listed:
    """A calculator's line in the list."""
    example = msgspec.to_builtins(one.example)
    return Listed(one.name, one.title, one.source, schema_of(one.input), schema_of(one.output), example)


def whose_field(problem: Problem) -> str:
    """The field a problem of decoding is about, as `waters[0].kh_dkh`; "$" for the object itself."""
    within = problem.where.removeprefix("$.")
    named = _FIELD.search(problem.what)
    if named is None:
        return within
    return named[1] if within == "$" else f"{within}.{named[1]}"


def right_for(struct: type[Struct], where: str) -> str:
    """What would be right at a field of an input; for an object, or a field it does not have, its fields."""
    found = schema_of(struct)
    for step in _STEP.findall(where.removeprefix("$")):
        below = found.get("items") if step.startswith("[") else found.get("properties", {}).get(step)
        if below is None:
            break
        found = below
    if "properties" in found:
        return "an object with the fields " + ", ".join(found["properties"])
    number = next((one for one in found.get("anyOf", [found]) if "minimum" in one), None)
    limits = f"{number['minimum']:.9g} to {number['maximum']:.9g}. " if number else ""
    count = f"{found['minItems']} to {found['maxItems']} of them. " if "minItems" in found else ""
    words = "One of " + ", ".join(found["enum"]) + ". " if "enum" in found else ""
    return f"{limits}{count}{words}{found.get('description', '')}".strip()


def _given_back() -> OpenAPIMediaType:
    properties = {
        "result": {"oneOf": [schema_of(one.output) for one in CALCULATORS.values()]},
        "workings": schema_of(Workings),
        "source": {"type": "string"},
    }
    examples: dict[str, Any] = {}
    for one in CALCULATORS.values():
        result, workings = answer(one, one.example)
        examples[one.name] = {"result": result, "workings": workings, "source": one.source}
    return media({"type": "object", "required": list(properties), "properties": properties}, examples)


@dataclass
class ReckonOperation(Operation):
    """POST /api/reckon/{name}: any calculator's input and output, with an example of each."""

    def __post_init__(self) -> None:
        taken = media(
            {"oneOf": [schema_of(one.input) for one in CALCULATORS.values()]},
            {one.name: one.example for one in CALCULATORS.values()},
        )
        self.request_body = RequestBody(required=True, content={JSON: taken})
        answered = OpenAPIResponse(description="The answer, and how it came about", content={JSON: _given_back()})
        self.responses = (self.responses or {}) | {"200": answered}


@dataclass
class ListOperation(Operation):
    """GET /api/reckon: an example of one line of the list."""

    def __post_init__(self) -> None:
        one = next(iter(CALCULATORS.values()))
        found = (self.responses or {})["200"]
        if isinstance(found, OpenAPIResponse) and found.content:
            found.content[JSON].examples = {one.name: Example(value=[msgspec.to_builtins(listed(one))])}
