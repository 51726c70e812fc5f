"""Messages are kept once under a key, go out once, and leave nothing of what they said."""

from datetime import datetime, timedelta

import pytest
from conftest import START

from evenwater.domain.messages import Message, Outgoing, WayOut
from evenwater.storage.database import Database
from evenwater.storage.messages import (
    due_messages,
    forget_old_messages,
    keep_messages,
    mark_not_sent,
    mark_sent,
    message_keys,
    messages_of,
    redirect,
    troubled_messages,
    way_out,
    withdraw,
)

MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)


def outgoing(number: int = 1, key: str | None = None, made_at: datetime = START, person: str = "marit") -> Outgoing:
    message = Message(
        id=f"m{number}",
        key=key or f"list/{person}/{number}",
        person=person,
        channel="email",
        to="marit@pond.example",
        subject="Tuesday's round: 6 jobs",
        text="Covers on",
        html="<p>Covers on</p>",
        ways_out={"unsubscribe": f"/unsubscribe/token-{number}"},
        made_at=made_at,
        next_try_at=made_at,
    )
    way = WayOut(act="unsubscribe_list", person=person, made_at=made_at)
    return Outgoing(message=message, ways={f"token-{number}": way})


async def test_a_key_is_kept_once_and_the_second_is_as_if_it_never_was(database: Database) -> None:
    first, second = outgoing(1, "list/marit/2026-11-03"), outgoing(2, "list/marit/2026-11-03")
    assert await keep_messages(database, [first]) == [first.message]
    assert await keep_messages(database, [second, outgoing(3)]) == [outgoing(3).message]
    assert await message_keys(database, "list/marit/2026") == {"list/marit/2026-11-03": START}
    assert await way_out(database, "token-1") == first.ways["token-1"]
    assert await way_out(database, "token-2") is None


async def test_what_is_kept_comes_back_as_it_was_when_its_turn_has_come(database: Database) -> None:
    made = outgoing()
    await keep_messages(database, [made])
    assert await due_messages(database, START - MINUTE) == []
    assert await due_messages(database, START) == [made.message]


async def test_what_has_gone_is_not_due_and_says_no_more(database: Database) -> None:
    made = outgoing()
    await keep_messages(database, [made])
    await mark_sent(database, made.message, START + MINUTE)
    assert await due_messages(database, START + DAY) == []
    (kept,) = await messages_of(database, "marit")
    assert (kept.state, kept.sent_at, kept.tries) == ("sent", START + MINUTE, 1)
    assert (kept.text, kept.html, kept.ways_out) == ("", None, {})
    assert kept.subject == made.message.subject


async def test_what_failed_waits_for_its_next_turn_and_says_why(database: Database) -> None:
    made = outgoing()
    await keep_messages(database, [made])
    await mark_not_sent(database, made.message, "the mail server does not answer", START + 5 * MINUTE)
    assert await due_messages(database, START + 4 * MINUTE) == []
    (again,) = await due_messages(database, START + 5 * MINUTE)
    assert (again.tries, again.trouble, again.text) == (1, "the mail server does not answer", "Covers on")
    assert await troubled_messages(database, START) == [again]


async def test_what_was_given_up_is_told_for_a_while_and_says_no_more(database: Database) -> None:
    made = outgoing()
    await keep_messages(database, [made])
    await mark_not_sent(database, made.message, "refused", None)
    (given_up,) = await troubled_messages(database, START)
    assert (given_up.state, given_up.text, given_up.trouble) == ("given_up", "", "refused")
    assert await troubled_messages(database, START + MINUTE) == []
    assert await due_messages(database, START + DAY) == []


async def test_a_new_address_gets_what_waits_at_once_and_nobody_elses(database: Database) -> None:
    mine, other = outgoing(1), outgoing(2, person="tove")
    await keep_messages(database, [mine, other])
    for one in (mine, other):
        await mark_not_sent(database, one.message, "no answer", START + DAY)
    await redirect(database, "marit", "new@pond.example", START + MINUTE)
    assert [(one.id, one.to) for one in await due_messages(database, START + MINUTE)] == [("m1", "new@pond.example")]


async def test_what_is_not_wanted_any_more_waits_no_longer(database: Database) -> None:
    await keep_messages(database, [outgoing(1), outgoing(2, "alarm/a/marit/email"), outgoing(3, person="tove")])
    await withdraw(database, "marit", "list/")
    assert [one.id for one in await due_messages(database, START)] == ["m2", "m3"]
    await withdraw(database, "marit")
    assert [one.id for one in await due_messages(database, START)] == ["m3"]


async def test_a_person_sees_their_last_ones_the_newest_first(database: Database) -> None:
    await keep_messages(database, [outgoing(n, made_at=START + n * MINUTE) for n in range(1, 8)])
    await keep_messages(database, [outgoing(9, person="tove")])
    assert [one.id for one in await messages_of(database, "marit", most=3)] == ["m7", "m6", "m5"]


@pytest.mark.parametrize(("days", "left"), [(59, 1), (61, 0)])
async def test_old_ones_go_but_their_ways_out_work_for_a_year(database: Database, days: int, left: int) -> None:
    await keep_messages(database, [outgoing()])
    await forget_old_messages(database, START + days * DAY)
    assert len(await messages_of(database, "marit")) == left
    assert await way_out(database, "token-1") is not None
    await forget_old_messages(database, START + 401 * DAY)
    assert await way_out(database, "token-1") is None


async def test_the_file_holds_no_token_once_the_message_has_gone(database: Database) -> None:
    made = outgoing()
    await keep_messages(database, [made])
    await mark_sent(database, made.message, START)
    for table in ("message", "way_out"):
        for row in await database.reader.execute_fetchall(f"SELECT * FROM {table}"):
            assert not any(b"token-1" in (one if isinstance(one, bytes) else str(one).encode()) for one in row)
