"""By which ways a person is reached, and what a message to them offers to end or answer it."""

import secrets
from collections.abc import Sequence
from datetime import datetime
from typing import Literal
from uuid import uuid4

from evenwater.delivery.render.written import Written
from evenwater.domain.messages import Channel, Message, Outgoing, Reach, WayOut
from evenwater.storage.push import Subscription

About = Literal["list", "alarms"]
Address = tuple[Channel, str]


def addresses(reach: Reach, subscriptions: Sequence[Subscription], about: About) -> list[Address]:
    """Where a person wants lists, or alarms: their e-mail address, and the ids of their devices' subscriptions."""
    found: list[Address] = []
    if reach.email is not None and (reach.email_list if about == "list" else reach.email_alarms):
        found.append(("email", reach.email))
    for one in subscriptions:
        if one.person_id == reach.person and (one.wants_list if about == "list" else one.wants_alarms):
            found.append(("push", one.id))
    return found


def outgoing(
    reach: Reach, address: Address, key: str, written: Written, about: About, now: datetime, alarms: Sequence[str] = ()
) -> Outgoing:
    """A message to be kept: `key` without its way, which is added here; `alarms`: which are answered from it."""
    channel, to = address
    ways: dict[str, WayOut] = {}
    paths: dict[str, str] = {}
    if channel == "email":
        token = secrets.token_urlsafe(24)
        act: Literal["unsubscribe_list", "unsubscribe_alarms"] = (
            "unsubscribe_list" if about == "list" else "unsubscribe_alarms"
        )
        ways[token] = WayOut(act=act, person=reach.person, made_at=now)
        paths["unsubscribe"] = f"/unsubscribe/{token}"
    if alarms:
        token = secrets.token_urlsafe(24)
        ways[token] = WayOut(act="on_it", person=reach.person, alarms=tuple(alarms), made_at=now)
        paths["on_it"] = f"/on-it/{token}"
    message = Message(
        id=uuid4().hex,
        key=f"{key}/{channel}" if channel == "email" else f"{key}/{channel}/{to}",
        person=reach.person,
        channel=channel,
        to=to,
        subject=written.subject,
        text=written.text,
        html=written.html,
        ways_out=paths,
        made_at=now,
        next_try_at=now,
    )
    return Outgoing(message=message, ways=ways)
