"""Carries what is waiting to people: what was kept is sent, then marked as sent; what fails is tried again, later each
time, and given up after a day.

A message is committed before it is sent and marked after it was taken. If the server dies in between, the message goes
again with the same id: a second copy at the worst, never none.
"""

import asyncio
import logging
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from evenwater.delivery.send.not_sent import Carrier, NotSent
from evenwater.domain.messages import CHANNELS, Channel, Message
from evenwater.domain.reach_hours import next_try
from evenwater.storage.database import Database
from evenwater.storage.messages import due_messages, mark_not_sent, mark_sent

_FINISHED_WITHIN_S = 3.0

log = logging.getLogger("evenwater.messages")


class Messenger:
    """One for the whole server. `carriers`: by channel; a channel that has none is said to be not set up."""

    def __init__(self, database: Database, carriers: Mapping[Channel, Carrier], clock: Callable[[], datetime]) -> None:
        self._database, self._carriers, self._clock = database, carriers, clock
        self._turns: dict[Channel, asyncio.Lock] = {channel: asyncio.Lock() for channel in CHANNELS}

    async def deliver(self) -> None:
        """Send all whose turn has come, the ways to people beside each other."""
        async with asyncio.TaskGroup() as ways:
            for channel in CHANNELS:
                ways.create_task(self.deliver_by(channel))

    async def deliver_by(self, channel: Channel) -> None:
        """Send what goes this way, in the order it was made; no way waits for another, as mail servers may be slow."""
        async with self._turns[channel]:
            due = await due_messages(self._database, self._clock())
            await self._carry([one for one in due if one.channel == channel])

    async def _carry(self, messages: Sequence[Message]) -> None:
        for message in messages:
            sending = asyncio.create_task(self._send(message))
            try:
                await asyncio.shield(sending)
            except asyncio.CancelledError:  # what is half sent is better finished than sent again
                await asyncio.wait([sending], timeout=_FINISHED_WITHIN_S)
                sending.cancel()
                await asyncio.gather(sending, return_exceptions=True)
                raise

    async def _send(self, message: Message) -> None:
        try:
            await self._carrier(message)(message)
        except NotSent as error:
            await self._not_sent(message, error)
        except Exception:
            log.exception("unforeseen while sending %s by %s", message.id, message.channel)
            await self._not_sent(message, NotSent("a fault in the server; it is in its log"))
        else:
            await mark_sent(self._database, message, self._clock())

    def _carrier(self, message: Message) -> Carrier:
        carrier = self._carriers.get(message.channel)
        if carrier is None:
            raise NotSent(f"{_NAMES[message.channel]} is not set up on this server")
        return carrier

    async def _not_sent(self, message: Message, error: NotSent) -> None:
        now = self._clock()
        again_at = None if error.for_good else next_try(message.made_at, message.tries, now, error.again_after_s)
        then = f"it is tried again at {again_at:%Y-%m-%d %H:%M} UTC" if again_at else "it is given up"
        log.warning("a message by %s was not taken (%s): %s; %s", message.channel, message.id, error.why, then)
        await mark_not_sent(self._database, message, error.why, again_at)


_NAMES: dict[Channel, str] = {"email": "e-mail", "push": "sending notifications"}
