"""What every calculator is: a name, typed inputs with ranges, typed outputs, one pure function, and its source.

- Fields say their unit in their name and their range in `Meta`; `Meta` guards the wire, the formula guards itself.
- Inputs refuse unknown fields: a misspelt optional one would otherwise silently change the answer.
- No list in longer than LIST_ITEMS, none out longer than OUTPUT_ROWS.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Generic, TypeVar, cast

import msgspec
from msgspec import Struct

from evenwater.domain.errors import OutOfRange
from evenwater.domain.workings import Workings

In = TypeVar("In", bound=Struct)
Out = TypeVar("Out", bound=Struct)

LIST_ITEMS: Final = 100
OUTPUT_ROWS: Final = 1000


@dataclass(frozen=True)
class Calculator(Generic[In, Out]):
    """One calculator. `name` is public API; `example` is an input that works, for the schema and for trying out."""

    name: str
    title: str
    source: str
    example: In
    output: type[Out]
    reckon: Callable[[In], tuple[Out, Workings]]

    @property
    def input(self) -> type[In]:
        return type(self.example)


def answer(calculator: Calculator[In, Out], given: In) -> tuple[Out, Workings]:
    """What the calculator makes of its input.

    Raises:
        OutOfRange: A list too long, in or out, or a number outside its range.
        DomainError: Whatever else the calculator refuses.
    """
    _refuse_long_lists("list items", msgspec.to_builtins(given), LIST_ITEMS)
    result, workings = calculator.reckon(given)
    _refuse_long_lists("output rows", msgspec.to_builtins(result), OUTPUT_ROWS)
    return result, workings


def _refuse_long_lists(what: str, value: object, most: int) -> None:
    if isinstance(value, dict):
        value = list(cast(dict[str, object], value).values())
    elif isinstance(value, list | tuple):
        value = cast(list[object], value)
        if len(value) > most:
            raise OutOfRange(what, len(value), 0, most)
    else:
        return
    for one in value:
        _refuse_long_lists(what, one, most)
