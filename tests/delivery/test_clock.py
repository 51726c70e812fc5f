"""The clock that makes what is due and has it carried: left to itself, and told to stop."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from house_by_post import MARIT, MINUTE, SEVEN, House

from evenwater.delivery.clock import DeliveryClock
from evenwater.storage.messages import messages_of


@asynccontextmanager
async def running(clock: DeliveryClock) -> AsyncIterator[None]:
    task = asyncio.create_task(clock.run())
    try:
        yield
    finally:
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)


async def test_left_to_itself_it_makes_and_carries_and_ends_when_told(house: House) -> None:
    await house.reach()
    async with running(house.clock):
        await asyncio.to_thread(house.office.wait_for, 1)
    assert len(house.office.taken) == 1


async def test_told_to_stop_while_the_mail_server_thinks_it_finishes_that_one(house: House) -> None:
    house.office.pause_s = 0.5
    await house.reach()
    async with running(house.clock):
        await asyncio.to_thread(house.office.wait_for, 1)
    (kept,) = await messages_of(house.database, MARIT)
    assert kept.state == "sent"
    house.clock = house.restarted()
    assert await house.look(SEVEN + MINUTE) == []
