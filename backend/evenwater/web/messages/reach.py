"""/api/reach: how somebody wants to be reached, and what became of the last messages to them."""

from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Any
from uuid import uuid4

import msgspec
from litestar import Request, Router, get, post, put
from litestar.datastructures import State
from litestar.di import NamedDependency
from litestar.params import JSONBody
from msgspec import Meta, Struct

from evenwater.domain.email_address import email_address
from evenwater.domain.entries import zone_named
from evenwater.domain.errors import DomainError
from evenwater.domain.messages import Channel, ClockTime, Message, MessageState, Outgoing, Reach
from evenwater.domain.people import SignedIn
from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.storage.messages import keep_messages, messages_of, redirect, withdraw
from evenwater.storage.push import subscriptions
from evenwater.storage.reach import keep_reach, reach_of
from evenwater.web.errors import Refusal
from evenwater.web.openapi import with_examples
from evenwater.web.plans.planning import Planner
from evenwater.web.rate import TokenBuckets
from evenwater.web.waking import wake

Clock = Callable[[], datetime]
AnyRequest = Request[Any, Any, State]


class ReachGiven(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How I want to be reached: when the list comes and in which zone, when no alarm may, and by which address."""

    zone: Annotated[str, Meta(min_length=1, max_length=64)]
    list_at: ClockTime | None = None
    quiet_from: ClockTime | None = None
    quiet_to: ClockTime | None = None
    email: Annotated[str, Meta(max_length=300)] | None = None
    email_list: bool = True
    email_alarms: bool = True


class LastMessage(Struct, frozen=True):
    """What became of a message: sent, or why not and when it is tried again."""

    subject: str
    channel: Channel
    state: MessageState
    made_at: datetime
    sent_at: datetime | None
    next_try_at: datetime
    trouble: str | None


class ReachAnswer(Struct, frozen=True):
    """`said`: whether this person has said anything yet; `mail_set_up`: whether this server has a mail server."""

    reach: Reach
    said: bool
    mail_set_up: bool
    messages: list[LastMessage]


class QuietHalf(DomainError):
    """Quiet hours with one end, or with both at the same time."""

    code = "quiet_half"


_PERSON = "019a4a3e-7c00-7000-8000-000000000003"
_GIVEN = ReachGiven(zone="Europe/Berlin", list_at="07:00", quiet_from="22:00", quiet_to="06:30", email="m@example.org")
_AT = datetime.fromisoformat("2026-11-03T06:00:00+00:00")
_LAST = LastMessage("Tuesday's round: 6 jobs, 14 min", "email", "sent", _AT, _AT, _AT, None)
_REACH = Reach(person=_PERSON, zone="Europe/Berlin", list_at="07:00", email="m@example.org")
_ANSWERED = ReachAnswer(_REACH, True, True, [_LAST])


@get("/api/reach", summary="How you are reached", operation_class=with_examples(answered=_ANSWERED))
async def show_reach(
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    settings: NamedDependency[Settings],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Clock],
) -> ReachAnswer:
    """Yours alone; until you have said anything, what is usual, in the pond's zone."""
    said = await reach_of(database, signed_in.person_id)
    return await _answer(database, settings, said or await _usual(planner, signed_in, clock()), said is not None)


@put(
    "/api/reach",
    summary="Say how you want to be reached",
    operation_class=with_examples(given=_GIVEN, answered=_ANSWERED),
)
async def say_reach(
    data: JSONBody[ReachGiven],
    request: AnyRequest,
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    settings: NamedDependency[Settings],
    clock: NamedDependency[Clock],
) -> ReachAnswer:
    """In place of what you said before; what is waiting goes to the new address, or nowhere where there is none."""
    reach = _checked(data, signed_in)
    before, now = await reach_of(database, signed_in.person_id), clock()
    await keep_reach(database, reach, now)
    if reach.email is None:
        await withdraw(database, reach.person)
    elif before is not None and before.email != reach.email:
        await redirect(database, reach.person, reach.email, now)
    if not reach.email_list or reach.list_at is None:
        await withdraw(database, reach.person, "list/")
    if not reach.email_alarms:
        await withdraw(database, reach.person, "alarm/")
        await withdraw(database, reach.person, "notice/")
    wake(request)
    return await _answer(database, settings, reach, True)


@post(
    "/api/reach/test",
    status_code=202,
    summary="Send yourself a message now",
    operation_class=with_examples(answered=_ANSWERED),
)
async def send_test(
    request: AnyRequest,
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    settings: NamedDependency[Settings],
    clock: NamedDependency[Clock],
) -> ReachAnswer:
    """To your address and to each of your devices that takes notifications; what becomes of it stands in `messages`."""
    now = clock()
    buckets: TokenBuckets = request.app.state.test_messages
    if wait_s := buckets.take(signed_in.person_id, now.timestamp()):
        raise Refusal(
            429, "slow_down", "enough tests for now", right=f"wait {wait_s:.0f} seconds", retry_after=f"{wait_s:.0f}"
        )
    reach = await reach_of(database, signed_in.person_id)
    to: list[tuple[Channel, str]] = []
    if reach is not None and reach.email is not None:
        to.append(("email", reach.email))
    for one in await subscriptions(database, now):
        if one.person_id == signed_in.person_id:
            to.append(("push", one.id))
    if reach is None or not to:
        raise Refusal(
            409,
            "no_way",
            "there is no way to reach you yet",
            where="email",
            right="save an e-mail address, or switch notifications on",
        )
    await keep_messages(database, [Outgoing(message=_test(signed_in, *one, now)) for one in to])
    wake(request)
    return await _answer(database, settings, reach, True)


def _checked(data: ReachGiven, signed_in: SignedIn) -> Reach:
    zone_named(data.zone)
    if (data.quiet_from is None) != (data.quiet_to is None):
        missing = "quiet_to" if data.quiet_to is None else "quiet_from"
        raise QuietHalf("quiet hours have one end only", where=missing, right="both times, or none")
    if data.quiet_from is not None and data.quiet_from == data.quiet_to:
        raise QuietHalf("quiet hours that end when they begin", where="quiet_to", right="another time, or none at all")
    given = msgspec.structs.replace(data, email=email_address(data.email) if data.email else None)
    return Reach(person=signed_in.person_id, **msgspec.structs.asdict(given))


async def _usual(planner: Planner, signed_in: SignedIn, now: datetime) -> Reach:
    ponds = await planner.ponds(now)
    return Reach(person=signed_in.person_id, zone=ponds[0].zone if ponds else "UTC")


def _test(signed_in: SignedIn, channel: Channel, to: str, now: datetime) -> Message:
    return Message(
        id=uuid4().hex,
        key=f"test/{signed_in.person_id}/{uuid4().hex}",
        person=signed_in.person_id,
        channel=channel,
        to=to,
        subject="evenwater: a test",
        text="Messages from your pond's server arrive here.\n",
        html="<p>Messages from your pond's server arrive here.</p>",
        link="/reach",
        made_at=now,
        next_try_at=now,
    )


async def _answer(database: Database, settings: Settings, reach: Reach, said: bool) -> ReachAnswer:
    last = [
        LastMessage(one.subject, one.channel, one.state, one.made_at, one.sent_at, one.next_try_at, one.trouble)
        for one in await messages_of(database, reach.person)
    ]
    return ReachAnswer(reach, said, settings.smtp is not None, last)


reach_routes = Router(path="/", route_handlers=[show_reach, say_reach, send_test], request_max_body_size=16_000)
