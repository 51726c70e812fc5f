"""`evenwater reckon NAME key=value …`: the calculators, without a server."""

import argparse
import re
from typing import Any

import msgspec

from evenwater.commands.household import add_options
from evenwater.commands.speaking import Parser, Stop, say
from evenwater.domain.errors import DomainError
from evenwater.domain.reckon import CALCULATORS
from evenwater.domain.reckon.calculator import Calculator, answer
from evenwater.domain.workings import Workings
from evenwater.web.answers.reckon_schema import listed, right_for, whose_field
from evenwater.web.errors import Problem, problem_of

_WITH_COMMA = re.compile(r"-?\d+,\d+")
_EXAMPLES = """examples:
  evenwater reckon                                  every calculator
  evenwater reckon buffer-dose                      what it takes, with an example
  evenwater reckon heat-energy volume_l=17400 from_c=14 to_c=15
  evenwater reckon dew-point temperature_c=9 relative_humidity_fraction=0.82 --json

Units stand in the names. A value is a number with a decimal point, a word, or JSON for lists.
"""


def add_command(commands: Any) -> None:
    """Add `reckon`."""
    parser: Parser = commands.add_parser(
        "reckon",
        help="ask a calculator, and see its workings",
        description="Ask a calculator; it shows its workings. Without values it says what it takes.",
        epilog=_EXAMPLES,
    )
    parser.add_argument("name", nargs="?", metavar="NAME", help="a calculator; without one, all are listed")
    parser.add_argument("values", nargs="*", metavar="key=value", help="what goes in")
    add_options(parser)
    parser.set_defaults(act=_reckon)


def _reckon(asked: argparse.Namespace) -> None:
    if asked.name is None:
        width = max(map(len, CALCULATORS))
        lines = [f"{name:<{width}}  {one.title}" for name, one in CALCULATORS.items()]
        say(asked, "\n".join(lines), [{"name": name, "title": one.title} for name, one in CALCULATORS.items()])
        return
    calculator = CALCULATORS.get(asked.name)
    if calculator is None:
        known = ", ".join(CALCULATORS)
        raise Stop(
            f"no calculator is called {asked.name!r}: `evenwater reckon` lists them.", code="not_found", right=known
        )
    if not asked.values:
        say(asked, _takes(calculator), listed(calculator))
        return
    result, workings = _answered(calculator, asked.values)
    record = {"result": result, "workings": workings, "source": calculator.source}
    say(asked, _in_words(result, workings), record)


def _answered(calculator: Calculator[Any, Any], values: list[str]) -> tuple[Any, Workings]:
    try:
        given = msgspec.convert(dict(map(_pair, values)), calculator.input)
        return answer(calculator, given)
    except msgspec.ValidationError as error:
        problem = problem_of(error)
        where = whose_field(problem)
        problem = Problem(problem.code, problem.what, where, right_for(calculator.input, where))
    except DomainError as error:
        problem = problem_of(error)
    at = f" ({problem.where})" if problem.where not in ("", "$") else ""
    facts = {"code": problem.code, "where": problem.where, "right": problem.right}
    raise Stop(f"{problem.what}{at}; right would be {problem.right.rstrip('.')}.", **facts)


def _pair(text: str) -> tuple[str, Any]:
    key, equals, value = text.partition("=")
    if not equals or not key:
        right = "key=value, as volume_l=20000"
        raise Stop(f"{text!r} is no value: give {right}.", code="malformed", where=text, right=right)
    if _WITH_COMMA.fullmatch(value):
        right = f"{key}={value.replace(',', '.')}"
        raise Stop(f"{text!r} has a comma: write {right}.", code="malformed", where=key, right=right)
    try:
        return key, msgspec.json.decode(value)
    except (msgspec.DecodeError, UnicodeError, RecursionError):
        return key, value.encode(errors="replace").decode()


def _takes(calculator: Calculator[Any, Any]) -> str:
    fields: dict[str, dict[str, Any]] = listed(calculator).input.get("properties", {})
    width = max(map(len, fields))
    lines = [calculator.title, ""]
    lines += [f"  {name:<{width}}  {right_for(calculator.input, name)}".rstrip() for name in fields]
    example = msgspec.to_builtins(calculator.example)
    told = " ".join(_shell(key, value) for key, value in example.items() if value is not None)
    return "\n".join(
        [*lines, "", f"example: evenwater reckon {calculator.name} {told}", f"source: {calculator.source}"]
    )


def _shell(key: str, value: Any) -> str:
    if isinstance(value, str):
        return f"{key}={value}"
    text = msgspec.json.encode(value).decode()
    return f"'{key}={text}'" if text[0] in "[{" else f"{key}={text}"


def _in_words(result: Any, workings: Workings) -> str:
    lines = [workings.result]
    lines += [f"  {one.text}: {one.value}" for one in workings.steps]
    lines += [f"  {name} = {_short(value)}" for name, value in msgspec.to_builtins(result).items()]
    lines += [f"Caution: {one}" for one in workings.warnings]
    return "\n".join([*lines, f"source: {workings.source}"])


def _short(value: Any) -> str:
    return f"{value:.6g}" if isinstance(value, float) else value if isinstance(value, str) else _json(value)


def _json(value: Any) -> str:
    return msgspec.json.encode(value).decode()
