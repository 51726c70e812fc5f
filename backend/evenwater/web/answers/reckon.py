"""GET /api/reckon lists the calculators; POST /api/reckon/{name} asks one, and shows its workings.

- Open without sign-in, and therefore kept small: so many calls per peer, 64 kB in, one second, off the event loop.
- The body is read here and not by the framework, which takes "5" for 5 and answers 500 to text that is not UTF-8.
"""

import asyncio
import math
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from typing import Annotated, Any, Final

import msgspec
from litestar import Router, get, post
from litestar.connection import ASGIConnection
from litestar.di import NamedDependency, Provide
from litestar.handlers import BaseRouteHandler
from litestar.params import PathParameter, RawBody
from msgspec import Struct

from evenwater.domain.reckon import CALCULATORS
from evenwater.domain.reckon.calculator import Calculator, answer
from evenwater.domain.workings import Workings
from evenwater.web.answers.reckon_schema import (
    REFUSALS,
    Listed,
    ListOperation,
    ReckonOperation,
    listed,
    right_for,
    whose_field,
)
from evenwater.web.errors import Refusal, problem_of
from evenwater.web.rate import TokenBuckets

MAX_BODY: Final = 64_000
LIMIT_S: Final = 1.0
BURST: Final = 200
CALLS_PER_S: Final = 10.0
_THREADS = 4
_JSON_WANTED = "a JSON object in UTF-8; JSON has no NaN and no Infinity. See GET /api/reckon"

Calculators = dict[str, Calculator[Any, Any]]


class Answer(Struct, frozen=True):
    """What a calculator makes of its input. The fields of `result` are those of its output schema."""

    result: Any
    workings: Workings
    source: str


@get(
    "",
    summary="The calculators, with the schemas of what they take and give",
    operation_class=ListOperation,
    responses={429: REFUSALS[429]},
)
async def list_calculators(calculators: NamedDependency[Calculators]) -> list[Listed]:
    """Name, title, source, and JSON Schema of input and output; units stand in the names, ranges in the schemas."""
    return [listed(one) for one in calculators.values()]


@post(
    "/{name:str}",
    status_code=200,
    summary="Ask a calculator",
    request_max_body_size=MAX_BODY,
    operation_class=ReckonOperation,
    responses=REFUSALS,
)
async def reckon(
    name: Annotated[str, PathParameter(description="A name from the list.")],
    body: RawBody,
    calculators: NamedDependency[Calculators],
    pool: NamedDependency[ThreadPoolExecutor],
) -> Answer:
    """Pure: the same input gives the same answer, and nothing is kept."""
    calculator = calculators.get(name)
    if calculator is None:
        known = ", ".join(calculators)
        raise Refusal(404, "not_found", f"no calculator is called {name!r}", where="name", right=f"one of {known}")
    given = _read(body, calculator)
    # A pool of our own bounds what runs on after we stopped waiting.
    working = asyncio.get_running_loop().run_in_executor(pool, answer, calculator, given)
    try:
        result, workings = await asyncio.wait_for(working, LIMIT_S)
    except TimeoutError:
        raise Refusal(
            503, "too_slow", f"{name} took more than {LIMIT_S:g} s", right="less at once, or later", Retry_After="5"
        ) from None
    return Answer(result, workings, calculator.source)


def reckon_routes(clock: Callable[[], datetime], calculators: Calculators = CALCULATORS) -> Router:
    """The routes, with buckets and threads of their own. `clock` gives the moment, aware."""
    pool = ThreadPoolExecutor(_THREADS, thread_name_prefix="reckon")
    return Router(
        path="/api/reckon",
        route_handlers=[list_calculators, reckon],
        guards=[_not_too_often(TokenBuckets(BURST, CALLS_PER_S), clock)],
        dependencies={
            "calculators": Provide(lambda: calculators, sync_to_thread=False),
            "pool": Provide(lambda: pool, sync_to_thread=False),
        },
    )


def _read(body: bytes, calculator: Calculator[Any, Any]) -> Any:
    try:
        return msgspec.json.decode(body, type=calculator.input)
    except msgspec.ValidationError as error:
        problem = problem_of(error)
        where = whose_field(problem)
        right = right_for(calculator.input, where)
        raise Refusal(400, problem.code, problem.what, where=where, right=right) from None
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        what = str(error) if isinstance(error, msgspec.DecodeError) else "not a JSON object in UTF-8"
        raise Refusal(400, "malformed", what, where="$", right=_JSON_WANTED) from None


def _not_too_often(buckets: TokenBuckets, clock: Callable[[], datetime]) -> Callable[..., None]:
    def guard(connection: ASGIConnection[Any, Any, Any, Any], _: BaseRouteHandler) -> None:
        peer = connection.client.host if connection.client else "unknown"
        wait_s = math.ceil(buckets.take(peer, clock().timestamp()))
        if wait_s:
            what = f"more than {BURST} calls at once, or {CALLS_PER_S:g} a second"
            raise Refusal(429, "slow_down", what, right=f"again in {wait_s} s", Retry_After=str(wait_s))

    return guard
