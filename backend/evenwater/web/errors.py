"""Whatever goes wrong, one answer: {code, what, where, right} with the status that fits.

`what` says what is wrong, `where` names the field or header, `right` says what would be right. `code` is stable.
"""

import logging
import re
import sqlite3
from collections.abc import Callable
from typing import Any, cast

import msgspec
from litestar import Request, Response
from litestar.exceptions import HTTPException
from msgspec import Struct

from evenwater.domain.errors import DomainError
from evenwater.storage.errors import StorageUnavailable

log = logging.getLogger("evenwater.web")

_CODES = {400: "malformed", 401: "sign_in", 403: "forbidden", 404: "not_found", 405: "wrong_method"} | {
    413: "too_large",
    415: "wrong_media_type",
    429: "slow_down",
    503: "busy",
}
_AT = re.compile(r"^(?P<what>.*?)(?: - at `(?P<where>.*)`)?$", re.DOTALL)


class Problem(Struct, frozen=True):
    """The one shape of every refusal."""

    code: str
    what: str
    where: str
    right: str


class Refusal(HTTPException):
    """An answer other than yes, with its code."""

    def __init__(
        self, status_code: int, code: str, what: str, *, where: str = "", right: str = "", **headers: str
    ) -> None:
        super().__init__(
            detail=what, status_code=status_code, headers={k.replace("_", "-"): v for k, v in headers.items()}
        )
        self.problem = Problem(code, what, where, right)


def problem_of(error: Exception) -> Problem:
    """The problem an error of the domain or of decoding describes."""
    if isinstance(error, DomainError):
        return Problem(error.code, error.what, error.where, error.right)
    found = _AT.match(str(error))
    what, where = (found["what"], found["where"] or "$") if found else (str(error), "$")
    where = where.removeprefix("$.data.").removeprefix("$.")
    code = "not_right" if isinstance(error, msgspec.ValidationError) else "malformed"
    return Problem(code, what, where, "see /schema/openapi.json")


def answer(status_code: int, problem: Problem, headers: dict[str, str] | None = None) -> Response[Problem]:
    """A problem as a response, never kept by any cache."""
    return Response(problem, status_code=status_code, headers={"Cache-Control": "no-store"} | (headers or {}))


def _refused(_: Request[Any, Any, Any], error: DomainError | msgspec.MsgspecError) -> Response[Problem]:
    return answer(400, problem_of(error))


def _unreadable(_: Request[Any, Any, Any], error: Exception) -> Response[Problem]:
    """Text that is not UTF-8, or nested deeper than anybody writes."""
    return answer(400, Problem("malformed", str(error)[:200], "$", "JSON in UTF-8"))


def _http(_: Request[Any, Any, Any], error: HTTPException) -> Response[Problem]:
    if isinstance(error, Refusal):
        return answer(error.status_code, error.problem, dict(error.headers or {}))
    cause = error.__cause__ or error.__context__
    if isinstance(cause, msgspec.MsgspecError):
        return answer(error.status_code, problem_of(cause))
    where, what = _first_detail(error)
    code = _CODES.get(error.status_code, "not_possible")
    return answer(error.status_code, Problem(code, what, where, "see /schema/openapi.json"))


def _first_detail(error: HTTPException) -> tuple[str, str]:
    """Where and what, from the framework's own list of what was wrong."""
    details = cast("list[dict[str, Any]]", error.extra) if isinstance(error.extra, list) else []
    if not details:
        return "", error.detail
    return str(details[0].get("key", "")), str(details[0].get("message", error.detail))


def _storage(_: Request[Any, Any, Any], error: Exception) -> Response[Problem]:
    log.error("storage: %s", error)
    problem = Problem("storage", "the server could not keep this: disk full or file locked", "", "try again later")
    return answer(503, problem, {"Retry-After": "30"})


def _unforeseen(request: Request[Any, Any, Any], error: Exception) -> Response[Problem]:
    log.exception("unforeseen at %s %s", request.method, request.url.path, exc_info=error)
    return answer(500, Problem("unforeseen", "a fault in the server; it is in its log", "", "try again later"))


HANDLERS: dict[type[Exception] | int, Callable[..., Response[Problem]]] = {
    DomainError: _refused,
    msgspec.MsgspecError: _refused,
    HTTPException: _http,
    UnicodeDecodeError: _unreadable,
    RecursionError: _unreadable,
    StorageUnavailable: _storage,
    sqlite3.OperationalError: _storage,
    Exception: _unforeseen,
}
