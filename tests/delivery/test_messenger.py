"""Ways to people beside each other: what one of them is slow with holds up no other."""

import asyncio
from datetime import UTC, datetime

import pytest
from post_office import PostOffice

from evenwater.delivery.messenger import Messenger
from evenwater.delivery.send.email import email_carrier
from evenwater.delivery.send.not_sent import NotSent
from evenwater.domain.messages import Channel, Message, Outgoing
from evenwater.settings import Smtp
from evenwater.storage.database import Database
from evenwater.storage.messages import keep_messages, messages_of

NOW = datetime(2026, 11, 24, 6, tzinfo=UTC)


def outgoing(key: str, channel: Channel) -> Outgoing:
    about = {"id": key, "key": key, "person": "marit", "channel": channel, "to": "marit@example.org"}
    return Outgoing(message=Message(**about, subject="s", text="t", made_at=NOW, next_try_at=NOW))


async def test_a_notification_waits_for_no_mail_server_that_thinks(database: Database) -> None:
    shown: list[str] = []

    async def show(message: Message) -> None:
        shown.append(message.key)

    with PostOffice().open() as office:
        office.pause_s = 4.0
        smtp = Smtp(host="127.0.0.1", port=office.port, security="none", sender="pond@example.org")
        carriers = {"email": email_carrier(smtp, lambda: None, "https://pond.example"), "push": show}
        messenger = Messenger(database, carriers, lambda: NOW)
        await keep_messages(database, [outgoing("list/a", "email")])
        slow = asyncio.create_task(messenger.deliver())
        await asyncio.to_thread(office.wait_for, 1)
        await keep_messages(database, [outgoing("alarm/a/marit/push/x", "push")])
        await asyncio.wait_for(messenger.deliver_by("push"), 2.0)
        assert shown == ["alarm/a/marit/push/x"] and not slow.done()
        await slow
    assert {one.state for one in await messages_of(database, "marit")} == {"sent"}


async def test_what_was_not_taken_and_when_it_is_tried_again_stands_in_the_log_in_words(
    database: Database, caplog: pytest.LogCaptureFixture
) -> None:
    async def refuse(_: Message) -> None:
        raise NotSent("the mail server is full")

    await keep_messages(database, [outgoing("list/a", "email")])
    await Messenger(database, {"email": refuse}, lambda: NOW).deliver()
    (line,) = caplog.messages
    assert line.startswith(
        "a message by email was not taken (list/a): the mail server is full; it is tried again at 2026"
    )
