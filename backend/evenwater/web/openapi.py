"""Schemas for bodies the framework does not read itself, made from our own types so that they cannot lag behind."""

from dataclasses import dataclass, field
from typing import Any, Final, cast

import msgspec
from litestar.openapi.spec import Example, OpenAPIMediaType, OpenAPIResponse, Operation, Reference, RequestBody, Schema

JSON: Final = "application/json"


def schema_of(struct: Any) -> dict[str, Any]:
    """JSON Schema of a type, whole in itself: nothing refers to another place."""
    schema = msgspec.json.schema(struct)
    return cast(dict[str, Any], _whole(schema, schema.get("$defs", {})))


def _whole(part: Any, definitions: dict[str, Any]) -> Any:
    if isinstance(part, list):
        return [_whole(one, definitions) for one in cast(list[Any], part)]
    if not isinstance(part, dict):
        return part
    found = cast(dict[str, Any], part)
    if "$ref" in found:
        return _whole(definitions[found["$ref"].rpartition("/")[2]], definitions)
    return {key: _whole(value, definitions) for key, value in found.items() if key != "$defs"}


@dataclass
class Inline(Schema):
    """A schema made elsewhere, put in as it stands."""

    made: dict[str, Any] = field(default_factory=dict[str, Any])

    def to_schema(self) -> dict[str, Any]:
        return self.made


def media(made: dict[str, Any], examples: dict[str, Any]) -> OpenAPIMediaType:
    """A body of that schema, with examples by name."""
    shown: dict[str, Example | Reference] = {
        name: Example(value=msgspec.to_builtins(value)) for name, value in examples.items()
    }
    return OpenAPIMediaType(schema=Inline(made=made), examples=shown)


def with_examples(*, given: Any = None, answered: Any = None) -> type[Operation]:
    """An operation that shows one example of what it takes and one of what it gives back."""

    @dataclass
    class Exemplified(Operation):
        def __post_init__(self) -> None:
            if given is not None and isinstance(self.request_body, RequestBody):
                _show(self.request_body.content, given)
            for status, response in (self.responses or {}).items():
                if answered is not None and status.startswith("2") and isinstance(response, OpenAPIResponse):
                    _show(response.content or {}, answered)

    return Exemplified


def _show(content: dict[str, OpenAPIMediaType], value: Any) -> None:
    for media_type in content.values():
        media_type.examples = {"example": Example(value=msgspec.to_builtins(value))}
