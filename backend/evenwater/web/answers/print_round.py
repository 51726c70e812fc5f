"""GET /print: today's round as plain HTML, for paper and for phones too old for the app; POST: sign in for it."""

from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Any
from uuid import uuid4

from litestar import Request, Response, Router, get, post
from litestar.datastructures import State
from litestar.di import NamedDependency, Provide
from litestar.enums import MediaType
from litestar.params import URLEncodedBody
from msgspec import Meta, Struct

from evenwater.delivery.render.printable import printable_round, sign_in_page
from evenwater.domain.entries import zone_named
from evenwater.domain.errors import DomainError
from evenwater.domain.rounds.today import jobs_on, round_now
from evenwater.storage.database import Database
from evenwater.web.access.security import find_signed_in, from_own_page, helper_pass
from evenwater.web.access.sign_in import PersonSignIn, desk_of, sign_in_person
from evenwater.web.access.sign_in_desk import SignInDesk
from evenwater.web.errors import Refusal
from evenwater.web.openapi import with_examples
from evenwater.web.plans.planning import Planner

AnyRequest = Request[Any, Any, State]
Clock = Callable[[], datetime]


class SignInForm(Struct, frozen=True):
    """What the form without script sends."""

    name: Annotated[str, Meta(max_length=200)] = ""
    passphrase: Annotated[str, Meta(max_length=1000)] = ""


_SHOWN = "<!doctype html><html lang=en>…<h1>Round for Tuesday 3 November</h1>…"
_FILLED_IN = {"name": "Marit", "passphrase": "four small words here"}


@get(
    "/print",
    media_type=MediaType.HTML,
    summary="Today's round as plain HTML",
    operation_class=with_examples(answered=_SHOWN),
)
async def print_round(
    request: AnyRequest,
    database: NamedDependency[Database],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Clock],
) -> Response[str]:
    """The round for whoever is signed in, of a helper theirs; for others a form to sign in with."""
    signed_in, now = await find_signed_in(request), clock()
    own = helper_pass(request)
    if signed_in is None or (own and own.scope and own.scope.is_over):
        return _page(sign_in_page(None))
    scope = own.scope if own else None
    plan, facts = await (planner.helper_plan(now, scope) if scope else planner.plan_and_facts(now))
    on = now.astimezone(zone_named(plan.zone)).date()
    round_ = round_now(plan.days, facts, plan.log_seq, plan.good_until, now, on)
    return _page(printable_round(plan, jobs_on(plan.days, facts, plan.log_seq, on), round_, on, now))


@post(
    "/print",
    status_code=303,
    guards=[from_own_page],
    summary="Sign in without script",
    operation_class=with_examples(given=_FILLED_IN),
)
async def sign_in_to_print(
    data: URLEncodedBody[SignInForm],
    request: AnyRequest,
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
    desk: NamedDependency[SignInDesk],
) -> Response[str]:
    """Back to the round, signed in; or to the form with what was wrong."""
    given = PersonSignIn(device=str(uuid4()), device_label="printable page", name=data.name, passphrase=data.passphrase)
    try:
        answer = await sign_in_person(given, request, database, clock(), desk)
    except Refusal as refusal:
        return _page(sign_in_page(f"{refusal.problem.what}: {refusal.problem.right}"), refusal.status_code)
    except DomainError as error:
        return _page(sign_in_page(f"{error.what}: {error.right}"), 400)
    return Response("", status_code=303, headers={"Location": "/print"}, cookies=answer.cookies)


def _page(html: str, status_code: int = 200) -> Response[str]:
    return Response(html, status_code=status_code, media_type=MediaType.HTML, headers={"Cache-Control": "no-store"})


print_routes = Router(
    path="/",
    route_handlers=[print_round, sign_in_to_print],
    dependencies={"desk": Provide(desk_of, sync_to_thread=False)},
    request_max_body_size=16_000,
)
